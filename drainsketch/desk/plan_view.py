"""What the plan widget shows at this moment: the view, the pictures, and what is painted live on top."""

from PySide6.QtCore import QObject, QSize, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from drainsketch import look
from drainsketch.desk.driver import Driver
from drainsketch.desk.furniture import (
    BOOK_HINT,
    paint_first_hint,
    paint_flash,
    paint_north,
    paint_note,
    paint_scale_bar,
    paint_station,
)
from drainsketch.desk.live import (
    MOST_LIVE,
    NOTHING,
    Ghosts,
    Lines,
    Outline,
    paint_ground,
    paint_handles,
    paint_outline,
    paint_works,
)
from drainsketch.desk.overlays import Overlays
from drainsketch.desk.painter import paint_shape, transform_of
from drainsketch.desk.plan_layers import PlanLayers
from drainsketch.desk.session import Session
from drainsketch.desk.sketching import paint_gesture
from drainsketch.desk.storm_clock import paint_clock
from drainsketch.desk.storm_paint import Moment, paint_flows, paint_low_ground, paint_water
from drainsketch.desk.view import View
from drainsketch.job.ask import things
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.sheets.marks import PlanMarks

EDIT_SLICE_S = (
    0.008  # a small job is painted at once, words and all; in a large one the changed things are painted live
)
SHORT_SLICE_S = 0.004
OLD_OPACITY = 0.4  # of a ground study that is no longer true
OTHERS_OPACITY = 0.4  # of the drains of other options
UNBUILT_OPACITY = 0.45  # of the drains, while today's ground is shown
STILL = ("water", "flow")  # overlays that a moment of the storm stands in place of
MOST_WORDED = 40  # things whose words are placed live


