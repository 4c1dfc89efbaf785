"""Dry wells and trenches without an outlet on paper, against figures worked by hand."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.sheets.well_table import well_tables
from drainsketch.wording import Words
from tests.sheets.test_storm_tables import words_of
from tests.water.test_trench_wells import PIT, yard
from tests.water.wet_yards import looked_at


def test_a_pit_of_38_ft3_holds_290_gallons(tmp_path: Path) -> None:
    """6 x 4 x 4 ft of 40 % are 38.4 ft3, 287 gal; the storm of 48 h leaves 519.6 - 96 = 424 ft3, 3,170 gal; 19.2 h at 2 ft3 an hour."""
    text = words_of(yard(use="solid", rate=1.0, **PIT), tmp_path)
    row = next(line for line in text.splitlines() if line.startswith("O1 900 sq ft"))
    assert row == "O1 900 sq ft 3,200 gal 290 gal – – 19 h too small"
    assert "Dry wells and trenches without an outlet" in text


def test_a_trench_tells_its_stone_and_where_water_comes_out(tmp_path: Path) -> None:
    text = words_of(yard(width_in=48.0, rate=3.0), tmp_path, "--lang", "es")
    row = next(line for line in text.splitlines() if line.startswith("O1 900"))
    assert "100.00" in row and row.endswith("lo retiene")
    assert "zanjas sin salida" in text


@pytest.mark.parametrize("lang", ["en", "es"])
def test_verdicts(lang: str) -> None:
    words, said = Words(lang, "ft"), set()
    for job in (yard(), yard(rate=None), yard(width_in=48.0, rate=3.0), yard(width_in=120.0, rate=0.05)):
        seen = looked_at(job)
        (table,) = well_tables(seen.review.job, seen.water, words)
        said.add(table.rows[0][-1])
    assert len(said) >= 3


def test_a_job_without_a_well_has_no_such_table() -> None:
    seen = looked_at(yard())
    assert len(well_tables(seen.review.job, seen.water, Words())) == 1
    assert well_tables(seen.review.job, replace(seen.water, wells={}), Words()) == ()
