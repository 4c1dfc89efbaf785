"""Tools for what is in the yard: lot line, buildings and other obstacles, trees, wells, downspouts, shots, services."""

from collections.abc import Callable

from drainsketch.desk.tools.drawing import draw_line, draw_outline
from drainsketch.desk.tools.gesture import (
    OR_TYPE,
    Gesture,
    Keyed,
    Moved,
    Outcome,
    Pressed,
    Preview,
    Start,
    StartTool,
    Symbol,
    Typed,
)
from drainsketch.errors import EditError
from drainsketch.job.edits.add import add, fresh_id, id_stem
from drainsketch.job.edits.change import change
from drainsketch.job.kinds import BreaklineKind, HeapKind, ObstacleKind, Point, ServiceKind
from drainsketch.job.model import Boundary, Breakline, Downspout, Heap, Job, Obstacle, Service, Shot, Thing

SERVICE_CHOICES: tuple[ServiceKind, ...] = (
    "gas",
    "water",
    "electric",
    "communication",
    "sewer",
    "irrigation",
    "drain line",
    "unidentified",
)
BREAKLINE_CHOICES: tuple[BreaklineKind, ...] = ("wall foot", "curb", "swale", "ridge", "other")
TRUNK_CHOICES = ("12 in", "6 in", "9 in", "18 in", "24 in", "36 in")


def placed(job: Job, new: Thing, label: str, told: str = "", ask: str = "") -> Outcome:
    """Return the outcome of putting a new thing without an id on the plan; it is selected, and ``ask`` of its details is next."""
    new_id = "boundary" if isinstance(new, Boundary) else fresh_id(job, id_stem(new))
    return Outcome(add(job, new), label, select=(new_id,), told=told, ask=ask)


def boundary(start: Start) -> Gesture:
    """Draw the lot line; it replaces the one before."""
    points = yield from draw_outline("boundary", "lot line")
    return placed(start.job, Boundary(id="boundary", points=points), "Draw the lot line")


def outline_tool(kind: ObstacleKind, what: str) -> StartTool:
    """Return the tool for an obstacle with an outline."""

    def start_outline(start: Start) -> Gesture:
        points = yield from draw_outline(kind, what)
        return placed(start.job, Obstacle(id="", kind=kind, points=points), f"Draw a {what}")

    return start_outline


def heap_tool(kind: HeapKind) -> StartTool:
    """Return the tool for a place that spoil is put."""

    def start_heap(start: Start) -> Gesture:
        points = yield from draw_outline(kind, kind)
        is_fill = kind == "fill area"
        told = "Give its depth in Details: how deep it takes the spoil, in place and settled." if is_fill else ""
        new = Heap(id="", kind=kind, points=points)
        return placed(start.job, new, f"Draw a {kind}", told, ask="fill_in" if is_fill else "")

    return start_heap


def fence(start: Start) -> Gesture:
    """Draw a fence or wall line."""
    points = yield from draw_line("fence", "fence")
    return placed(start.job, Obstacle(id="", kind="fence", points=points), "Draw a fence")


def service(start: Start) -> Gesture:
    """Draw a buried service of the chosen kind; its depth is unknown until somebody says it."""
    kind: ServiceKind = next(k for k in SERVICE_CHOICES if k == start.choice)
    points = yield from draw_line(f"service.{kind}", kind if kind == "drain line" else f"{kind} line")
    told = "Depth unknown so far: paint and flags give none. Type what was measured once it is exposed."
    return placed(start.job, Service(id="", kind=kind, points=points), f"Draw a {kind} service", told)


def breakline(start: Start) -> Gesture:
    """Draw a line along which the ground breaks, from shot to shot; it takes its levels from the shots on it."""
    kind: BreaklineKind = next(k for k in BREAKLINE_CHOICES if k == start.choice)
    points = yield from draw_line("breakline", "breakline" if kind == "other" else kind)
    on_it = {s.point for s in start.job.shots}.intersection(points)
    told = "" if len(on_it) > 1 else "It has its levels from the shots on it, two at least: draw it from shot to shot."
    return placed(start.job, Breakline(id="", kind=kind, points=points), "Draw a breakline", told)


def point_tool(
    make: Callable[[Start, Point], Thing], symbol: str, hint: str, label: str, snaps: bool = True
) -> StartTool:
    """Return the tool for a thing that is one point: a click places it."""

    def start_point(start: Start) -> Gesture:
        cursor: Point | None = None
        while True:
            symbols = (Symbol(cursor, symbol),) if cursor is not None else ()
            event = yield Preview(hint=hint + OR_TYPE, symbols=symbols, snaps=snaps)
            if isinstance(event, Moved):
                cursor = event.at
            elif isinstance(event, Pressed):
                return placed(start.job, make(start, event.at), label)

    return start_point


def new_tree(start: Start, at: Point) -> Thing:
    """Return a tree with the chosen trunk."""
    return Obstacle(id="", kind="tree", points=(at,), trunk_diameter_in=float(start.choice.split()[0]))


def new_well(start: Start, at: Point) -> Thing:
    """Return a well."""
    return Obstacle(id="", kind="well", points=(at,))


def new_downspout(start: Start, at: Point) -> Thing:
    """Return a downspout; its roof area is typed in the details."""
    return Downspout(id="", point=at)


def shot(start: Start) -> Gesture:
    """Place a ground shot: click the spot, type its level, Enter."""
    cursor: Point | None = None
    spot: Point | None = None
    slip = ""
    while True:
        marks = tuple(Symbol(p, "shot") for p in (spot, cursor) if p is not None)
        if spot is None:
            event = yield Preview(hint="Click where the rod stood, or type east, north.", symbols=marks)
        else:
            hint = slip or "Type the level of this spot and press Enter; another click moves it."
            event = yield Preview(hint=hint, symbols=marks[:1], anchor=spot, wants="level")
        slip = ""
        match event:
            case Moved():
                cursor = event.at
            case Pressed():
                spot = event.at
            case Keyed(key="backspace"):
                spot = None
            case Keyed(key="enter") if spot is not None:
                slip = "This shot has no level yet: type it and press Enter."
            case Typed() if spot is not None:
                try:
                    return _shot_taken(start.job, spot, event.value)
                except EditError as fault:
                    slip = f"{fault}"
            case _:
                pass


def _shot_taken(job: Job, spot: Point, elevation_ft: float) -> Outcome:
    new_id = fresh_id(job, "S")
    with_shot = add(job, Shot(id=new_id, point=spot, elevation_ft=0.0))
    return Outcome(change(with_shot, new_id, elevation_ft=elevation_ft), "Take a shot", select=(new_id,))
