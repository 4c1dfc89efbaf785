"""Pointing at things: select, move, reshape, nudge, delete."""

from collections.abc import Generator
from math import hypot

from drainsketch.desk.tools.gesture import (
    Click,
    Doubled,
    Event,
    Gesture,
    Keyed,
    Moved,
    Outcome,
    Pointer,
    Pressed,
    Preview,
    Released,
    Start,
)
from drainsketch.errors import EditError
from drainsketch.job.ask import thing, things
from drainsketch.job.edits.laying import readings_told
from drainsketch.job.edits.move import bends, insert_vertex, move, move_vertex, remove_vertex
from drainsketch.job.edits.remove import remove, with_dependents
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Job, Obstacle, Run, Service
from drainsketch.job.picking import Vertex, leg_at, pick, pick_box, touching, vertex_at
from drainsketch.job.snapping import Ray

Part = Generator[Preview, Event, Outcome | None]  # None: nothing came of it
NUDGE_FT = 0.1
FAR_NUDGE_FT = 1.0
_ARROWS: dict[str, Point] = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}
IDLE = "Click something to select it, or drag a box round several; drag what is selected to move it."
CHOSEN = "Drag to move, drag a corner to reshape, double-click an edge for a new corner; Delete takes it away."


def select(start: Start) -> Gesture:
    """Wait for the pointer or a key and follow what it begins."""
    slip = ""
    while True:
        hint = slip or (CHOSEN if start.selection else IDLE)
        event = yield Preview(hint=hint, hovers=True, vertex=start.vertex, wants="", snaps=False)
        try:
            outcome = yield from _begun(start, event)
        except EditError as fault:
            slip, outcome = str(fault), None
        if outcome is not None:
            return outcome


def _begun(start: Start, event: Event) -> Part:
    match event:
        case Pressed():
            return (yield from _pressed(start, event))
        case Doubled():
            return _new_vertex(start, event)
        case Keyed(key="all"):
            return Outcome(start.job, select=tuple(t.id for t in things(start.job)))
        case Keyed(key="delete" | "backspace"):
            return _deleted(start)
        case Keyed(key="left" | "right" | "up" | "down"):
            return _nudged(start, event)
        case _:
            return None


def _pressed(start: Start, event: Pressed) -> Gesture:
    vertex = vertex_at(start.index, start.selection, event.raw, event.reach_ft)
    if vertex is not None and not event.add:
        return (yield from _drag_vertex(start, start.job, vertex, "Move a corner"))
    found = pick(start.index, event.raw, event.reach_ft)
    if not found:
        return (yield from _drag_box(start, event))
    if event.add:
        return Outcome(start.job, select=_chosen(start.selection, found, event.add))
    if _again(start, event, found):
        return (yield from _drag_things(start, event, start.selection, start.selection[0], _next_below(start, found)))
    return (yield from _drag_things(start, event, _chosen(start.selection, found, event.add), found[0]))


def _again(start: Start, event: Pressed, found: tuple[str, ...]) -> bool:
    """Return whether one of the things here was just selected by a click at this same place."""
    last = start.click
    near = last is not None and hypot(event.raw[0] - last.at[0], event.raw[1] - last.at[1]) <= event.reach_ft / 2
    return near and len(start.selection) == 1 and start.selection[0] in found


def _next_below(start: Start, found: tuple[str, ...]) -> str:
    """Return what lies below the selected thing; the topmost again after the lowest."""
    return found[(found.index(start.selection[0]) + 1) % len(found)]


def _chosen(selection: tuple[str, ...], found: tuple[str, ...], add: bool) -> tuple[str, ...]:
    """Return the selection after a click: what is selected stays together when it is grabbed again."""
    hit = next((i for i in found if i in selection), found[0])
    if add:
        top = found[0]
        return tuple(i for i in selection if i != top) if top in selection else (*selection, top)
    return selection if hit in selection and hit == found[0] else found[:1]


