"""Tools for the drain itself: structures and the runs between them."""

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.desk.tools.drawing import apart, with_point
from drainsketch.desk.tools.gesture import (
    OR_TYPE,
    Doubled,
    Event,
    Gesture,
    Keyed,
    Moved,
    Outcome,
    Pointer,
    Pressed,
    Preview,
    Start,
    StartTool,
    Symbol,
    Trace,
)
from drainsketch.errors import EditError
from drainsketch.job.ask import structures_by_id, thing
from drainsketch.job.edits.add import add, fresh_id, id_stem
from drainsketch.job.edits.join import split_run
from drainsketch.job.kinds import OutfallKind, PipeDiameter, Point, RunUse, StructureKind
from drainsketch.job.model import Downspout, Job, Run, Structure

BASIN_CHOICES = ("12 in", "9 in", "18 in", "24 in")
PIPE_CHOICES = ("4 in", "3 in", "6 in", "8 in", "10 in", "12 in")
OUTFALL_CHOICES: tuple[OutfallKind, ...] = ("daylight", "pop-up", "tie-in", "curb", "dry well")
DIAMETERS: tuple[PipeDiameter, ...] = (3, 4, 6, 8, 10, 12)
SAME_SPOT_FT = 0.05


def structure_tool(kind: StructureKind, what: str) -> StartTool:
    """Return the tool for a kind of structure: a click places it; on a run it is set into the run."""

    def start_structure(start: Start) -> Gesture:
        cursor: Point | None = None
        slip = ""
        symbol = f"outfall.{start.choice}" if kind == "outfall" else kind
        where = "at the foot of its downspout" if kind == "downspout inlet" else "on open ground or on a run"
        while True:
            symbols = (Symbol(cursor, symbol),) if cursor is not None else ()
            event = yield Preview(hint=slip or f"Click where the {what} goes: {where}.{OR_TYPE}", symbols=symbols)
            if isinstance(event, Moved):
                cursor, slip = event.at, ""
            elif isinstance(event, Pressed):
                try:
                    job, new_id = set_structure(start.job, event, _new(start, kind), what)
                    return Outcome(job, f"Place a {what}", select=(new_id,))
                except EditError as fault:
                    slip = str(fault)

    return start_structure


def _new(start: Start, kind: StructureKind) -> Structure:
    new = Structure(id="", kind=kind, point=(0.0, 0.0))
    if kind == "basin":
        size = next(s for s in (9, 12, 18, 24) if start.choice == f"{s} in")
        new = replace(new, size_in=size)
    if kind == "outfall":
        new = replace(new, outfall=next(k for k in OUTFALL_CHOICES if k == start.choice))
    return replace(new, id=fresh_id(start.job, id_stem(new)))


def set_structure(job: Job, event: Pointer, new: Structure, what: str) -> tuple[Job, str]:
    """Return the job with a structure where the pointer is, and its id.

    On a run it is set into the run; at a downspout an inlet is tied to the downspout.

    Raises
    ------
    EditError : a structure stands there already, or the run ends there
    """
    here = next((s for s in job.structures if apart(s.point, event.at) < SAME_SPOT_FT), None)
    if here is not None:
        raise EditError(
            f"{here.id} stands there already; put the {what} beside it, or change {here.id} in the details."
        )
    under = thing(job, event.snap.id) if event.snap is not None else None
    if isinstance(under, Run):
        return split_run(job, under.id, event.at, new)
    if isinstance(under, Downspout) and new.kind == "downspout inlet":
        new = replace(new, downspout=under.id)
    return add(job, replace(new, point=event.at)), new.id


def run_tool(use: RunUse) -> StartTool:
    """Return the tool for drain runs or solid runs; all of a gesture is one step of the history."""

    def start_run(start: Start) -> Gesture:
        return _draw_run(start, use)

    return start_run


class Laid(Struct, frozen=True):
    """A run as far as it is drawn: the job with the structures made for it, the structure it starts at, its bends."""

    job: Job
    first: str = ""
    via: tuple[Point, ...] = ()

    @property
    def last_point(self) -> Point:
        """Where the next leg starts."""
        return self.via[-1] if self.via else structures_by_id(self.job)[self.first].point


def _draw_run(start: Start, use: RunUse) -> Gesture:
    laid = Laid(start.job)
    cursor: Point | None = None
    slip = ""
    while True:
        event = yield _run_preview(start.job, laid, cursor, use, slip)
        slip = ""
        if isinstance(event, Moved):
            cursor = event.at
            continue
        try:
            done = _laid_on(start, laid, event, use) if laid.first else _begun(laid, event)
        except EditError as fault:
            slip = f"{fault} "
            continue
        if isinstance(done, Outcome):
            return done
        laid = done


