"""What is painted on top of the pictures each frame: things in motion, things just changed, what is selected and hovered."""

from collections.abc import Iterable
from time import perf_counter
from typing import TypeVar

from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from drainsketch import look
from drainsketch.desk.lettering import live_labels, paint_flag, paint_label, placed_flags, symbol_rects
from drainsketch.desk.painter import Shape, Shapes, paint_shape, transform_of
from drainsketch.desk.view import View
from drainsketch.job.ask import is_closed, points_of, run_points, structures_by_id, thing
from drainsketch.job.edits.move import bends
from drainsketch.job.model import COLLECTIONS, Job, Run, Structure
from drainsketch.job.picking import Vertex
from drainsketch.network.results import FlowRun
from drainsketch.review import Review, analyse
from drainsketch.sheets.boxes import Rect
from drainsketch.sheets.marks import Mark, PlanMarks
from drainsketch.sheets.plan_marks import MarkStore, plan_marks

M = TypeVar("M", bound=Mark)
REVIEWED_THINGS = 150  # a ghost of a job up to this size is reviewed while it moves, as long as that is quick
QUICK_S = 0.010
MOST_SLOW = 2
MOST_LIVE = 200
NOTHING = PlanMarks(ground=(), drains=(), flags=(), labels=())
HANDLE_PX = 7.0


class Ghosts:
    """The marks of a job in motion: only those of the things that move, reviewed anew when the job is small."""

    def __init__(self) -> None:
        self._store = MarkStore()
        self._ghost: Job | None = None
        self._marks = NOTHING
        self._review: Review | None = None
        self._slow = 0  # reviews in a row that took too long

    def settle(self, review: Review) -> None:
        """Start over from the review of the job at rest."""
        self._review, self._ghost, self._slow = review, None, 0

    def marks(self, ghost: Job, moving: tuple[str, ...], review: Review) -> PlanMarks:
        """Return what is painted live of a job in motion; flags only when the ghost was reviewed."""
        if ghost is self._ghost:
            return self._marks
        self._ghost = ghost
        if self._slow < MOST_SLOW and _size(ghost) <= REVIEWED_THINGS:
            started = perf_counter()
            self._review = analyse(ghost, self._review or review)
            found = plan_marks(ghost, self._review, self._store)
            self._marks = PlanMarks(
                ground=_owned(found.ground, moving),
                drains=_owned(found.drains, moving),
                flags=found.flags,
                labels=_owned(found.labels, moving),
            )
            self._slow = self._slow + 1 if perf_counter() - started > QUICK_S else 0
        else:
            part = _part_of(ghost, moving)
            found = plan_marks(part, _plain_review(part, review), self._store)
            self._marks = PlanMarks(
                ground=_owned(found.ground, moving),
                drains=_owned(found.drains, moving),
                flags=(),
                labels=_owned(found.labels, moving),
            )
        return self._marks


def _size(job: Job) -> int:
    return sum(len(getattr(job, name)) for name in COLLECTIONS)


def _owned(marks: Iterable[M], owners: tuple[str, ...]) -> tuple[M, ...]:
    wanted = frozenset(owners)
    return tuple(m for m in marks if m.owner in wanted)


def _part_of(job: Job, ids: tuple[str, ...]) -> Job:
    """Return the job with these things only, and the structures their runs need."""
    wanted = set(ids)
    runs = tuple(r for r in job.runs if r.id in wanted)
    needed = wanted | {end for r in runs for end in (r.start, r.end)}
    lists = {name: tuple(t for t in getattr(job, name) if t.id in needed) for name in COLLECTIONS[:-1]}
    boundary = job.boundary if job.boundary is not None and job.boundary.id in wanted else None
    return replace(job, boundary=boundary, runs=runs, **lists)


def _plain_review(part: Job, review: Review) -> Review:
    """Return the review with the flow of before and nothing that the motion has made untrue."""
    structures = structures_by_id(part)
    runs = {r.id: r for r in part.runs}
    flows = tuple(_following(f, runs[f.id], structures) for f in review.network.runs if f.id in runs)
    network, plan = replace(review.network, runs=flows), replace(review.plan, runs={})
    return replace(review, job=part, network=network, plan=plan, grades={}, levels={}, crossings=(), findings=())


def _following(flow: FlowRun, run: Run, structures: dict[str, Structure]) -> FlowRun:
    points = run_points(run, structures)
    return replace(flow, points=points if flow.drawn_downhill else points[::-1])


