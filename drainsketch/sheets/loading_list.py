"""The loading list as a table with boxes to tick: what goes on the truck, by where it is loaded."""

from drainsketch.review import Review
from drainsketch.sheets.schedules import Schedule, stands_not, takeoff_columns
from drainsketch.takeoff.loading import PLACES
from drainsketch.takeoff.loading_words import load_name, load_quantity
from drainsketch.wording import Words

BOX = "☐"
BLANK = "____"


def loading_schedule(review: Review, words: Words) -> Schedule:
    """Return the loading list; what is delivered by the load has a blank for the loads that came."""
    loads = review.loading
    rows: list[tuple[str, ...]] = []
    for place in PLACES:
        here = [load for load in loads if load.place == place]
        if here:
            rows.append((words.word(f"details.loading.{place}"),))
        for load in here:
            quantity, unit = load_quantity(load, words)
            name = load_name(load, words)
            if place in ("delivered", "hauled off") and load.unit != "load":  # those are loads as it is
                name = words.word("details.loading.loads", goods=name, blank=BLANK)
            rows.append((f"{BOX}  {name}", quantity, unit))
    note = " ".join(filter(None, (stands_not(review, words), words.word("details.loading.note"))))
    return Schedule(words.word("details.loading.title"), takeoff_columns(words), tuple(rows), note, False)
