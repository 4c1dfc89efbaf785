"""The cut sheet: what to dig and what to read at every station, and the readings on the laid pipe."""

from PySide6.QtWidgets import QWidget

from drainsketch.desk.session import Session


class CutSheetPane(QWidget):
    """Cut sheet and as-laid readings of a run."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
