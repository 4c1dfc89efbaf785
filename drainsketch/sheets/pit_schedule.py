"""The pits of dry wells on paper: how long, wide and deep to dig, to which level, and with what care."""

from drainsketch.network.digging import LADDER_FT, SHORING_FT
from drainsketch.network.pits import SLACK_FT, Pit
from drainsketch.review import Review
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.wording import Words


def pit_schedule(review: Review, words: Words) -> Schedule:
    """Return size, floor and depth of the pit of every dry well whose size is given; no level to dig to where no pipe can be laid."""
    undug = review.undug
    rows = tuple(_row(pit, words, stopped=name in undug) for name, pit in review.pits.items())
    columns = schedule_columns(
        words,
        "pits",
        ("id", 0.55, False),
        ("length", 0.9, True),
        ("width", 0.9, True),
        ("below", 0.95, True),
        ("ground", 0.85, True),
        ("stone_top", 0.95, True),
        ("floor", 0.95, True),
        ("depth", 1.0, True),
        ("care", 2.4, False),
    )
    return Schedule(words.word("sheets.pits.title"), columns, rows, words.word("sheets.pits.note"))


def _row(pit: Pit, words: Words, *, stopped: bool) -> tuple[str, ...]:
    def level(feet: float | None) -> str:
        return NONE if feet is None else words.level(feet)

    stopped = stopped and pit.floor_ft is None
    return (
        pit.structure_id,
        words.length(pit.length_ft),
        words.length(pit.width_ft),
        words.length(pit.depth_ft),
        ("≈" if pit.guess else "") + level(pit.ground_ft),
        level(pit.invert_ft),
        level(pit.floor_ft),
        NONE if pit.dug_ft is None else words.length(pit.dug_ft),
        words.word("sheets.pits.stopped") if stopped else care_words(pit, words),
    )


def care_words(pit: Pit, words: Words) -> str:
    """Return what the depth of a pit asks for; one whose levels are not known goes at least as deep as it lies below the invert.

    Source: 29 CFR 1926.651(c)(2), 652(a)(1). Check: tests/sheets/test_pit_schedule.py
    """
    depth_ft = pit.depth_ft if pit.dug_ft is None else pit.dug_ft
    deep = "shore" if depth_ft >= SHORING_FT - SLACK_FT else "ladder" if depth_ft >= LADDER_FT - SLACK_FT else "shallow"
    said = words.word(f"sheets.pits.{deep}")
    return said if pit.dug_ft is not None else f"{words.word('sheets.pits.unknown')} {said}"
