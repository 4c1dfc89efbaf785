"""Tools for the drain itself: structures and the runs between them."""

from collections.abc import Iterator

from msgspec.structs import replace

from drainsketch.desk.tools.drawing import apart, with_point
from drainsketch.desk.tools.gesture import (
    Doubled,
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
from drainsketch.job.model import Downspout, Job, OutfallKind, Point, Run, RunUse, Structure, StructureKind

BASIN_CHOICES = ("12 in", "9 in", "18 in", "24 in")
PIPE_CHOICES = ("4 in", "3 in", "6 in", "8 in", "10 in", "12 in")
OUTFALL_CHOICES: tuple[OutfallKind, ...] = ("daylight", "pop-up", "tie-in", "curb", "dry well")
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
            event = yield Preview(hint=slip or f"Click where the {what} goes: {where}.", symbols=symbols)
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
        raise EditError(f"{here.id} stands there already; put the {what} beside it, or change {here.id} in the details.")
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


def _draw_run(start: Start, use: RunUse) -> Gesture:
    what = "drain run" if use == "drain" else "solid run"
    job, first, via = start.job, "", ()
    cursor: Point | None = None
    slip = ""
    while True:
        event = yield _run_preview(start.job, job, first, via, cursor, use, slip)
        slip = ""
        try:
            match event:
                case Moved():
                    cursor = event.at
                case Pressed() if not first:
                    job, first = joined(job, event)
                case Pressed():
                    cursor = event.at
                    if event.snap is not None and ends_a_run(job, event):
                        return _finished(start, *joined(job, event), first, via, use)
                    via = with_point(via or (_spot(job, first),), event.at)[1:] if not via else with_point(via, event.at)
                case Doubled() if first and (via or apart(_spot(job, first), event.at) > 2 * event.reach_ft):
                    if not via or apart(via[-1], event.raw) > 2 * event.reach_ft:
                        via = with_point(via, event.at)
                    return _finished(start, *_fitting_at_end(job, via[-1]), first, via[:-1], use)
                case Keyed(key="enter") if first and via:
                    return _finished(start, *_fitting_at_end(job, via[-1]), first, via[:-1], use)
                case Keyed(key="enter") if first:
                    slip = f"A {what} needs an end: click a structure, a run or the next bend. "
                case Keyed(key="backspace" | "delete"):
                    if via:
                        via = via[:-1]
                    else:
                        job, first = start.job, ""
                case _:
                    pass
        except EditError as fault:
            slip = f"{fault} "


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


def _fitting_at_end(job: Job, at: Point) -> tuple[Job, str]:
    return joined(job, Pointer(at=at, raw=at, reach_ft=0.0))


def _finished(
    start: Start, job: Job, last: str, first: str, via: tuple[Point, ...], use: RunUse
) -> Outcome:
    """Return the outcome of a run between two structures; its pipe is like that of the last run of the same use."""
    if first == last:
        raise EditError(f"The run starts at {first}; end it at another structure.")
    diameter = next(d for d in (3, 4, 6, 8, 10, 12) if start.choice == f"{d} in")
    like = next((r for r in reversed(start.job.runs) if r.use == use), None)
    run = Run(id=fresh_id(job, "R"), start=first, end=last, via=via, use=use, diameter_in=diameter)
    if like is not None:
        run = replace(run, pipe=like.pipe, sock=like.sock)
    label = "Draw a drain run" if use == "drain" else "Draw a solid run"
    return Outcome(add(job, run), label, select=(run.id,))


def _spot(job: Job, structure_id: str) -> Point:
    return structures_by_id(job)[structure_id].point


def _run_preview(
    before: Job, job: Job, first: str, via: tuple[Point, ...], cursor: Point | None, use: RunUse, slip: str
) -> Preview:
    if not first:
        hint = f"{slip}Click where the run starts: a structure, a downspout, another run, or open ground for a new fitting."
        return Preview(hint=hint)
    points = (_spot(job, first), *via)
    hint = f"{slip}Click the next bend, or type a length; a structure ends the run, Enter ends it with a fitting."
    new = tuple(s.id for s in _new_structures(before, job))
    return Preview(
        hint=hint,
        traces=(Trace((*points, cursor) if cursor is not None else points, f"run.{use}"),),
        symbols=tuple(Symbol(s.point, s.kind) for s in _new_structures(before, job)),
        anchor=points[-1],
        before=points[-2] if len(points) > 1 else None,
        own=tuple(_spot(job, i) for i in new[:0]),
        readout=True,
    )


def _new_structures(before: Job, job: Job) -> Iterator[Structure]:
    old = {s.id for s in before.structures}
    return (s for s in job.structures if s.id not in old)
