"""Dry wells on paper: what the storm brings each to hold, what pit and stone hold, and how soon it is empty."""

from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.job.model import Job
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.water.results import Water, Well
from drainsketch.wording import Words


def well_tables(job: Job, water: Water, words: Words) -> tuple[Schedule, ...]:
    """Return the table of the dry wells of a storm; none where there is no well that anything arrives at."""

    def volume(ft3: float) -> str:
        return words.volume(ft3 * GALLONS_PER_FT3) if ft3 > 0 else NONE

    def row(well: Well) -> tuple[str, ...]:
        return (
            well.outfall,
            words.area(well.ca_ft2),
            volume(well.balance.holds_ft3) if well.balance is not None else NONE,
            volume(well.pit_ft3),
            volume((well.room_ft3 or 0.0) - well.pit_ft3),
            words.level(well.spill_ft) if well.spill_ft is not None else NONE,
            f"{well.drawdown_h:.0f} h" if well.drawdown_h is not None else NONE,
            words.word(f"sheets.wells.{_verdict(well, job.water.drawdown_h)}"),
        )

    if not water.wells:
        return ()
    columns = schedule_columns(
        words,
        "wells",
        ("well", 0.6, False),
        ("ca", 0.9, True),
        ("holds", 0.9, True),
        ("pit", 0.9, True),
        ("stone", 0.9, True),
        ("spill", 1.0, True),
        ("drawdown", 0.9, True),
        ("verdict", 1.1, False),
    )
    rows = tuple(row(w) for w in water.wells.values())
    return (Schedule(words.word("sheets.wells.title"), columns, rows, words.word("sheets.wells.note")),)


def _verdict(well: Well, allowed_h: float) -> str:
    if well.balance is None:
        return "unproved"
    if well.is_short:
        return "short"
    return "slow" if well.drawdown_h is not None and well.drawdown_h > allowed_h else "fits"
