"""The layers of the plan: the ground, what is built with its flags and words, and large selections."""

from collections.abc import Iterable, Iterator
from functools import partial

from PySide6.QtCore import QObject, QSize
from PySide6.QtGui import QPainter

from drainsketch.desk.backdrop_paint import Underlay, underlay_of
from drainsketch.desk.furniture import corners_taken, paint_grid
from drainsketch.desk.layers import Layer, Pictures, Step
from drainsketch.desk.lettering import (
    MOST_MOVED_FLAGS,
    flag_rects,
    labels_in_tiles,
    paint_flag,
    paint_label,
    placed_flags,
    symbol_rects,
)
from drainsketch.desk.live import MOST_LIVE, NOTHING, Outline, paint_outline
from drainsketch.desk.overlay_paint import overlay_labels, overlay_steps
from drainsketch.desk.overlay_shapes import Ready, made_ready
from drainsketch.desk.overlays import Overlays
from drainsketch.desk.painter import Shape, Shapes, paint_shape, symbol_scale, transform_of
from drainsketch.desk.session import Session
from drainsketch.desk.view import Extent, View
from drainsketch.job.model import Job
from drainsketch.sheets.boxes import Box
from drainsketch.sheets.flow_marks import NO_FLOW, Flow, flow_of, with_flow
from drainsketch.sheets.marks import Band, Label, Mark, PlanMarks, Stroke, is_tint
from drainsketch.sheets.option_marks import marks_aside
from drainsketch.sheets.plan_marks import MarkStore, plan_marks
from drainsketch.water.results import Water
from drainsketch.wording import Words

BATCH = 12  # marks painted in one step
FAR_PX_PER_FT = 1.5  # from farther off than this only the words of structures are written
MIDDLE_PX_PER_FT = 3.0


