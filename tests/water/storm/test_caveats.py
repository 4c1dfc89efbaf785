"""What has to be known of a storm that was played, and how it is said."""

import pytest
from msgspec.structs import replace

from drainsketch.job.edits.add import add
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.sheets.storm_words import caveat_lines
from drainsketch.study import play
from drainsketch.water.storm.facts import Caveat, caveats_of
from drainsketch.wording import Words
from tests.water.wet_yards import funnel, looked_at, shared_bowl, with_structure
from tests.yards import basin, outfall, run

SHORT = Rain(intensity_in_h=4.0, storm_min=10.0)


def told(job: Job, lang: str = "en") -> tuple[tuple[Caveat, ...], tuple[str, ...]]:
    closer = looked_at(job)
    storm = play(closer)
    assert storm is not None
    given = job, closer.review.network, closer.water, storm
    return caveats_of(*given), caveat_lines(*given, Words.of(job, lang))


def test_a_yard_that_is_played_whole_has_nothing_to_be_known() -> None:
    assert told(funnel(SHORT)) == ((), ())


def test_an_inlet_whose_pipe_cannot_be_laid_is_not_played() -> None:
    """Its outfall is fixed a foot above the ground about it."""
    job = add(add(funnel(SHORT), basin(0, 15)), outfall(0, 28, "tie-in", invert_ft=102.0))
    found, said = told(add(job, run("B2", "O2")))
    assert found == (Caveat("not_played", ("B2",)),)
    assert said == ("B2 is not played: pipe below it has no grade that it can be laid to.",)


@pytest.mark.parametrize(("lang", "words"), [("en", "does not know of it"), ("es", "no sabe de ella")])
def test_a_typed_area_is_unknown_to_the_ground_of_today(lang: str, words: str) -> None:
    found, said = told(with_structure(shared_bowl(SHORT), "B1", area_ft2=500.0), lang)
    assert found == (Caveat("typed_area", ("B1",)),)
    assert words in said[0]
    assert "{" not in said[0]


def test_without_ground_there_is_no_today_that_could_not_know_the_typed_area() -> None:
    job = with_structure(replace(funnel(SHORT), shots=()), "B1", area_ft2=500.0, rim_ft=100.0)
    assert told(with_structure(job, "O1", rim_ft=99.0))[0] == (Caveat("not_played", ("B1",)),)  # nor has pipe a grade


def test_what_comes_out_by_the_review_of_the_peak_may_not_be_seen() -> None:
    job = with_structure(funnel(replace(SHORT, intensity_in_h=20.0)), "B1", area_ft2=8_000.0, runoff_c=0.95)
    found, said = told(job)
    assert found == (Caveat("typed_area", ("B1",)), Caveat("comes_out", ("B1",)))
    assert said[1].startswith("The review of the peak has water come out at B1.")
