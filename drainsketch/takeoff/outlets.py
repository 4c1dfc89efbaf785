"""Outlets: the piece at the end of the pipe, by kind of outfall."""

from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import Works

ITEMS = {
    "daylight": "outlet_daylight",
    "pop-up": "outlet_pop_up",
    "tie-in": "outlet_tie_in",
    "curb": "outlet_curb",
    "dry well": "outlet_dry_well",
}


def outlets(works: Works) -> list[TakeoffLine]:
    """Return outlet pieces, one for each pipe that ends at an outfall. An outfall of no stated kind counts as daylight."""
    tally = Tally("structures", "each", "outlet")
    for s in works.job.structures:
        if s.kind == "outfall":
            for end in works.ends[s.id]:
                run = end.work.run
                item = ITEMS[s.outfall or "daylight"]
                tally.add(item, 1, f"{s.id}: {run.id}", s.id, pipe=run.pipe, diameter_in=run.diameter_in)
    return tally.lines()