class PlanLayers:
    """What is painted into the pictures, from a session; knows which layer an edit touched."""

    def __init__(self, session: Session, overlays: Overlays, parent: QObject) -> None:
        self._session = session
        self._overlays = overlays
        self._ready: Ready | None = None
        self._store = MarkStore()
        self.shapes = Shapes()
        self.marks = NOTHING  # with those of the storm while they are shown
        self._plain = NOTHING
        self._flow = NO_FLOW
        self._shown_water: Water | None = None
        self.painted_job: Job = session.job  # the job the pictures show, or will soon
        self._units = session.job.header.units
        self.hidden: frozenset[str] = frozenset()
        self._flags_hidden = False
        self._outline = Outline()
        self._written: tuple[View, list[Box]] = (View(), [])
        self._many = False  # the selection shown is a large one
        self._underlay: Underlay | None = None
        self.under = Layer(self._under_steps, paper=True)  # the drawing under the plan, where there is one
        self.under.shown = False
        self.ground = Layer(self._ground_steps, paper=True)
        self.study = Layer(self._study_steps)
        self.others = Layer(self._others_steps)
        self.others.shown = False
        self._aside_of: tuple[object, ...] = ()  # what the picture of the others was made from
        self._other_marks: tuple[Mark, ...] = ()
        self.works = Layer(self._works_steps)
        self.words = Layer(self._words_steps)
        self.chosen = Layer(self._chosen_steps)
        layers = (self.under, self.ground, self.study, self.others, self.works, self.words, self.chosen)
        self.pictures = Pictures(layers, parent)

    def resize(self, size: QSize, ratio: float) -> None:
        """Take the size of the plan on screen."""
        self.pictures.resize(size, ratio)

    def take_job(self) -> None:
        """Take the session's job and review; only the layers whose marks differ are painted anew."""
        units = self._session.job.header.units
        if units != self._units:
            self._units = units
            self._shown_water = None
            self.pictures.spoil(self.under, self.ground)
        self._take_underlay()
        self._take_marks(plan_marks(self._session.job, self._session.review, self._store), self._flow)
        self._take_others()

    def show_others(self, on: bool) -> None:
        """Show the options aside faintly, or no longer."""
        self.others.shown = on
        self._take_others()

    def _take_others(self) -> None:
        """Take the options aside; their picture stays while neither they nor the drawn drains have come to rest on others."""
        job = self._session.job
        now = (job.aside, job.option) if self.others.shown else ()
        if len(now) == len(self._aside_of) and all(a is b for a, b in zip(now, self._aside_of, strict=True)):
            return
        self._aside_of = now
        self._other_marks = marks_aside(job) if now else ()
        self.shapes.keep_only([*self.marks.ground, *self.marks.drains, *self._other_marks])
        self.pictures.spoil(self.others)

    def _take_underlay(self) -> None:
        """Take the drawing under the plan: with it the paper and its grid lie in its picture, and the ground is see-through."""
        before, self._underlay = self._underlay, underlay_of(self._session.job.backdrop, self._underlay)
        if self._underlay is before:
            return
        self.under.shown = self._underlay is not None
        self.ground.paper = not self.under.shown
        self.pictures.spoil(self.under, *(() if before is not None and self.under.shown else (self.ground,)))

    def _take_marks(self, plain: PlanMarks, flow: Flow) -> None:
        """Take the marks of the job and of its storm; what is the same as before stays the same tuple."""
        before, was, made = self.marks, self._plain, with_flow(plain, flow)
        if flow is self._flow:
            made = PlanMarks(
                ground=made.ground,
                drains=before.drains if plain.drains is was.drains else made.drains,
                flags=before.flags if plain.flags is was.flags else made.flags,
                labels=before.labels if plain.labels is was.labels else made.labels,
            )
        self.marks, self._plain, self._flow = made, plain, flow
        self.shapes.keep_only([*self.marks.ground, *self.marks.drains, *self._other_marks])
        spoiled = []
        if self.marks.ground is not before.ground:
            spoiled.append(self.ground)
        if self.marks.drains is not before.drains:
            spoiled.append(self.works)
        if any(now is not old for now, old in zip(_lists(self.marks), _lists(before), strict=True)):
            spoiled.append(self.words)
        self.pictures.spoil(*spoiled)

    def take_study(self, switched: bool = False) -> None:
        """Take the latest study, and which overlays are on; what is the same study as before is not painted anew."""
        self._take_storm()
        before = self._ready
        study = self._overlays.ground if self._overlays.ground_on else None
        if study is None:
            self._ready = None
        elif self._ready is None or self._ready.study is not study:
            self._ready = made_ready(study)
        self.study.shown = self._ready is not None
        if switched or self._ready is not before:
            self.pictures.spoil(self.study, self.words)

    def _take_storm(self) -> None:
        """Take what the storm does, where that is to be shown."""
        storm = self._overlays.storm
        water = storm.water if storm is not None else None
        if water is self._shown_water:
            return
        self._shown_water = water
        flow = flow_of(storm.review.job, storm.water, Words.of(self._session.job)) if storm is not None else NO_FLOW
        if flow != self._flow:
            self._take_marks(self._plain, flow)

    def take_selection(self) -> None:
        """Take the session's selection; a small one is painted live."""
        many = len(self._session.selection) > MOST_LIVE
        if many or self._many:
            self.pictures.spoil(self.chosen)
        self._many = many

    def hide(self, owners: tuple[str, ...], flags: bool) -> bool:
        """Leave things out of the pictures while they are painted live, and the flags if those are too.

        Return whether that is other than before.
        """
        wanted, flags = frozenset(owners), flags and bool(owners)
        if wanted == self.hidden and flags == self._flags_hidden:
            return False
        changed = wanted ^ self.hidden
        self.hidden, self._flags_hidden = wanted, flags
        spoiled = [self.works, self.words]
        if any(m.owner in changed for m in self.marks.ground):
            spoiled.append(self.ground)
        self.pictures.spoil(*spoiled)
        return True

    def written(self, now: View, width: float, height: float) -> list[Box]:
        """Return where the words of the picture stand on a widget of this size, pixels; nothing while it is stretched."""
        view, boxes = self._written
        scale, dx, dy = view.seen_from(now)
        if scale != 1.0:
            return []
        moved = (Box(b.x + dx, b.y + dy, b.width, b.height, b.angle_deg) for b in boxes)
        return [b for b in moved if _overlap(b.hull(), (0.0, 0.0, width, height))]

    # -- steps

    def _under_steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        yield lambda p: paint_grid(p, view, width, height, self._units)
        if self._underlay is not None:
            yield from self._underlay.steps(view, width, height)

    def _ground_steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        if self.ground.paper:
            yield lambda p: paint_grid(p, view, width, height, self._units)
        yield from self._mark_steps(self.marks.ground, view, width, height)

    def _study_steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        if self._ready is not None:
            yield from overlay_steps(self._ready, self._overlays, view, width, height)

    def _others_steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        yield from self._mark_steps(self._other_marks, view, width, height)

    def _works_steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        yield from self._mark_steps(self.marks.drains, view, width, height)

    def _words_steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        marks, bounds = self.marks, (0.0, 0.0, width, height)
        margin = self.pictures.margin_px()
        shown = (margin, margin, width - margin, height - margin)
        clear = corners_taken(view, shown, self._units)
        for some in batched((*marks.ground, *marks.drains), 400):
            clear += symbol_rects(some, view, bounds)
            yield _pause
        if not self._flags_hidden:
            flags = placed_flags(marks.flags, view, clear, bounds)
            clear += flag_rects(flags) if len(flags) <= MOST_MOVED_FLAGS else ()
            for flag in flags:
                yield partial(paint_flag, placed=flag)
        yield _pause
        written: list[Box] = []
        labels = [x for x in _labels_for(marks.labels, view) if x.owner not in self.hidden]
        if self._ready is not None and view.px_per_ft >= FAR_PX_PER_FT:
            said, extent = Words.of(self._session.job), view.extent(width, height)
            for one in overlay_labels(self._ready.study, self._overlays, said, view, extent):
                labels.append(one)
                yield _pause
        for placed in labels_in_tiles(labels, view, clear, bounds, self._strokes(view, width, height), shown):
            yield _pause
            for label in placed:
                written.append(label.box)
                yield partial(paint_label, placed=label)
        self._written = (view, written)

    def _strokes(self, view: View, width: float, height: float) -> Iterator[Stroke]:
        extent = view.extent(width, height)
        for mark in self.marks.drains:
            if isinstance(mark, Stroke) and not is_tint(mark) and _overlap(self.shapes.of(mark).bounds, extent):
                yield mark

    def _mark_steps(self, marks: tuple[Mark, ...], view: View, width: float, height: float) -> Iterator[Step]:
        to_px = transform_of(view)
        pad = 20 * symbol_scale(view.px_per_ft) / view.px_per_ft
        west, south, east, north = view.extent(width, height)
        extent = (west - pad, south - pad, east + pad, north + pad)
        batch: list[Shape] = []

        def paint(p: QPainter, shapes: list[Shape]) -> None:
            for shape in shapes:
                paint_shape(p, shape, to_px, view)

        for mark in marks:
            if mark.owner in self.hidden:
                continue
            shape = self.shapes.of(mark)
            if _overlap(shape.bounds, extent):
                batch.append(shape)
                if len(batch) >= BATCH or isinstance(mark, Band):
                    yield partial(paint, shapes=batch)
                    batch = []
        if batch:
            yield partial(paint, shapes=batch)

    def _chosen_steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        selection = self._session.selection
        if len(selection) <= MOST_LIVE:
            return
        for line, closed in self._outline.of(self._session.job, selection):
            yield partial(paint_outline, line=line, closed=closed, view=view)


def _lists(marks: PlanMarks) -> tuple[tuple[Mark, ...], ...]:
    return marks.ground, marks.drains, marks.flags, marks.labels


def batched(marks: tuple[Mark, ...], count: int) -> Iterator[tuple[Mark, ...]]:
    """Return the marks some at a time."""
    return (marks[i : i + count] for i in range(0, len(marks), count))


def _pause(p: QPainter) -> None:
    """Paint nothing: a place to stop at before something long."""


def _labels_for(labels: Iterable[Label], view: View) -> Iterator[Label]:
    """Yield the labels worth writing at a scale."""
    rank = 99 if view.px_per_ft >= MIDDLE_PX_PER_FT else 5 if view.px_per_ft >= FAR_PX_PER_FT else 1
    return (label for label in labels if label.rank <= rank)


def _overlap(a: Extent, b: Extent) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
