"""The Water pane: the storm at the left, what it does to inlets, pipe and wells at the right, and how a figure was made."""

from collections.abc import Container

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QGuiApplication, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QSplitter, QVBoxLayout, QWidget

from drainsketch.desk.panes.table_keys import fault_line
from drainsketch.desk.panes.water_bar import Bar, Switch
from drainsketch.desk.panes.water_form import WaterForm
from drainsketch.desk.panes.water_rows import View, WaterRow, inlet_rows, offer_words, pipe_rows, well_rows
from drainsketch.desk.panes.water_table import WaterTable
from drainsketch.desk.panes.water_words import missing, standing
from drainsketch.desk.panes.water_working import Working
from drainsketch.desk.raining import example_text, take_rain
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError
from drainsketch.files.rainfall import TAKEN_AS_INCHES
from drainsketch.job.ask import things
from drainsketch.job.edits.change import change_rain
from drainsketch.water.offers import Offer, grate_offers, pipe_offers, taken
from drainsketch.water.results import Water
from drainsketch.water.well_working import well_working
from drainsketch.water.working import inlet_working, run_working
from drainsketch.wording import Words

FORM_PX, LEAST_PX = 292, 96
WIDE_PX = 980  # from here on the working stands beside the table
ASK_PX, MOST_PX = 24, 16_777_215  # a line; Qt's own bound
MAKE = {"inlets": inlet_working, "pipe": run_working, "wells": well_working}


