"""The Water pane: the storm at the left, what it does to inlets and pipe at the right, and how a figure was made."""

import re
from html import escape

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QGuiApplication, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QSplitter, QVBoxLayout, QWidget

from drainsketch.desk.panes.table_keys import fault_line
from drainsketch.desk.panes.water_bar import Switch, button
from drainsketch.desk.panes.water_form import WaterForm
from drainsketch.desk.panes.water_rows import View, inlet_rows, offer_words, pipe_rows
from drainsketch.desk.panes.water_table import WaterTable
from drainsketch.desk.panes.water_words import missing, standing
from drainsketch.desk.raining import example_text, take_rain
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError
from drainsketch.job.ask import things
from drainsketch.job.edits.change import change_rain
from drainsketch.water.offers import Offer, grate_offers, pipe_offers, taken
from drainsketch.water.results import Water
from drainsketch.water.working import inlet_working, run_working
from drainsketch.wording import Words

FORM_PX, LEAST_PX = 292, 96
WIDE_PX = 980  # from here on the working stands beside the table
ASK_PX, MOST_PX = 26, 16_777_215  # a line; Qt's own bound
UNIT_AFTER, NO_BREAK = re.compile(r"(?<=\d) (?=[^\W\d_])"), "\u00a0"  # a figure keeps its unit
ASK = "Choose a row to see how its figures were made."


class WaterPane(QWidget):
    """Storm, inlets and pipe; the chosen row and the selection go together."""

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
        self.working = _line(self)
        self.offers: list[QPushButton] = []
        self._offered: tuple[Offer, ...] = ()
        self._lay_out()
        rain = self.form.buttons
        rain.paste_asked.connect(self._paste)
        rain.file_asked.connect(self.file_asked)
        rain.example_asked.connect(lambda name: self._take(example_text(name)))
        rain.clear_asked.connect(self._clear)
        self.table.pasted.connect(self._paste)
        self.switch.turned.connect(self._turn)
        self.table.row_chosen.connect(self._choose)
        session.changed.connect(self.refresh)
        session.studied.connect(self.refresh)
        session.selected.connect(self._follow)
        self.say("")

    @property
    def water(self) -> Water | None:
        """The water review that is shown; it may be that of an earlier job."""
        return self._session.study.water if self._session.study is not None else None

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
        keeps_clean = session.job.water.self_cleansing_ft_s
        rows = inlet_rows(water, words) if self.view == "inlets" else pipe_rows(water, keeps_clean, words)
        there = {t.id for t in things(session.job)}
        self.table.show_rows(self.view, tuple(r for r in rows if r.id in there), old=old)
        said, worry = standing(session.job, water, old=old, failed=session.study_failed)
        self.summary.setText(said)
        tones = tones_of(self)
        color = tones.quiet if old else tones.stop if worry else tones.text
        self.summary.setStyleSheet(f"font-weight: bold; color: {color};")
        self._offer(() if old else self._offers(water))
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
            self.split.setSizes([2 * room, room])
        self._explain()

    def say(self, fault: str, told: tuple[str, ...] = ()) -> None:
        """Say what is wrong with a table, or what has to be known of one that was read."""
        said = "; ".join(told)
        self.told.setText(f"{said[:1].upper()}{said[1:]}." if said else "")
        self.told.setVisible(bool(said))
        self.fault.setText(fault)
        self.fault.setStyleSheet(f"color: {tones_of(self).stop};")
        self.fault.setVisible(bool(fault))

    def _lay_out(self) -> None:
        self.left = _scrolled(self.form)
        self.left.setFixedWidth(FORM_PX)
        self.explained = _scrolled(self.working)
        self.working.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.working.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(2)
        for part, share in ((self.table, 3), (self.explained, 2)):
            self.split.addWidget(part)
            self.split.setStretchFactor(self.split.count() - 1, share)
        self.offer_row = QHBoxLayout()
        self.offer_row.setContentsMargins(6, 1, 8, 1)
        self.offer_row.setSpacing(4)
        self.offer_row.addWidget(self.switch)
        self.offer_row.addWidget(self.summary, 1)
        self.right = QWidget(self)
        right = QVBoxLayout(self.right)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        right.addLayout(self.offer_row)
        right.addWidget(self.split, 1)
        self.missing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.missing.setContentsMargins(16, 14, 16, 10)
        line = QHBoxLayout()
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(0)
        line.addWidget(self.left)
        line.addWidget(self.missing, 1)
        line.addWidget(self.right, 1)
        self.setMinimumHeight(LEAST_PX)  # or the profile would be as high as this pane wants to be
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.fault)
        box.addWidget(self.told)
        box.addLayout(line, 1)

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
            wanted = "pipe" if chosen[0] in water.pipes else "inlets" if chosen[0] in water.arrivals else None
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
        beside = self.split.orientation() is Qt.Orientation.Horizontal
        if study is None or not chosen:
            self.working.setText(f"<span style='color:{tones_of(self).quiet}'>{ASK}</span>")
            self.explained.setMaximumHeight(MOST_PX if beside else ASK_PX)
            return
        self.explained.setMaximumHeight(MOST_PX)
        make = inlet_working if self.view == "inlets" else run_working
        job = study.review.job  # the one its figures are of
        tones = tones_of(self)
        steps = make(job, study.water, chosen, Words.of(job))
        rows = "".join(
            f"<tr><td width='{33 if beside else 28}%' style='padding-right:10px;color:{tones.quiet}'>{escape(s.what)}</td>"
            f"<td>{escape(UNIT_AFTER.sub(NO_BREAK, s.arithmetic))}</td></tr>"
            for s in steps
        )
        notes = dict.fromkeys(f"{s.what}: {s.note}" for s in steps if s.note)
        said = f"<p style='color:{tones.quiet}'>{escape('; '.join(notes))}</p>" if notes else ""
        self.working.setText(f"<table width='100%'>{rows}</table>{said}")

    def _offers(self, water: Water) -> tuple[Offer, ...]:
        job, network = self._session.job, self._session.review.network
        return grate_offers(water) if self.view == "inlets" else pipe_offers(job, network, water)

    def _offer(self, offers: tuple[Offer, ...]) -> None:
        """Show a button for each offer; they stay while the offers do."""
        if offers == self._offered:
            return
        self._offered = offers
        for old in self.offers:
            old.hide()
            old.deleteLater()
        self.offers = []
        for offer in offers:
            made = button(
                offer_words(offer), f"For {', '.join(offer.ids)}; the plan is then looked at anew", self.right
            )
            made.clicked.connect(lambda _=False, offer=offer: self._accept(offer))
            self.offer_row.addWidget(made)
            self.offers.append(made)

    def _accept(self, offer: Offer) -> None:
        try:
            job = taken(self._session.job, offer)
        except DrainsketchError as fault:
            self.say(str(fault))
            return
        self._session.apply(job, offer_words(offer))
        self._session.tell(f"{offer_words(offer)}. Ctrl+Z takes it back.")


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