def _drag_box(start: Start, begun: Pressed) -> Gesture:
    at = begun.raw
    while True:
        event = yield Preview(hint="Drag a box round what you want.", box=(begun.raw, at), wants="", snaps=False)
        if isinstance(event, Moved):
            at = event.raw
        elif isinstance(event, Released):
            small = hypot(at[0] - begun.raw[0], at[1] - begun.raw[1]) < begun.reach_ft
            inside = () if small else pick_box(start.index, begun.raw, at)
            return Outcome(start.job, select=(*start.selection, *inside) if begun.add else inside)


def _drag_things(
    start: Start, begun: Pressed, chosen: tuple[str, ...], grabbed: str, below: str | None = None
) -> Gesture:
    """Select on the press; move once the pointer has gone some way; the grabbed point itself is what snaps.

    What lies at the place it is dragged from does not draw it back. Without a drag ``below`` is selected on the release.
    """
    hold = _hold(start, begun, grabbed)
    at_hold = touching(start.index, hold)
    moving = _carried(start.job, chosen)
    ghost, dragging = start.job, False
    while True:
        hint = "Drag to where it goes." if dragging else CHOSEN
        event = yield Preview(
            hint=hint,
            select=chosen,
            ghost=ghost if dragging else None,
            moving=moving if dragging else (),
            anchor=hold if dragging else None,
            passes=at_hold,
            snaps=dragging and len(chosen) == 1,
            wants="",
            readout=dragging,
        )
        if isinstance(event, Moved):
            gone = hypot(event.raw[0] - begun.raw[0], event.raw[1] - begun.raw[1])
            if dragging or gone > begun.reach_ft / 2:
                dragging = True
                ghost = _moved_to(start.job, chosen, begun, hold, event)
        elif isinstance(event, Released) and not dragging and below is not None:
            told = f"{below}, below {chosen[0]}" if below not in chosen else ""
            return Outcome(start.job, select=(below,), told=told, click=Click(begun.raw, start.selection))
        elif isinstance(event, Released):
            label = "Move" if len(chosen) > 1 else f"Move {chosen[0]}"
            told = _stuck(start.job, chosen) if dragging and ghost == start.job else ""
            click = None if dragging else Click(begun.raw)
            return Outcome(ghost if dragging else start.job, label, select=chosen, told=told, click=click)


def _hold(start: Start, begun: Pressed, grabbed: str) -> Point:
    """Return the point of the grabbed thing that was taken hold of: its own point or corner within reach, else the pointer."""
    near = [s for s in start.index.spots_near(begun.raw, begun.reach_ft) if s.owner.id == grabbed]
    best = min(near, key=lambda s: hypot(s.at[0] - begun.raw[0], s.at[1] - begun.raw[1]), default=None)
    return best.at if best is not None else begun.raw


def _moved_to(job: Job, chosen: tuple[str, ...], begun: Pressed, hold: Point, event: Moved) -> Job:
    to, origin = (event.at, hold) if event.snap is not None else (event.raw, begun.raw)
    return move(job, chosen, round(to[0] - origin[0], 6), round(to[1] - origin[1], 6))


def _carried(job: Job, ids: tuple[str, ...]) -> tuple[str, ...]:
    """Return the things drawn live while these are dragged: they and the runs of the structures among them."""
    return with_dependents(job, ids)


def _stuck(job: Job, chosen: tuple[str, ...]) -> str:
    run = thing(job, chosen[0]) if len(chosen) == 1 else None
    if isinstance(run, Run) and not run.via:
        return f"{run.id} runs straight from {run.start} to {run.end}: move one of them, or double-click the run for a bend."
    return ""


