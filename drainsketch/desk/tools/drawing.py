"""Drawing point by point: the steps that every line and outline share."""

from math import hypot

from drainsketch.desk.tools.gesture import Doubled, Event, Keyed, Moved, Points, Pressed, Preview, Trace
from drainsketch.job.kinds import Point
from drainsketch.job.snapping import Ray

MOST_POINTS = 5_000


def apart(a: Point, b: Point) -> float:
    """Return the distance between two points, ft."""
    return hypot(b[0] - a[0], b[1] - a[1])


def draw_line(style: str, what: str) -> Points:
    """Draw an open line; return its points. Enter or a double click ends it, Backspace takes the last point back."""
    return _draw(style, what, closed=False)


def draw_outline(style: str, what: str) -> Points:
    """Draw a closed outline; return its corners. The first corner, Enter or a double click closes it."""
    return _draw(style, what, closed=True)


def _draw(style: str, what: str, closed: bool) -> Points:
    fewest = 3 if closed else 2
    points: tuple[Point, ...] = ()
    cursor: Point | None = None
    slip = ""
    while True:
        event = yield _preview(style, what, closed, points, cursor, slip)
        slip = ""
        match event:
            case Moved():
                cursor = event.at
            case Pressed():
                cursor = event.at
                if closed and len(points) >= fewest and _meets_first(event, points):
                    return points
                points = with_point(points, event.at)
            case Doubled():
                if not _just_placed(event, points) and not (closed and _meets_first(event, points)):
                    points = with_point(points, event.at)
                if len(points) >= fewest:
                    return points
            case Keyed(key="enter"):
                if len(points) >= fewest:
                    return points
                slip = f"A {what} needs {fewest} points at least. "
            case Keyed(key="backspace" | "delete"):
                points = points[:-1]
            case _:
                pass


def with_point(points: tuple[Point, ...], at: Point) -> tuple[Point, ...]:
    """Return the points with one more, unless it lies on the last one or there are as many as a job holds."""
    if (points and apart(points[-1], at) < 1e-3) or len(points) >= MOST_POINTS:
        return points
    return (*points, at)


def _just_placed(event: Doubled, points: tuple[Point, ...]) -> bool:
    """Return whether a double click lies on the point that its own first press placed."""
    return bool(points) and apart(event.raw, points[-1]) <= 2 * event.reach_ft


def _meets_first(event: Event, points: tuple[Point, ...]) -> bool:
    return isinstance(event, Pressed | Doubled) and bool(points) and apart(event.at, points[0]) <= event.reach_ft / 2


def _preview(
    style: str, what: str, closed: bool, points: tuple[Point, ...], cursor: Point | None, slip: str
) -> Preview:
    if not points:
        corner = "corner" if closed else "point"
        return Preview(hint=f"{slip}Click the first {corner} of the {what}, or type east, north.")
    end = "the first corner or Enter closes it" if closed else "Enter or a double click ends it"
    fewest = 3 if closed else 2
    ready = len(points) >= fewest
    step = f"Click the next {'corner' if closed else 'point'}, or type a length"
    hint = (
        f"{slip}{step}; {end}." if ready else f"{slip}{step}; Tab for a direction, Backspace takes the last point back."
    )
    live = (*points, cursor) if cursor is not None else points
    traces = [Trace(live, style)]
    if closed and len(live) > 2:
        traces.append(Trace((live[-1], live[0]), style, faint=True))
    return Preview(
        hint=hint,
        traces=tuple(traces),
        anchor=points[-1],
        before=points[-2] if len(points) > 1 else None,
        own=points[:1] if closed and ready else (),
        rays=_closing_rays(points) if closed else (),
        readout=True,
    )


def _closing_rays(points: tuple[Point, ...]) -> tuple[Ray, ...]:
    """Return the lines through the first corner, along its leg and square to it: where the last corner of a house lies."""
    if len(points) < 2:
        return ()
    (ax, ay), (bx, by) = points[0], points[1]
    return ((points[0], (ax - (by - ay), ay + (bx - ax))),)
