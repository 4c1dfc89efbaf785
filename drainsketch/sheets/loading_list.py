"""The loading list as a table with boxes to tick: what goes on the truck, by where it is loaded."""

from drainsketch.job.rates import quantity_text
from drainsketch.review import Review
from drainsketch.sheets.schedules import Schedule, schedule_columns
from drainsketch.takeoff.loading import PLACES, Load, load_list
from drainsketch.wording import Words

BOX = "☐"
BLANK = "____"


def loads_of(review: Review) -> tuple[Load, ...]:
    """Return the loading list of a reviewed job."""
    return load_list(review.works, review.stacks, review.takeoff, review.crossings)


def load_name(load: Load, words: Words) -> str:
    """Return what is loaded, in words."""
    if load.line is not None:
        return words.item(load.line)
    said = words.word(f"details.tool.{load.name}")
    if not load.crossings:
        return said
    numbers = tuple(str(n) for n in load.crossings)
    return words.word("details.loading.at", tool=said, crossings=numbers)


def load_quantity(load: Load, words: Words) -> tuple[str, str]:
    """Return how much is loaded, and the word of its unit; empty for a tool."""
    if load.line is None or load.quantity is None:
        return "", ""
    if load.line.buy is None:
        return words.counted(load.line)
    return quantity_text(load.quantity), words.word(f"takeoff.unit.{load.unit}")


def loading_schedule(review: Review, words: Words) -> Schedule:
    """Return the loading list; what is delivered by the load has a blank for the loads that came."""
    loads = loads_of(review)
    rows: list[tuple[str, ...]] = []
    for place in PLACES:
        here = [load for load in loads if load.place == place]
        if here:
            rows.append((words.word(f"details.loading.{place}"),))
        for load in here:
            quantity, unit = load_quantity(load, words)
            if place in ("delivered", "hauled off"):
                unit = words.word("details.loading.loads", unit=unit, blank=BLANK)
            rows.append((BOX, load_name(load, words), quantity, unit))
    columns = schedule_columns(
        words, "takeoff", ("item", 0.22, False), ("item", 3.6, False), ("quantity", 1.0, True), ("unit", 1.1, False)
    )
    columns = (type(columns[0])("", 0.25), *columns[1:])
    return Schedule(
        words.word("details.loading.title"), columns, tuple(rows), words.word("details.loading.note"), False
    )