def _drag_vertex(start: Start, job: Job, vertex: Vertex, label: str) -> Gesture:
    """Drag a vertex; the job given may hold a vertex that was only just put in."""
    owner = thing(job, vertex.id)
    assert owner is not None  # it was picked from this job
    points = bends(owner)
    ghost, moved = job, job is not start.job
    neighbors = (points[vertex.index - 1], points[(vertex.index + 1) % len(points)]) if len(points) > 1 else ()
    while True:
        event = yield Preview(
            hint="Drag the corner to where it goes.",
            ghost=ghost,
            moving=(vertex.id,),
            vertex=vertex,
            anchor=neighbors[0] if neighbors else None,
            rays=_square_rays(neighbors[1]) if neighbors else (),
            wants="",
            readout=bool(neighbors),
        )
        if isinstance(event, Moved):
            if (
                moved
                or hypot(event.raw[0] - points[vertex.index][0], event.raw[1] - points[vertex.index][1])
                > event.reach_ft / 2
            ):
                ghost, moved = move_vertex(job, vertex.id, vertex.index, event.at), True
        elif isinstance(event, Released):
            return Outcome(ghost if moved else start.job, label, select=start.selection, vertex=vertex)


def _square_rays(at: Point) -> tuple[Ray, ...]:
    """Return the lines through a point along the compass."""
    return ((at, (at[0] + 1, at[1])), (at, (at[0], at[1] + 1)))


def _new_vertex(start: Start, event: Pointer) -> Outcome | None:
    """Put a vertex into the leg that was double-clicked, unless a vertex is there.

    The first click of the two may have gone on to what lies below: what was selected before it is meant.
    """
    selection = start.click.before if start.click is not None and start.click.before else start.selection
    if vertex_at(start.index, selection, event.raw, event.reach_ft) is not None:
        return None
    found = leg_at(start.index, selection, event.raw, event.reach_ft)
    owner = thing(start.job, found.id) if found is not None else None
    if found is None or not isinstance(owner, Run | Boundary | Obstacle | Service):
        return None
    at = (round(found.point[0], 6), round(found.point[1], 6))
    job = insert_vertex(start.job, found.id, found.insert, at)
    label = "Put in a bend" if isinstance(owner, Run | Service) else "Put in a corner"
    return Outcome(job, label, select=selection, vertex=Vertex(found.id, found.insert))


def _deleted(start: Start) -> Outcome | None:
    """Take away the selected vertex, or else the selected things and the runs that end at them."""
    if start.vertex is not None and start.vertex.id in start.selection:
        job = remove_vertex(start.job, start.vertex.id, start.vertex.index)
        return Outcome(job, "Take out a corner", select=start.selection)
    if not start.selection:
        return None
    gone = with_dependents(start.job, start.selection)
    also = gone[len(start.selection) :]
    what = start.selection[0] if len(start.selection) == 1 else f"{len(start.selection)} things"
    told = f"Deleted {what}."
    if also:
        runs = (
            f"run {also[0]}"
            if len(also) == 1
            else f"{len(also)} runs ({', '.join(also[:6])}{', …' if len(also) > 6 else ''})"
        )
        told = f"Deleted {what} and {runs} that ended there."
    told = f"{told} {readings_told(start.job, gone)}".strip()
    return Outcome(remove(start.job, start.selection), f"Delete {what}", select=(), told=told)


def _nudged(start: Start, event: Keyed) -> Outcome | None:
    if not start.selection:
        return None
    step = FAR_NUDGE_FT if event.far else NUDGE_FT
    dx, dy = _ARROWS[event.key]
    if start.vertex is not None and start.vertex.id in start.selection:
        owner = thing(start.job, start.vertex.id)
        assert owner is not None  # the selection holds things of this job
        x, y = bends(owner)[start.vertex.index]
        to = (round(x + dx * step, 6), round(y + dy * step, 6))
        job = move_vertex(start.job, start.vertex.id, start.vertex.index, to)
        return Outcome(job, "Nudge a corner", select=start.selection, vertex=start.vertex, merge=True)
    job = move(start.job, start.selection, dx * step, dy * step)
    return Outcome(job, "Nudge", select=start.selection, merge=True)
