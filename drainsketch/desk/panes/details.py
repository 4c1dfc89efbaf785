"""Details of the selection: its fields to change, and what the review says about it."""

from collections import Counter
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from drainsketch.desk.panes.corners import Corners, has_corners
from drainsketch.desk.panes.exposures import Exposures
from drainsketch.desk.panes.facts import Facts, facts, findings_about, kind_of, room_left
from drainsketch.desk.panes.fields import Field, fields_of
from drainsketch.desk.panes.form import Form
from drainsketch.desk.panes.values import Value
from drainsketch.desk.panes.water_facts import in_storm
from drainsketch.desk.session import Session
from drainsketch.job.ask import thing
from drainsketch.job.edits.change import change
from drainsketch.job.edits.laying import readings_told
from drainsketch.job.edits.remove import remove, with_dependents
from drainsketch.job.model import Job, Obstacle, Run, Service, Structure, Thing
from drainsketch.wording import Words

NOTHING = "Nothing is selected. Click something on the plan, or a finding below, to see and change it here."


def value_of(shown: Thing, name: str) -> Value:
    """Return the value of a field; ``point.x`` is a part, also of the one point of a tree or a well."""
    if name in ("point.x", "point.y"):
        point = shown.points[0] if isinstance(shown, Obstacle) else shown.point  # type: ignore[union-attr]
        return point[name == "point.y"]
    value: Value = getattr(shown, name)
    return value


def with_field(job: Job, shown: Thing, name: str, value: Value) -> Job:
    """Return the job with one field changed, and what no longer means anything cleared. Raises EditError."""
    fields: dict[str, Any] = {name: value}
    if name in ("point.x", "point.y"):
        old = shown.points[0] if isinstance(shown, Obstacle) else shown.point  # type: ignore[union-attr]
        point = (value, old[1]) if name == "point.x" else (old[0], value)
        fields = {"points": (point,)} if isinstance(shown, Obstacle) else {"point": point}
    elif name == "kind" and isinstance(shown, Structure):
        kept = {"outfall": "outfall", "basin": "size_in", "downspout inlet": "downspout"}
        fields |= {field: None for kind, field in kept.items() if kind != value}
    elif name == "kind" and isinstance(shown, Obstacle) and value != "tree":
        fields["trunk_diameter_in"] = None
    elif name == "name":
        fields[name] = value or ""
    return change(job, shown.id, **fields)


def common_fields(shown: list[Thing], job: Job) -> tuple[Field, ...]:
    """Return the choices that several things of one sort have in common, to be made for all at once."""
    if not shown or len({type(t) for t in shown}) > 1:
        return ()
    own = ("start", "end", "downspout")
    kept = [f for f in fields_of(shown[0], job) if f.quantity in ("choice", "flag") and f.name not in own]
    return tuple(f for f in kept if all(f in fields_of(t, job) for t in shown[1:]))


