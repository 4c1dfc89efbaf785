"""The job's header with its offer, and the limits it is held to, as two forms."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QScrollArea, QWidget

from drainsketch.desk.panes.fields import CRITERIA, HEADER, OFFER, Field
from drainsketch.desk.panes.form import Form, column
from drainsketch.desk.panes.slope_rules import SlopeRules
from drainsketch.desk.panes.values import Value
from drainsketch.desk.session import Session
from drainsketch.job.edits.change import change_criteria, change_header, change_part
from drainsketch.job.limits import Criteria

DEFER = "Local codes, the utility owners and licensed people set the limits that bind. These are the ones the job is checked against."


class _FormPane(QScrollArea):
    """A form that scrolls."""

    def __init__(self, session: Session, name: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(name)
        self._session = session
        session.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Show the values as they are now."""
        raise NotImplementedError


class HeaderPane(_FormPane):
    """Whose job it is, how its numbers are written, and what the offer to its owner says."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Job header", parent)
        self.form = Form(HEADER, self._write)
        self.offer = Form(OFFER, self._write_offer)
        title = QLabel("Offer to the owner")
        title.setProperty("quiet", True)
        self.setWidget(column(self.form, title, self.offer))
        self.refresh()

    def refresh(self) -> None:
        """Show the header as it is now."""
        header = self._session.job.header
        self.form.show_values(lambda name: getattr(header, name), header.units)
        self.offer.show_values(self._offer_value, header.units)

    def _offer_value(self, name: str) -> Value:
        offer = self._session.job.offer
        return "\n".join(offer.excluded) if name == "excluded" else getattr(offer, name)

    def _write_offer(self, field: Field, value: Value) -> None:
        lines = tuple(said for line in str(value or "").splitlines() if (said := line.strip()))
        job = change_part(self._session.job, "offer", **{field.name: lines if field.name == "excluded" else value})
        self._session.apply(job, f"Change {field.label.partition(',')[0].lower()}")

    def _write(self, field: Field, value: Value) -> None:
        job = change_header(self._session.job, **{field.name: value})
        self._session.apply(job, f"Change {field.label.lower()}")


class CriteriaPane(_FormPane):
    """The limits of this job."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Limits of this job", parent)
        self.form = Form(CRITERIA, self._write)
        self.slopes = SlopeRules(session)
        note = QLabel(DEFER)
        note.setWordWrap(True)
        note.setProperty("quiet", True)
        self.reset = QPushButton("Back to Usual Limits")
        self.reset.clicked.connect(self._reset)
        self.setWidget(column(note, self.form, self.slopes, self.reset))
        self.refresh()

    def refresh(self) -> None:
        """Show the limits as they are now."""
        criteria = self._session.job.criteria
        self.form.show_values(lambda name: getattr(criteria, name), self._session.job.header.units)
        self.slopes.show_values()
        self.reset.setEnabled(criteria != Criteria())

    def _write(self, field: Field, value: Value) -> None:
        job = change_criteria(self._session.job, **{field.name: value})
        self._session.apply(job, f"Change {field.label.lower()}")

    def _reset(self) -> None:
        usual = Criteria()
        job = change_criteria(self._session.job, **{name: getattr(usual, name) for name in usual.__struct_fields__})
        self._session.apply(job, "Set the usual limits")
