"""The basin schedule: how deep to dig each basin, what to stack in it, and where its holes go."""

from collections import Counter

from drainsketch.review import Review
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.takeoff.openings import Opening
from drainsketch.takeoff.stacks import Stack, Way
from drainsketch.wording import Words

SHOWN_IN = 1 / 16  # less than this is nothing on a tape


def basin_schedule(review: Review, words: Words) -> Schedule:
    """Return body, risers, dig-to level, bed, sump and openings of every basin whose levels are known.

    Where no invert can be dug to, there is nothing to dig or to drill by either.
    """
    undug = review.undug
    rows = tuple(
        (
            name,
            words.inches(stack.body.size_in),
            grate_words(stack, words),
            *(_undug(name, review, words) if name in undug else _set_by_invert(name, stack, review, words)),
        )
        for name, stack in review.stacks.items()
    )
    columns = schedule_columns(
        words,
        "basins",
        ("id", 0.55, False),
        ("size", 0.7, True),
        ("grate", 1.0, True),
        ("stack", 2.0, False),
        ("dig_to", 0.85, True),
        ("bed", 0.65, True),
        ("sump", 0.75, True),
        ("openings", 2.5, False),
    )
    return Schedule(words.word("sheets.basins.title"), columns, rows, words.word("sheets.basins.note"))


def _set_by_invert(name: str, stack: Stack, review: Review, words: Words) -> tuple[str, ...]:
    return (
        stack_words(stack, words),
        words.level(stack.dig_to_ft),
        words.inches(stack.bed_in),
        words.inches(stack.sump_in),
        "; ".join(opening_words(o, words) for o in review.openings[name]) or NONE,
    )


def _undug(name: str, review: Review, words: Words) -> tuple[str, ...]:
    why = "sheets.plan.no_invert" if review.levels[name].no_invert else "sheets.basins.stopped"
    return (NONE,) * 4 + (words.word(why),)


def grate_words(stack: Stack, words: Words) -> str:
    """Return the level the grate comes to stand at, and how far below the rim asked for that is."""
    level = words.level(stack.top_ft)
    return level if stack.low_in < SHOWN_IN else f"{level}, {words.word('sheets.basins.low', by=stack.low_in)}"


def stack_words(stack: Stack, words: Words) -> str:
    """Return body and risers from bottom to top, and what is cut off the top riser."""
    risers = Counter(stack.risers_in)
    said = [words.word("sheets.basins.body", height=stack.body.height_in)]
    said += [words.word("sheets.basins.risers", count=n, height=height) for height, n in risers.items()]
    cut = words.word("sheets.basins.cut", by=stack.trim_in) if stack.trim_in >= SHOWN_IN else ""
    return " + ".join(said) + (f", {cut}" if cut else "")


def opening_words(opening: Opening, words: Words) -> str:
    """Return one hole in a few words: run, way, direction, height of its invert above the floor, and the piece if not the body."""
    way = words.word("sheets.basins.out" if opening.leaving else "sheets.basins.in")
    said = words.word(
        "sheets.basins.opening",
        run=opening.run,
        way=way,
        toward=words.bearing(opening.azimuth_deg),
        above=opening.above_floor_in,
    )
    return said if opening.part == "body" else f"{said} ({words.word(f'sheets.basins.{opening.part}')})"


def way_words(way: Way, words: Words) -> str:
    """Return another way to lose what whole risers leave over."""
    return words.word(f"sheets.basins.way_{way.kind}", by=way.by_in, count=len(way.risers_in), dig_to=way.dig_to_ft)
