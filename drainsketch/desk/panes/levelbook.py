"""The level book: setups and readings as they are taken in the yard, and the levels they make."""

from PySide6.QtWidgets import QWidget

from drainsketch.desk.session import Session


class LevelBookPane(QWidget):
    """The level book of the job."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
