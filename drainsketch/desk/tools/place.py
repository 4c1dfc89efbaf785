"""The tool that puts sights of the level book on the plan, one click each."""

from drainsketch.desk.tools.gesture import OR_TYPE, Gesture, Moved, Outcome, Pressed, Preview, Start, Symbol
from drainsketch.errors import EditError
from drainsketch.job.edits.book import bind, place_sight
from drainsketch.job.kinds import Point
from drainsketch.job.levelling import Sight
from drainsketch.job.model import Job
from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.job.sights import next_to_place, to_place

HINT = "Click where the rod stood; the shot takes its level from the level book."
NOTHING = "Every sight of the level book has its place; write the next one there first."
LABEL = "Place a sight"


def place(start: Start) -> Gesture:
    """Place the sight that is chosen in the level book, or the next one that waits, as a shot where the user clicks.

    A click on a shot without a level gives it that of the sight.
    """
    sight = next_to_place(start.job, start.sight)
    cursor: Point | None = None
    slip = ""
    while True:
        symbols = (Symbol(cursor, "shot"),) if cursor is not None and sight is not None else ()
        event = yield Preview(hint=(slip or _asks(start.job, sight)) + OR_TYPE, symbols=symbols)
        if isinstance(event, Moved):
            cursor = event.at
        elif isinstance(event, Pressed) and sight is not None:
            slip = ""
            try:
                return _placed(start.job, sight, event)
            except EditError as fault:
                slip = f"{fault}."


def _asks(job: Job, sight: Sight | None) -> str:
    if sight is None:
        return NOTHING
    others = sum(s.id != sight.id for s in to_place(job.book))
    more = f" {others} more after it." if others else " It is the last one."
    return f"Click where the rod stood at {plain(sight.at, LABEL_LENGTH) or 'the point without a name'}.{more}"


def _placed(job: Job, sight: Sight, event: Pressed) -> Outcome:
    met = event.snap.id if event.snap is not None and event.snap.kind == "shot" else ""
    if met and any(s.id == met for s in job.shots):
        return Outcome(bind(job, sight.id, met), LABEL, select=(met,))
    placed, shot_id = place_sight(job, sight.id, event.at)
    return Outcome(placed, LABEL, select=(shot_id,))