class WaterPane(QWidget):
    """Storm, inlets, pipe and wells; the chosen row and the selection go together."""

    thing_chosen = Signal(tuple)  # ids, to be seen on the plan
    file_asked = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.view: View = "inlets"
        self.form = WaterForm(session, self)
        self.switch = Switch(self)
        self.told = _line(self, quiet=True)
        self.fault = fault_line(self)
        self.fault.setAccessibleName("What is wrong with the rain table")
        self.fault.setContentsMargins(10, 4, 8, 0)
        self.missing = _line(self)
        self.summary = _line(self)
        self.table = WaterTable(self)
        self.explained = Working(self)
        self.working = self.explained.label
        self.bar = Bar(self.switch, self.summary, self)
        self._moved = False  # the border over the working, by the user
        self._lay_out()
        rain = self.form.buttons
        rain.paste_asked.connect(self._paste)
        rain.file_asked.connect(self.file_asked)
        rain.example_asked.connect(lambda name: self._take(example_text(name)))
        rain.clear_asked.connect(self._clear)
        self.table.pasted.connect(self._paste)
        self.switch.turned.connect(self._turn)
        self.table.row_chosen.connect(self._choose)
        self.bar.accepted.connect(self._accept)
        session.changed.connect(self.refresh)
        session.studied.connect(self.refresh)
        session.selected.connect(self._follow)
        self.say("")

    @property
    def water(self) -> Water | None:
        """The water review that is shown; it may be that of an earlier job."""
        return self._session.study.water if self._session.study is not None else None

    @property
    def offers(self) -> list[QPushButton]:
        """The buttons of the sizes that would do."""
        return self.bar.offers

    def refresh(self) -> None:
        """Show the storm and what it does, once it is to be seen."""
        if not self.isVisible():
            return
        session, water = self._session, self.water
        self.form.show_values()
        rain = session.job.rain
        self.form.buttons.clear.setEnabled(rain.table is not None or rain.intensity_in_h is not None)
        why = missing(session.job, session.review, water, failed=session.study_failed)
        self.missing.setText(why)
        self.missing.setVisible(bool(why))
        self.right.setVisible(not why)
        if why or water is None:
            return
        old = not session.study_is_current
        words = Words.of(session.job)
        self.switch.show_wells(bool(water.wells))
        if self.view == "wells" and not water.wells:
            self.view = "inlets"
            self.switch.show_view(self.view)
        there = {t.id for t in things(session.job)}
        rows = tuple(r for r in self._rows(water, words) if r.id in there)
        self.table.show_rows(self.view, rows, old=old)
        said, worry = standing(session.job, session.review, water, words, old=old, failed=session.study_failed)
        self.summary.setText(said)
        tones = tones_of(self)
        color = tones.quiet if old else tones.stop if worry else tones.text
        self.summary.setStyleSheet(f"font-weight: bold; color: {color};")
        self.bar.show_offers(() if old else self._offered(water), words)
        self._match()
        self._explain()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the review and the selection."""
        super().showEvent(event)
        self.refresh()
        self._follow()

    def changeEvent(self, event: QEvent) -> None:
        """Take the tones of a window that turned dark or light."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "split"):
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the working beside the table where there is room."""
        super().resizeEvent(event)
        room = self.width() - FORM_PX
        across = Qt.Orientation.Horizontal if room >= WIDE_PX else Qt.Orientation.Vertical
        if across != self.split.orientation():
            self.split.setOrientation(across)
            self.split.setSizes([3 * room, 2 * room])
        self._explain()

    def say(self, fault: str, told: tuple[str, ...] = ()) -> None:
        """Say what is wrong with a table, or what has to be known of one that was read."""
        said = "; ".join(told)
        self.told.setText(f"{said[:1].upper()}{said[1:]}." if said else "")
        loud = f"color: {tones_of(self).settle}; font-weight: bold;" if TAKEN_AS_INCHES in told else ""
        self.told.setStyleSheet(loud)
        self.told.setVisible(bool(said))
        self.fault.setText(fault)
        self.fault.setStyleSheet(f"color: {tones_of(self).stop};")
        self.fault.setVisible(bool(fault))

    def _lay_out(self) -> None:
        self.left = _scrolled(self.form)
        self.left.setFixedWidth(FORM_PX)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(2)
        self.split.splitterMoved.connect(self._was_moved)
        for part, share in ((self.table, 3), (self.explained, 2)):
            self.split.addWidget(part)
            self.split.setStretchFactor(self.split.count() - 1, share)
        self.right = QWidget(self)
        right = QVBoxLayout(self.right)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        right.addWidget(self.bar)
        right.addWidget(self.split, 1)
        self.missing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.missing.setContentsMargins(16, 14, 16, 10)
        said = QVBoxLayout()  # at the right: the form stays where it is, whatever there is to say
        said.setContentsMargins(0, 0, 0, 0)
        said.setSpacing(0)
        for told in (self.fault, self.told):
            said.addWidget(told)
        for shown in (self.missing, self.right):
            said.addWidget(shown, 1)
        self.setMinimumHeight(LEAST_PX)  # or the profile would be as high as this pane wants to be
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.left)
        box.addLayout(said, 1)

    def _paste(self) -> None:
        self._take(QGuiApplication.clipboard().text())

    def _take(self, text: str) -> None:
        try:
            told = take_rain(self._session, text)
        except DrainsketchError as fault:
            self.say(f"{str(fault)[:1].upper()}{str(fault)[1:]}. The rain of the job stays as it was.")
            return
        self.say("", told)

    def _clear(self) -> None:
        job = change_rain(self._session.job, table=None, return_period_yr=None, intensity_in_h=None, source="")
        self._session.apply(job, "Clear the rain")
        self.say("")

    def _turn(self, view: View) -> None:
        self.view = view
        self.switch.show_view(view)
        self.refresh()

    def _choose(self, its_id: str) -> None:
        self._session.select((its_id,))
        self.thing_chosen.emit((its_id,))

    def _follow(self) -> None:
        """Turn to the table that has what is selected, and to its row."""
        water, chosen = self.water, self._session.selection
        if not self.isVisible() or water is None:
            return
        wanted: View | None = None
        if len(chosen) == 1:
            of: dict[View, Container[str]] = {"pipe": water.pipes, "inlets": water.arrivals, "wells": water.wells}
            wanted = next((view for view, its in of.items() if chosen[0] in its), None)
        if wanted is not None and wanted != self.view:
            self._turn(wanted)
        else:
            self._match()
            self._explain()

    def _match(self) -> None:
        chosen = self._session.selection
        self.table.go_to(chosen[0] if len(chosen) == 1 else "")

    def _explain(self) -> None:
        """Show how the figures of the chosen row were made."""
        study, chosen = self._session.study, self.table.chosen
        under = self.split.orientation() is Qt.Orientation.Vertical
        if study is None or not chosen:
            self.explained.show_steps(None)
            self.explained.setMaximumHeight(ASK_PX if under else MOST_PX)
            return
        job = study.review.job  # the one its figures are of
        self.explained.setMaximumHeight(MOST_PX)
        self.explained.show_steps(MAKE[self.view](job, study.water, chosen, Words.of(job)))
        if under and not self._moved:
            self._share()

    def _share(self) -> None:
        """Give the working what it wants, as far as a table is left of which the chosen row is seen; not once the user moved the border."""
        room = self.split.height() - self.split.handleWidth()
        working = max(ASK_PX, min(self.explained.wanted_px, room - self.table.least_px))
        self.split.setSizes([room - working, working])

    def _was_moved(self) -> None:
        self._moved = True

    def _rows(self, water: Water, words: Words) -> tuple[WaterRow, ...]:
        basis = self._session.job.water
        if self.view == "pipe":
            return pipe_rows(water, basis.self_cleansing_ft_s, words)
        return inlet_rows(water, words) if self.view == "inlets" else well_rows(water, basis.drawdown_h, words)

    def _offered(self, water: Water) -> tuple[Offer, ...]:
        job, network = self._session.job, self._session.review.network
        if self.view == "wells":
            return ()
        pipe = pipe_offers(job, network, water) if self.view == "pipe" or water.over else ()
        return (*grate_offers(water), *pipe) if self.view == "inlets" else pipe

    def _accept(self, offer: Offer) -> None:
        try:
            job = taken(self._session.job, offer)
        except DrainsketchError as fault:
            self.say(str(fault))
            return
        said = offer_words(offer, Words.of(job))
        self._session.apply(job, said)
        self._session.tell(f"{said}. Ctrl+Z takes it back.")


def _line(parent: QWidget, *, quiet: bool = False) -> QLabel:
    label = QLabel(parent)
    label.setWordWrap(True)
    label.setProperty("quiet", quiet)
    label.setContentsMargins(10, 4, 8, 4)
    return label


def _scrolled(widget: QWidget) -> QScrollArea:
    area = QScrollArea()
    area.setWidget(widget)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area
