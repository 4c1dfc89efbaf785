"""The Work plan pane: the form at the left, days and tasks in the middle, what has to be known of them at the right."""

from html import escape

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QScrollArea, QSplitter, QWidget

from drainsketch.desk.panes.workplan_form import WorkForm
from drainsketch.desk.panes.workplan_list import WorkList
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.planning import work_plan_of
from drainsketch.takeoff.workplan.results import PlannedWork, Task, WorkDay
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words

FORM_PX, LEAST_PX = 292, 96
WIDE_PX = 560  # from here on the words stand beside the list
WAIT_MS = 120  # while a thing is dragged nobody reads the days
QUIET_MS = 400  # after the last edit, before a hidden pane counts what stops the work
LEVELS = {"stop": "Stop", "settle": "Settle", "note": "Note"}
ASK = "Choose a task: it is selected on the plan, and how it is done stands here."


class WorkPlanPane(QWidget):
    """The work of the job, day by day; a chosen task selects its things."""

    thing_chosen = Signal(tuple)  # ids, to be seen on the plan

    noted = Signal(int, str)  # how many notes stop the work or are to be settled, and the worst level of them

    def __init__(self, session: Session, desk: PriceDesk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._desk = session, desk
        self._moved = False  # the border before the words, by the user
        self.plan: PlannedWork | None = None
        self.form = WorkForm(session, self)
        self.list = WorkList(self)
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.RichText)
        self.words.setContentsMargins(10, 6, 10, 8)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.words.setAccessibleName("What has to be known of the work")
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self.refresh)
        self._lay_out()
        self.list.task_chosen.connect(self._choose)
        session.changed.connect(self._later)
        desk.changed.connect(lambda: self.refresh() if self.isVisible() else self._later())

    def refresh(self) -> None:
        """Plan the work of the present job; while nobody sees it, only count what stops the work."""
        self._timer.stop()
        prices, job = self._desk.prices, self._session.job
        plan = None if prices is None else work_plan_of(self._session.review, prices, self._desk.price)
        self._count(plan)
        if not self.isVisible():
            return
        self.form.show_values()
        self.plan = plan
        if plan is None:
            self.list.clear()
        else:
            self.list.show_plan(plan, Sayings(Words.of(job)))
        self._tell()

    def _count(self, plan: PlannedWork | None) -> None:
        held = [note.level for note in plan.notes if note.level != "note"] if plan is not None and plan.days else []
        self.noted.emit(len(held), min(held, key=list(LEVELS).index, default=""))

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the review, and with what was written into the user's own files elsewhere."""
        super().showEvent(event)
        self._desk.look_again()
        self.refresh()

    def changeEvent(self, event: QEvent) -> None:
        """Take the tones of a window that turned dark or light."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "split"):
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the words beside the list where there is room."""
        super().resizeEvent(event)
        room = self.width() - FORM_PX
        self.split.setOrientation(Qt.Orientation.Horizontal if room >= WIDE_PX else Qt.Orientation.Vertical)
        if not self._moved:
            self.split.setSizes([2 * room, room])

    def _was_moved(self) -> None:
        self._moved = True

    def _later(self) -> None:
        self._timer.start(WAIT_MS if self.isVisible() else QUIET_MS)

    def _lay_out(self) -> None:
        self.left = _scrolled(self.form)
        self.left.setFixedWidth(FORM_PX)
        self.right = _scrolled(self.words)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(2)
        self.split.addWidget(self.list)
        self.split.addWidget(self.right)
        self.split.splitterMoved.connect(self._was_moved)
        self.setMinimumHeight(LEAST_PX)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.left)
        box.addWidget(self.split, 1)

    def _choose(self, what: Task | WorkDay) -> None:
        of_day = () if isinstance(what, Task) else tuple(t.owner for t in what.tasks if t.owner)
        ids = what.ids if isinstance(what, Task) else tuple(dict.fromkeys(of_day))
        if ids:
            self._session.select(ids)
            self.thing_chosen.emit(ids)
        self._tell()
        self.right.verticalScrollBar().setValue(0)

    def _tell(self) -> None:
        """Say what stops the work, what the chosen task asks for, what is to be settled, and how the ticket stands."""
        say, tones = Sayings(Words.of(self._session.job)), tones_of(self)
        if self.plan is None:
            self.words.setText(f"<p style='color:{tones.stop}'>{escape(self._desk.fault)}</p>")
            return
        notes: dict[str, list[str]] = {level: [] for level in LEVELS}
        for note in self.plan.notes:
            text, remedy = say.note(note)
            level = f"<b style='color:{tones.level(note.level)}'>{LEVELS[note.level]}:</b>"
            notes[note.level].append(f"<p>{level} {escape(text)} {escape(remedy)}</p>")
        chosen, rest = f"<p>{self._chosen(say)}</p>", [*notes["settle"], *notes["note"]]
        is_chosen = self.list.chosen is not None or self.list.chosen_day is not None
        parts = [*notes["stop"], *([chosen, *rest] if is_chosen else [*rest, chosen])]
        crew = [say.crew(self.plan)] if self.plan.days else []
        if said := say.unplanned(self.plan):
            crew.append(said)
        parts += [f"<p><b>{escape(line)}</b></p>" for line in crew]
        parts += [f"<p>{escape(paces)}</p>" for paces in [say.paces(self.plan)] if paces]
        parts.append(f"<p>{'<br>'.join(escape(line) for line in say.ticket(self.plan))}</p>")
        parts += [f"<p style='color:{tones.quiet}'>{escape(line)}</p>" for line in say.cautions]
        if rain := say.rain(self.plan):
            parts.append(f"<p><b>{escape(say.word('rain.title'))}</b></p>")
            parts += [f"<p>{escape(line)}</p>" for line in rain]
        self.words.setText("".join(parts))

    def _chosen(self, say: Sayings) -> str:
        task, day, plan = self.list.chosen, self.list.chosen_day, self.plan
        assert plan is not None
        if task is not None:
            where = say.where(task)
            at = f": {where}" if where and not task.is_hold else ""
            head = f"<b>{escape(say.task(task) + at)}</b><br>"
            held = f"<b>{escape(say.hold(where, plan.tolerance_in))}</b><br>" if task.is_hold else ""
            return f"{head}{held}{escape(say.craft(task.kind))} <i>({escape(say.word('common'))})</i>"
        if day is not None:
            lows = [s for s in plan.stretches if s.opened <= day.number <= s.closed]
            spans = "; ".join(say.word("span", run=s.run_id, from_ft=s.from_ft, to_ft=s.to_ft) for s in lows)
            told = [say.day(day), spans, say.word("loads", loads=day.loads) if day.loads else "", say.overnight(day)]
            return "<br>".join(escape(t) for t in told if t)
        return f"<span style='color:{tones_of(self).quiet}'>{ASK if plan.days else ''}</span>"


def _scrolled(widget: QWidget) -> QScrollArea:
    area = QScrollArea()
    area.setWidget(widget)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area
