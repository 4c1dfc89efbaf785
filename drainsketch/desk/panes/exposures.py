"""Where a buried service was uncovered: at its crossings and elsewhere, with the measured top, as a table to type into."""

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.panes.form import Entry
from drainsketch.desk.panes.table_keys import Index, KeepingCells, TableKeys, fault_line
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError, EditError
from drainsketch.job import units as u
from drainsketch.job.ask import thing
from drainsketch.job.edits.expose import cover_up, expose, exposure_at, near, nearest_on, point_along, station_on
from drainsketch.job.kinds import Point
from drainsketch.job.model import Exposure, Job, Service
from drainsketch.review import Review

ROW_PX = 30
MOST_ROWS = 6  # seen at once
DEPTH, LEVEL = 1, 2
GUESSED = "The ground there lies outside the shots and is a guess: measure the level of the top instead of its depth."


class ExposedPlace(Struct, frozen=True):
    """A place of a service where it was uncovered, or is to be: what it is called, its ground, ft, and what was measured."""

    words: str
    point: Point
    ground_ft: float | None
    is_guess: bool
    measured: Exposure | None

    @property
    def depth_ft(self) -> float | None:
        """Return the depth to the top, ft: as measured, or from the level measured."""
        if self.measured is None or self.measured.depth_ft is not None:
            return None if self.measured is None else self.measured.depth_ft
        return _less(self.ground_ft, self.measured.top_ft)

    @property
    def top_ft(self) -> float | None:
        """Return the level of the top, ft: as measured, or from the depth measured."""
        if self.measured is None or self.measured.top_ft is not None:
            return None if self.measured is None else self.measured.top_ft
        return _less(self.ground_ft, self.measured.depth_ft)


def _less(a_ft: float | None, b_ft: float | None) -> float | None:
    return None if a_ft is None or b_ft is None else a_ft - b_ft


def exposed_places(review: Review, service: Service) -> tuple[ExposedPlace, ...]:
    """Return the crossings of a service by number, then the other places where it was uncovered, along it."""
    units = review.job.header.units
    found: list[tuple[str, Point, Exposure | None]] = []
    for c in review.crossings:
        if c.other == service.id:
            name = f"Crossing {c.number}, {c.run_id}"
            found.append((name, nearest_on(service, c.point), exposure_at(service, c.point)))
    for e in service.exposed:
        if not any(near(e.point, point) for _, point, _ in found):
            words = f"{u.format_length(station_on(service, e.point), units)} along it"
            found.append((words, e.point, e))
    if not found:
        return ()
    grounds: list[float | None] = [None] * len(found)
    guesses = [False] * len(found)
    if review.surface is not None:
        z, guess = review.surface.levels_at(np.array([point for _, point, _ in found]))
        grounds, guesses = list(z.tolist()), guess.tolist()
    return tuple(
        ExposedPlace(words, point, ground, is_guess, measured)
        for (words, point, measured), ground, is_guess in zip(found, grounds, guesses, strict=True)
    )


