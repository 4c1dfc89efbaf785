"""The basin schedule: stack, dig-to level and holes of every basin, in both languages."""

import pytest

from drainsketch.review import analyse
from drainsketch.sheets.basin_schedule import basin_schedule, way_words
from drainsketch.wording import Words
from tests.desk.at_desk import PLANE_YARD

REVIEW = analyse(PLANE_YARD)


def test_a_basin_worked_by_hand() -> None:
    # rim 100.00, invert 98.00, 4 in sump, 2 in bed: floor 97.67, hole to 97.50; 28 in less 12 is 16: three risers, 2 in cut
    (row,) = basin_schedule(REVIEW, Words.of(PLANE_YARD)).rows
    assert row == (
        "B1",
        "12 in",
        "100.00",
        "12 in body + 3 × 6 in, top one cut by 2 in",
        "97.50",
        "2 in",
        "4 in",
        "R1 out E at 4 in",
    )
    ways = [way_words(w, Words.of(PLANE_YARD)) for w in REVIEW.stacks["B1"].others]
    assert ways == [
        "dig 2 in deeper, to 97.33, and cut nothing",
        "make the bed 4 in thicker, take 2 risers and cut nothing",
    ]


@pytest.mark.parametrize("lang", ["en", "es"])
def test_rows_are_as_wide_as_their_heads(lang: str) -> None:
    schedule = basin_schedule(REVIEW, Words.of(PLANE_YARD, lang))
    assert {len(row) for row in schedule.rows} == {len(schedule.columns)}