def paint_ground(p: QPainter, marks: PlanMarks, shapes: Shapes, view: View) -> None:
    """Paint a few marks of the ground live."""
    to_px = transform_of(view)
    for mark in marks.ground:
        paint_shape(p, shapes.of(mark), to_px, view)


def paint_works(
    p: QPainter, marks: PlanMarks, shapes: Shapes, view: View, size: tuple[float, float], taken: Iterable[Rect] = ()
) -> None:
    """Paint a few marks of what is built live, flags and words too; the words keep clear of what is ``taken``, pixels."""
    if marks is NOTHING:
        return
    to_px = transform_of(view)
    drawn = (*marks.ground, *marks.drains)
    for mark in marks.drains:
        paint_shape(p, shapes.of(mark), to_px, view)
    bounds = (0.0, 0.0, *size)
    clear = symbol_rects(drawn, view, bounds)
    for flag in placed_flags(marks.flags, view, clear, bounds):
        paint_flag(p, flag)
    for label in live_labels(marks.labels, view, clear, taken, bounds):
        paint_label(p, label)


class Outline:
    """The outlines of some things, made ready once for a job and a choice of ids."""

    def __init__(self) -> None:
        self._job: Job | None = None
        self._ids: tuple[str, ...] = ()
        self._lines: list[tuple[QPolygonF, bool]] = []

    def of(self, job: Job, ids: tuple[str, ...]) -> list[tuple[QPolygonF, bool]]:
        """Return the points of each thing, ft, and whether they close."""
        if job is not self._job or ids != self._ids:
            self._job, self._ids = job, ids
            structures = structures_by_id(job)
            wanted = frozenset(ids)
            found = [t for name in COLLECTIONS for t in getattr(job, name) if t.id in wanted]
            if job.boundary is not None and job.boundary.id in wanted:
                found.append(job.boundary)
            self._lines = [(QPolygonF([QPointF(*q) for q in points_of(t, structures)]), is_closed(t)) for t in found]
        return self._lines


def paint_outline(p: QPainter, line: QPolygonF, closed: bool, view: View, strong: bool = True) -> None:
    """Paint the mark of a selected (or, not strong, a hovered) thing round it."""
    polygon = transform_of(view).map(line)
    color = QColor(look.SELECTED)
    p.setBrush(Qt.BrushStyle.NoBrush)
    glow = QColor(color)
    glow.setAlpha(90 if strong else 40)
    wide = QPen(glow, 13.0 if strong else 7.0)
    wide.setCapStyle(Qt.PenCapStyle.RoundCap)
    wide.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    p.setPen(wide)
    if polygon.size() == 1:
        wide.setWidthF(7.0)
        for ring in (wide, QPen(color, 1.6)) if strong else (wide,):
            p.setPen(ring)
            p.drawEllipse(polygon.at(0), 13.0, 13.0)
    elif closed:
        p.drawPolygon(polygon)
    else:
        p.drawPolyline(polygon)


class Lines:
    """The shapes of some lines, to be painted once more over their glow; found once for the marks and a choice of ids."""

    def __init__(self) -> None:
        self._marks = NOTHING
        self._ids: tuple[str, ...] = ()
        self._found: list[Shape] = []

    def of(self, marks: PlanMarks, job: Job, ids: tuple[str, ...], shapes: Shapes) -> list[Shape]:
        """Return the shapes of the lines of the ground among these things; what encloses an area is left out."""
        if marks is not self._marks or ids != self._ids:
            self._marks, self._ids = marks, ids
            wanted = frozenset(i for i in ids if (t := thing(job, i)) is not None and not is_closed(t))
            self._found = [shapes.of(m) for m in marks.ground if m.owner in wanted]
        return self._found


def paint_handles(p: QPainter, job: Job, ids: tuple[str, ...], vertex: Vertex | None, view: View) -> None:
    """Paint the vertices of the selected things that can be dragged; the one in hand is filled."""
    p.setPen(QPen(QColor(look.SELECTED), 1.4))
    for thing_id in ids:
        owner = thing(job, thing_id)
        points = bends(owner) if owner is not None else ()
        if owner is None or hasattr(owner, "point") or (len(points) == 1 and not isinstance(owner, Run)):
            continue
        for i, point in enumerate(points):
            x, y = view.to_px(point)
            held = vertex == Vertex(thing_id, i)
            p.setBrush(QColor(look.SELECTED if held else look.PAPER))
            half = HANDLE_PX / 2 + (1.0 if held else 0.0)
            p.drawRect(QRectF(x - half, y - half, 2 * half, 2 * half))
