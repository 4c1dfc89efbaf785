"""The tape: length and direction between points. It draws nothing that stays."""

from drainsketch.desk.tools.drawing import with_point
from drainsketch.desk.tools.gesture import Doubled, Gesture, Keyed, Moved, Outcome, Pressed, Preview, Start, Trace
from drainsketch.job.kinds import Point


def measure(start: Start) -> Gesture:
    """Lay the tape from point to point; Enter or a double click lets go."""
    points: tuple[Point, ...] = ()
    cursor: Point | None = None
    while True:
        if not points:
            event = yield Preview(hint="Click where the tape starts, or type east, north.")
        else:
            live = (*points, cursor) if cursor is not None else points
            event = yield Preview(
                hint="Length and direction stand at the pointer; click to go on round a corner, Enter lets go.",
                traces=(Trace(live, "tape"),),
                anchor=points[-1],
                before=points[-2] if len(points) > 1 else None,
                readout=True,
            )
        match event:
            case Moved():
                cursor = event.at
            case Pressed():
                points, cursor = with_point(points, event.at), event.at
            case Keyed(key="backspace"):
                points = points[:-1]
            case Doubled() | Keyed(key="enter"):
                return Outcome(start.job)
            case _:
                pass