class Exposures(QWidget):
    """A row for each crossing and each further place; a depth or a level typed says it was uncovered there, a blank that not."""

    def __init__(self, session: Session, service_id: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._id = service_id
        self._places: tuple[ExposedPlace, ...] = ()
        self.heading = QLabel(f"{service_id}: where it was exposed", self)
        self.heading.setProperty("quiet", True)
        self.heading.setToolTip("Type how deep the top was found, or its level. A blank cell: not exposed there.")
        self.table = QTableWidget(0, 3, self)
        self.table.setHorizontalHeaderLabels(["Where", "Depth to top", "or its level"])
        self.table.setAccessibleName("Where it was exposed")
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(ROW_PX)
        self.table.setTabKeyNavigation(False)
        self.table.setItemDelegate(KeepingCells(self.table, self._why_not, self._say))
        TableKeys(self.table, erase=self._erase)
        self.table.cellChanged.connect(self._changed)
        self.fault = fault_line(self)
        self.how_far, self.how_deep = Entry(self), Entry(self)
        self.how_far.setPlaceholderText("distance along it")
        self.how_far.setAccessibleName("Exposed at this distance along the service, from its first point")
        self.how_deep.setPlaceholderText("depth to top")
        self.how_deep.setAccessibleName("Depth to its top there")
        self.add = QPushButton("Add", self)
        self.add.setToolTip(
            "Write down where else it was exposed: how far along it from its first point, and how deep its top is"
        )
        self.add.clicked.connect(self._add)
        self.how_deep.returnPressed.connect(self._add)
        line = QHBoxLayout()
        for part in (self.how_far, self.how_deep, self.add):
            line.addWidget(part, 0 if part is self.add else 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(4)
        box.addWidget(self.heading)
        box.addWidget(self.table)
        box.addWidget(self.fault)
        box.addLayout(line)
        self.show_values()

    def show_values(self) -> None:
        """Show the places as they are now."""
        service = thing(self._session.job, self._id)
        if not isinstance(service, Service):
            return
        self._say("")
        self._places = exposed_places(self._session.review, service)
        units = self._session.job.header.units
        self.table.blockSignals(True)
        self.table.setRowCount(len(self._places))
        for row, place in enumerate(self._places):
            depth, top = place.depth_ft, place.top_ft
            where = QTableWidgetItem(place.words)
            where.setToolTip(place.words)
            where.setFlags(Qt.ItemFlag.ItemIsEnabled)
            self.table.setItem(row, 0, where)
            self.table.setItem(row, DEPTH, _figure("" if depth is None else u.format_length(depth, units)))
            self.table.setItem(row, LEVEL, _figure("" if top is None else u.format_level(top, units)))
        self.table.blockSignals(False)
        self.table.setFixedHeight(min(MOST_ROWS, len(self._places)) * ROW_PX + 36)
        self.table.setVisible(bool(self._places))

    def _changed(self, row: int, column: int) -> None:
        item = self.table.item(row, column)
        if item is None or row >= len(self._places):
            return
        text = item.text().strip()
        if not text:
            label = f"Take back the exposure of {self._id}"
        else:
            label = f"Level of the top of {self._id}" if column == LEVEL else f"Expose {self._id}"
        if self._try(lambda job: self._typed(job, row, column, text), label):
            self.show_values()

    def _typed(self, job: Job, row: int, column: int, text: str) -> Job:
        """Return the job after a text was typed into a cell. Raises DrainsketchError where it cannot be taken."""
        place = self._places[row]
        if not text:
            return cover_up(job, self._id, place.point)
        return self._with_level(job, place.point, text) if column == LEVEL else self._with_depth(job, place, text)

    def _why_not(self, cell: Index, text: str) -> str:
        try:
            self._typed(self._session.job, cell.row(), cell.column(), text.strip())
        except DrainsketchError as fault:
            return str(fault)
        return ""

    def _erase(self) -> None:
        """Empty the chosen cell: it was not exposed there."""
        item = self.table.currentItem()
        if item is not None and item.column() in (DEPTH, LEVEL) and item.text():
            item.setText("")
            self._session.tell(f"Took back the exposure of {self._id} there. Ctrl+Z brings it back.")

    def _say(self, sentence: str) -> None:
        self.fault.setText(sentence)
        self.fault.setVisible(bool(sentence))

    def _add(self) -> None:
        service = thing(self._session.job, self._id)
        if not isinstance(service, Service):
            return

        def added(job: Job) -> Job:
            units = job.header.units
            point = point_along(service, u.parse_length_ft(self.how_far.text(), units))
            ground, guess = self._ground(point)
            return self._with_depth(job, ExposedPlace("", point, ground, guess, None), self.how_deep.text())

        if self._try(added, f"Expose {self._id}"):
            self.how_far.clear()
            self.how_deep.clear()
            self.show_values()

    def _with_level(self, job: Job, point: Point, text: str) -> Job:
        return expose(job, self._id, point, u.parse_length_ft(text, job.header.units))

    def _with_depth(self, job: Job, place: ExposedPlace, text: str) -> Job:
        depth = u.parse_length_ft(text, job.header.units)
        if depth < 0:
            raise EditError(f"{self._id}: a depth is measured down from the ground; leave out the minus sign")
        done = expose(job, self._id, place.point, depth_ft=depth)
        if place.is_guess:
            self._session.tell(GUESSED)
        return done

    def _ground(self, point: Point) -> tuple[float | None, bool]:
        surface = self._session.review.surface
        if surface is None:
            return None, False
        z, guess = surface.levels_at(np.array([point]))
        return float(z[0]), bool(guess[0])

    def _try(self, edit: Callable[[Job], Job], what: str) -> bool:
        """Apply an edit as one step that can be undone; what is wrong with it is told, and nothing changed."""
        try:
            self._session.apply(edit(self._session.job), what)
        except DrainsketchError as fault:
            self._say(str(fault))
            return False
        return True


def _figure(text: str) -> QTableWidgetItem:
    item = QTableWidgetItem(text)
    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    return item