class DetailsPane(QScrollArea):
    """Shows the one thing that is selected as a form, several as a count with what can be done to all."""

    show_on_plan = Signal(tuple)  # ids
    picked = Signal()  # an entry was chosen in an open list

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Details of the selection")
        self._session = session
        self._built_for: tuple[object, ...] = ("nothing yet",)
        self.form: Form | None = None
        self._corners: Corners | None = None
        self._exposures: Exposures | None = None
        self._facts = _FactsTable()
        self._title = QLabel()
        session.selected.connect(self.refresh)
        session.changed.connect(self.refresh)
        session.studied.connect(self.refresh)
        self.refresh()

    def take_focus(self, name: str) -> None:
        """Give the keyboard to a field."""
        if self.form is not None:
            editor = self.form.row(name).editor
            self.ensureWidgetVisible(editor)
            editor.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def refresh(self) -> None:
        """Show the selection as it is now; widgets stay while the same things are shown, so that typing goes on."""
        job = self._session.job
        shown = [t for i in self._session.selection if (t := thing(job, i)) is not None]
        fields = fields_of(shown[0], job) if len(shown) == 1 else common_fields(shown, job)
        cornered = len(shown) == 1 and has_corners(shown[0])
        built_for = (self._session.selection, fields, cornered)
        if built_for != self._built_for:
            self._built_for = built_for
            self._build(shown, fields, cornered)
        if not shown:
            return
        self._title.setText(_title(shown[0]) if len(shown) == 1 else _count(shown))
        if self.form is not None:
            self.form.show_values(lambda name: _common_value(shown, name), job.header.units)
        if self._corners is not None:
            self._corners.show_values()
        if self._exposures is not None:
            self._exposures.show_values()
        if len(shown) == 1:
            words, review = Words.of(job), self._session.review
            about = findings_about(review, shown[0].id, words)
            study = self._session.study if self._session.study_is_current else None
            closer = room_left(study, shown[0], words) + in_storm(study, shown[0], words) if study is not None else ()
            self._facts.show_facts(about + closer + facts(review, shown[0], words))

    def _build(self, shown: list[Thing], fields: tuple[Field, ...], cornered: bool) -> None:
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(10, 8, 10, 10)
        box.setSpacing(8)
        self._title = QLabel("" if shown else NOTHING)
        self._title.setTextFormat(Qt.TextFormat.PlainText)
        self._title.setWordWrap(True)
        font = self._title.font()
        font.setBold(bool(shown))
        self._title.setFont(font)
        box.addWidget(self._title)
        services = [
            t for t in shown if isinstance(t, Service)
        ]  # one, alone or with the run of a finding about its crossing
        self._exposures = Exposures(self._session, services[0].id) if len(services) == 1 and len(shown) < 3 else None
        if self._exposures is not None:
            box.addWidget(self._exposures)
        self.form = Form(fields, self._write) if fields else None
        if self.form is not None:
            self.form.picked.connect(self.picked)
            box.addWidget(self.form)
        self._facts = _FactsTable()
        self._facts.hide()
        box.addWidget(self._facts)
        self._corners = Corners(self._session, shown[0].id) if cornered else None
        if self._corners is not None:
            box.addWidget(self._corners)
        if self._session.selection:
            box.addLayout(self._buttons())
        box.addStretch(1)
        old = self.takeWidget()
        if old is not None:
            old.hide()
            old.deleteLater()  # not at once: the field that was changed may still be speaking
        self.setWidget(body)
        before: QWidget = self  # else what is built anew would come last of all
        for field in body.findChildren(QWidget):
            if (
                field.focusPolicy() & Qt.FocusPolicy.TabFocus and field.window() is self.window()
            ):  # no list that drops down
                QWidget.setTabOrder(before, field)
                before = field

    def _buttons(self) -> QHBoxLayout:
        line = QHBoxLayout()
        show = QPushButton("Show on Plan")
        show.clicked.connect(lambda: self.show_on_plan.emit(self._session.selection))
        delete = QPushButton("Delete")
        delete.setToolTip("Delete what is selected (Del); a structure takes its runs along")
        delete.clicked.connect(self._delete)
        line.addWidget(show)
        line.addWidget(delete)
        line.addStretch(1)
        return line

    def _write(self, field: Field, value: Value) -> None:
        job = self._session.job
        ids = self._session.selection
        for thing_id in ids:
            shown = thing(job, thing_id)
            if shown is not None:
                job = with_field(job, shown, field.name, value)
        self._session.apply(job, f"Change {field.label.lower()} of {_what(ids)}")

    def _delete(self) -> None:
        delete_selected(self._session)


def delete_selected(session: Session) -> None:
    """Delete what is selected, as one step."""
    ids = session.selection
    if ids:
        told = readings_told(session.job, with_dependents(session.job, ids))
        session.apply(remove(session.job, ids), f"Delete {_what(ids)}")
        if told:
            session.tell(told)


def _what(ids: tuple[str, ...]) -> str:
    return ids[0] if len(ids) == 1 else f"{len(ids)} things"


def _common_value(shown: list[Thing], name: str) -> Value:
    """Return the value that all have; None when they differ."""
    first = value_of(shown[0], name)
    return first if all(value_of(t, name) == first for t in shown) else None


def _title(shown: Thing) -> str:
    kind = kind_of(shown)
    stem = shown.kind if isinstance(shown, Obstacle) else kind.replace(" ", "-")
    if shown.id.rstrip("0123456789").rstrip("-") in (stem, "boundary"):
        return kind[:1].upper() + kind[1:]
    return f"{shown.id}   {kind}"


def _count(chosen: list[Thing]) -> str:
    counts = Counter("run" if isinstance(t, Run) else kind_of(t) for t in chosen)
    return f"{len(chosen)} selected: " + ", ".join(f"{kind} ({n})" for kind, n in counts.most_common())


class _FactsTable(QFrame):
    """Two columns of words under a heading."""

    def __init__(self) -> None:
        super().__init__()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 4, 0, 0)
        self._grid.setVerticalSpacing(3)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 2)
        self._cells: list[tuple[QLabel, QLabel]] = []

    def show_facts(self, rows: Facts) -> None:
        """Show these rows and no others; labels are kept and filled anew."""
        while len(self._cells) < len(rows):
            at = len(self._cells)
            pair = (QLabel(), QLabel())
            for column, label in enumerate(pair):
                label.setWordWrap(True)
                label.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
                self._grid.addWidget(label, at, column)
            pair[0].setProperty("quiet", True)
            pair[1].setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self._cells.append(pair)
        for at, pair in enumerate(self._cells):
            name, text = rows[at] if at < len(rows) else ("", "")
            pair[0].setText(name)
            pair[1].setText(text)
            for label in pair:
                label.setVisible(at < len(rows))
        self.setVisible(bool(rows))
