"""Follow a drop: the way of the water over the ground from the pointer to where it stops. It draws nothing that stays."""

from drainsketch.desk.tools.gesture import Gesture, Keyed, Moved, Note, Pressed, Preview, Start, Symbol, Trace, Way
from drainsketch.job.kinds import Point

HINT = "Point at the ground to see where its water goes; a click keeps the way, Backspace takes it back."


def follow(start: Start) -> Gesture:
    """Show the way of a drop from the pointer; a click keeps it in sight."""
    kept: tuple[Point, ...] = ()
    cursor: Point | None = None
    while True:
        starts = (*kept, *((cursor,) if cursor is not None and cursor not in kept else ()))
        ways = [way for way in map(start.follow, starts) if way is not None]
        event = yield _preview(ways, kept)
        match event:
            case Moved():
                cursor = event.raw
            case Pressed():
                kept, cursor = (*kept, event.raw), event.raw
            case Keyed(key="backspace"):
                kept = kept[:-1]
            case _:
                pass


def _preview(ways: list[Way], kept: tuple[Point, ...]) -> Preview:
    """Return what is shown of some ways; what is kept can be given up."""
    lines = tuple(Trace(way.points, "drop", plain=True) for way in ways if len(way.points) > 1)
    return Preview(
        hint=HINT,
        traces=lines,
        symbols=tuple(Symbol(way.points[-1], "drop end") for way in ways if way.points),
        notes=tuple(Note(way.points[-1], way.word) for way in ways if way.points),
        anchor=kept[-1] if kept else None,
        wants="",
        snaps=False,
        follows=True,
    )