def _begun(laid: Laid, event: Event) -> Laid:
    if not isinstance(event, Pressed):
        return laid
    job, first = joined(laid.job, event)
    return Laid(job, first)


def _laid_on(start: Start, laid: Laid, event: Event, use: RunUse) -> Laid | Outcome:
    match event:
        case Pressed() if not ends_a_run(laid.job, event):
            return replace(laid, via=(*laid.via, *with_point((laid.last_point,), event.at)[1:]))
        case Pressed() | Doubled() if (
            isinstance(event, Pressed) or apart(laid.last_point, event.raw) > 2 * event.reach_ft
        ):
            return _finished(start, laid, event, use)
        case Doubled() | Keyed(key="enter") if laid.via:
            return _finished_at_bend(start, laid, use)
        case Keyed(key="enter"):
            raise EditError("The run needs an end: click a structure, a run, or the next bend.")
        case Keyed(key="backspace" | "delete"):
            return replace(laid, via=laid.via[:-1]) if laid.via else Laid(start.job)
        case _:
            return laid


def _finished_at_bend(start: Start, laid: Laid, use: RunUse) -> Outcome:
    end = laid.via[-1]
    return _finished(start, replace(laid, via=laid.via[:-1]), Pointer(at=end, raw=end, reach_ft=0.0), use)


def joined(job: Job, event: Pointer) -> tuple[Job, str]:
    """Return the job with a structure at the pointer to start or end a run at, and its id.

    A structure that is there is taken. At a downspout a downspout inlet is made and tied to it, on a run and on empty
    ground a fitting.

    Raises
    ------
    EditError : the pointer is at the very end of a run that ends at a structure
    """
    under = thing(job, event.snap.id) if event.snap is not None else None
    if isinstance(under, Structure):
        return job, under.id
    here = next((s for s in job.structures if apart(s.point, event.at) < SAME_SPOT_FT), None)
    if here is not None:
        return job, here.id
    if isinstance(under, Downspout):
        inlet = Structure(id=fresh_id(job, "D"), kind="downspout inlet", point=under.point, downspout=under.id)
        return add(job, inlet), inlet.id
    fitting = Structure(id=fresh_id(job, "F"), kind="fitting", point=event.at)
    if isinstance(under, Run):
        return split_run(job, under.id, event.at, fitting)
    return add(job, fitting), fitting.id


def ends_a_run(job: Job, event: Pointer) -> bool:
    """Return whether the pointer is at something a run can end at: a structure, a downspout or another run."""
    under = thing(job, event.snap.id) if event.snap is not None else None
    return isinstance(under, Structure | Downspout | Run)


def _finished(start: Start, laid: Laid, end: Pointer, use: RunUse) -> Outcome:
    """Return the outcome of a run that ends at a pointer; its pipe is like that of the last run of the same use."""
    job, last = joined(laid.job, end)
    if laid.first == last:
        raise EditError(f"The run starts at {last}; end it at another structure.")
    diameter = next(d for d in DIAMETERS if start.choice == f"{d} in")
    like = next((r for r in reversed(start.job.runs) if r.use == use), None)
    run = Run(id=fresh_id(job, "R"), start=laid.first, end=last, via=laid.via, use=use, diameter_in=diameter)
    if like is not None:
        run = replace(run, pipe=like.pipe, sock=like.sock)
    label = "Draw a drain run" if use == "drain" else "Draw a solid run"
    return Outcome(add(job, run), label, select=(run.id,))


def _run_preview(before: Job, laid: Laid, cursor: Point | None, use: RunUse, slip: str) -> Preview:
    if not laid.first:
        places = "a structure, a downspout, another run, or open ground for a new fitting"
        hint = f"{slip}Click where the run starts: {places}.{OR_TYPE}"
        return Preview(hint=hint)
    points = (structures_by_id(laid.job)[laid.first].point, *laid.via)
    return Preview(
        hint=f"{slip}Click the next bend, or type a length; a structure ends the run, Enter ends it with a fitting.",
        traces=(Trace((*points, cursor) if cursor is not None else points, f"run.{use}"),),
        symbols=tuple(Symbol(s.point, s.kind) for s in _new_structures(before, laid.job)),
        anchor=points[-1],
        before=points[-2] if len(points) > 1 else None,
        among=laid.job,
        readout=True,
    )


def _new_structures(before: Job, job: Job) -> Iterator[Structure]:
    old = {s.id for s in before.structures}
    return (s for s in job.structures if s.id not in old)