class PlanView(QObject):
    """Composes the plan; the widget asks it to paint."""

    view_changed = Signal(float)  # the scale of the view now, pixels per foot

    def __init__(self, session: Session, driver: Driver, widget: QWidget) -> None:
        super().__init__(widget)
        self.view = View()
        self.notice = ""  # stands on an empty plan in place of the hint where to begin
        self.overlays = Overlays(session, self)
        self.layers = PlanLayers(session, self.overlays, self)
        self._session, self._driver, self._widget = session, driver, widget
        self._ghosts = Ghosts()
        self._selected, self._hovered, self._lines = Outline(), Outline(), Lines()
        self._carried = NOTHING
        self._shown_job = session.job
        self._flash: tuple[Point, float] | None = None
        self.station: Point | None = None  # the place the profile reads
        self.moment: Moment | None = None  # of the storm, while it is shown
        session.changed.connect(self._session_changed)
        session.studied.connect(self._session_changed)
        session.selected.connect(self._session_selected)
        self.overlays.switched.connect(self._overlays_changed)
        self.overlays.aged.connect(widget.update)
        driver.shown.connect(self._gesture_changed)
        self.layers.pictures.painted.connect(self._painted)
        self.layers.take_job()
        self._ghosts.settle(session.review)

    def look_at(self, view: View) -> None:
        """Take another view."""
        if view != self.view:
            self.view = view
            self.layers.pictures.look_at(view)
            self._widget.update()
            self.view_changed.emit(view.px_per_ft)

    def resize(self, size: QSize, before: QSize, ratio: float) -> None:
        """Take the widget's size; the middle of the plan stays in the middle."""
        self.layers.pictures.resize(size, ratio)
        if before.isValid() and not before.isEmpty():
            dx, dy = (size.width() - before.width()) / 2, (size.height() - before.height()) / 2
            self.view = self.view.panned(dx, dy)
        self.layers.pictures.look_at(self.view)
        self.layers.pictures.refresh()
        self._widget.update()

    def paint(self, p: QPainter, size: tuple[float, float]) -> None:
        """Paint the plan."""
        driver, view, job = self._driver, self.view, self._session.job
        p.fillRect(0, 0, int(size[0]) + 1, int(size[1]) + 1, look.PAPER)
        shown, layers = driver.preview, self.layers
        marks = self._carried
        if shown.ghost is not None and shown.moving:
            marks = self._ghosts.marks(shown.ghost, shown.moving[:MOST_LIVE], self._session.review)
        layers.under.draw(p, view)
        layers.ground.draw(p, view)
        self._paint_chosen(p, shown.ghost or job, spots=False)
        paint_ground(p, marks, layers.shapes, view)
        p.setOpacity(OLD_OPACITY if self.overlays.old else 1.0)
        layers.study.draw(p, view)
        p.setOpacity(1.0)
        if self.moment is not None:
            paint_low_ground(p, self.moment, view)
        p.setOpacity(OTHERS_OPACITY)
        layers.others.draw(p, view)
        p.setOpacity(1.0 if self.moment is None or self.moment.drained else UNBUILT_OPACITY)
        layers.works.draw(p, view)
        p.setOpacity(1.0)
        if self.moment is not None:
            paint_water(p, self.moment, view)
        layers.chosen.draw(p, view)
        self._paint_chosen(p, shown.ghost or job, spots=True)
        layers.words.draw(p, view)
        if self.moment is not None:
            paint_flows(p, self.moment, view)
        taken = [box.hull() for box in layers.written(view, *size)] if marks.labels else []
        paint_works(p, marks, layers.shapes, view, size, taken)
        if len(self._session.selection) <= MOST_LIVE:
            paint_handles(p, shown.ghost or job, self._session.selection, shown.vertex, view)
        paint_gesture(p, driver, view, size)
        if next(things(job), None) is None and job.backdrop is None and not driver.begun:
            paint_first_hint(p, *size, self.notice or (BOOK_HINT if job.book.setups else ""))
        paint_scale_bar(p, view, size[1], job.header.units)
        paint_north(p, size[0])
        paint_note(p, size, self.overlays.note)
        if self.moment is not None:
            paint_clock(p, self.moment, view, size, [box.hull() for box in layers.written(view, *size)])
        if self.station is not None:
            paint_station(p, self.station, view)
        if self._flash is not None:
            paint_flash(p, self._flash[0], view, self._flash[1])

    def show_others(self, on: bool) -> None:
        """Show the drains of the other options faintly, or no longer."""
        self.layers.show_others(on)
        self.layers.pictures.refresh()
        self._widget.update()

    def show_place(self, at: Point | None) -> None:
        """Mark the place that is read in the profile; None takes the mark off."""
        if at != self.station:
            self.station = at
            self._widget.update()

    def show_moment(self, moment: Moment | None, *, is_due: bool = False) -> None:
        """Show a moment of the storm, in place of the overlays that tell of its peak; None takes it off.

        Parameters
        ----------
        is_due : another one is about to come
        """
        if moment is not None or self.moment is not None:
            self._widget.update()
        self.moment = moment
        self.overlays.set_aside(*(STILL if moment is not None or is_due else ()))

    def flash_at(self, at: Point) -> None:
        """Choose the place to flash."""
        self._flash = (at, 0.0)

    def flash_on(self, gone: float) -> None:
        """Take how much of the flash has gone, 0 to 1."""
        if self._flash is not None:
            self._flash = (self._flash[0], gone)
            self._widget.update()

    def flash_off(self) -> None:
        """End the flash."""
        self._flash = None
        self._widget.update()

    def _paint_chosen(self, p: QPainter, job: Job, spots: bool) -> None:
        """Paint the glow of lines, under what is built and under the lines themselves; or the rings round spots."""
        ids, hovered = self._session.selection, self._driver.hovered
        if hovered and hovered not in ids:
            for line, closed in self._hovered.of(job, (hovered,)):
                if (line.size() == 1) is spots:
                    paint_outline(p, line, closed, self.view, strong=False)
        if len(ids) > MOST_LIVE:
            return
        for line, closed in self._selected.of(job, ids):
            if (line.size() == 1) is spots:
                paint_outline(p, line, closed, self.view)
        if not spots and not self.layers.hidden:
            to_px = transform_of(self.view)
            for shape in self._lines.of(self.layers.marks, self._session.job, ids, self.layers.shapes):
                paint_shape(p, shape, to_px, self.view)

    def _session_changed(self) -> None:
        session = self._session
        before, self._shown_job = self._shown_job, session.job
        changed = _changed(before, session.job)
        self.layers.hide((), flags=False)
        self.layers.take_job()
        self.layers.take_study()
        self._ghosts.settle(session.review)
        self.layers.pictures.refresh(EDIT_SLICE_S)
        self._carried = NOTHING if self.layers.pictures.settled else _only(self.layers.marks, changed)
        self._widget.update()

    def _overlays_changed(self) -> None:
        self.layers.take_study(switched=True)
        self.layers.pictures.refresh()
        self._widget.update()

    def _session_selected(self) -> None:
        self.layers.take_selection()
        self.layers.pictures.refresh()
        self._widget.update()

    def _gesture_changed(self) -> None:
        shown = self._driver.preview
        moving = shown.moving[:MOST_LIVE] if shown.ghost is not None else ()
        flags = bool(moving) and shown.ghost is not None and self._ghost_has_flags(shown.ghost, moving)
        if self._session.job is self._shown_job and self.layers.hide(moving, flags):
            self.layers.pictures.refresh(SHORT_SLICE_S)
        self._widget.update()

    def _ghost_has_flags(self, ghost: Job, moving: tuple[str, ...]) -> bool:
        return bool(self._ghosts.marks(ghost, moving, self._session.review).flags)

    def _painted(self) -> None:
        if self.layers.pictures.settled:
            self._carried = NOTHING
        self._widget.update()


def _changed(before: Job, now: Job) -> frozenset[str]:
    """Return the ids of the things that are new or other than before."""
    old = {t.id: t for t in things(before)}
    return frozenset(t.id for t in things(now) if old.get(t.id) is not t)


def _only(marks: PlanMarks, owners: frozenset[str]) -> PlanMarks:
    """Return the marks of what changed, to be painted live until the pictures show it; of very much nothing, of much no words."""
    if len(owners) > MOST_LIVE:
        return NOTHING
    return PlanMarks(
        ground=tuple(m for m in marks.ground if m.owner in owners),
        drains=tuple(m for m in marks.drains if m.owner in owners),
        flags=(),
        labels=tuple(m for m in marks.labels if m.owner in owners) if len(owners) <= MOST_WORDED else (),
    )
