"""Water outside an outfall that stands high: what is told of it, against levels typed in the test."""

import pytest
from msgspec.structs import replace

from drainsketch.findings import Finding
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.wording import Words
from tests.water.test_checks import two_basins
from tests.water.wet_yards import looked_at

KINDS = ("tailwater_high", "tailwater_over_rims")
# of two_basins: rims 99.00 and 98.20, ground at the outfall 100 - 0.02 x 130 = 97.40


def told(job: Job) -> list[Finding]:
    return [f for f in looked_at(job).findings if f.kind in KINDS]


@pytest.mark.parametrize("level_ft", [None, 95.0, 97.4, 98.3])
def test_water_up_to_a_foot_over_the_ground_at_the_outfall_is_taken_as_typed(level_ft: float | None) -> None:
    assert told(two_basins(level_ft)) == []


def test_water_far_above_the_ground_at_the_outfall() -> None:
    (found,) = told(two_basins(98.9))
    assert (found.kind, found.level, found.place.ids, found.limit) == ("tailwater_high", "settle", ("O1",), 1.0)
    assert found.value == pytest.approx(98.9 - 97.4)
    assert Words("en", "ft").sentence(found) == (
        "Outside O1 water is said to stand at 98.90, 1.50 ft above the ground there."
    )
    assert Words("es", "m").sentence(found) == (
        "Afuera de O1 se dice que el agua está a nivel 30.145, 0.46 m sobre el terreno de ahí."
    )


def test_water_above_every_rim() -> None:
    (found,) = told(two_basins(99.5))
    assert (found.kind, found.level, found.limit) == ("tailwater_over_rims", "settle", 0.0)
    assert found.value == pytest.approx(99.5 - 99.0)
    assert "0.50 ft above the rim of B1, the highest that drains there" in Words("en", "ft").sentence(found)
    assert "0.50 pies sobre el borde de B1, el más alto que descarga ahí" in Words("es", "ft").sentence(found)
    for lang in ("en", "es"):
        assert "{" not in Words(lang).remedy(found) + Words(lang).source(found)


def test_without_a_storm_the_level_outside_does_nothing_and_nothing_is_told_of_it() -> None:
    assert told(replace(two_basins(99.5), rain=Rain())) == []
