"""Trenches that lie in each other, by plane geometry on invented plans. Every trench is 1 ft wide."""

import pytest

from drainsketch.job.model import Job, Run
from drainsketch.review import analyse
from drainsketch.study import study
from drainsketch.takeoff.doubled import overlap_findings
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.stacks import stacks
from drainsketch.wording import Words, languages
from tests.takeoff.small_jobs import basin, fitting, flat, job_of, laid_out, outfall
from tests.test_review import sample


def told(job: Job) -> list[dict[str, object]]:
    works = laid_out(job, flat(100), {r.id: (98.0, 98.0) for r in job.runs})
    found = overlap_findings(works, earth(works, stacks(works)))
    return [dict(f.params) | {"ft": f.value, "level": f.level, "ids": f.place.ids} for f in found]


def beside(off_ft: float, via: tuple[float, float] = (20, 60)) -> Job:
    """A line of 80 ft, and one that comes in from 20 ft to the north, runs ``off_ft`` beside it for 40 ft and leaves again."""
    ends = [fitting("A", 0, 0), outfall("O", 80, 0), fitting("B", via[0], 20), outfall("P", via[1], 20)]
    leg = ((via[0], off_ft), (via[1], off_ft))
    return job_of(ends, [Run(id="R1", start="A", end="O"), Run(id="R2", start="B", end="P", via=leg)])


@pytest.mark.parametrize(("off_ft", "area"), [(0.5, 20.5), (0.75, 10.25), (0.25, 30.75)])
def test_lines_side_by_side_share_what_their_trenches_do(off_ft, area):
    # 40 ft and half a foot of each leg at its ends: 41 ft, over 1 ft less the distance
    (one,) = told(beside(off_ft))
    assert (one["run"], one["other"], one["level"], one["ids"]) == ("R1", "R2", "note", ("R1", "R2"))
    assert one["area"] == pytest.approx(area, rel=1e-6)
    assert one["ft"] == pytest.approx(41.0, rel=1e-6)


def test_lines_farther_apart_than_they_are_wide_share_nothing():
    assert told(beside(1.0)) == []
    assert told(beside(1.2)) == []


def test_two_lines_in_one_trench_from_basin_to_basin():
    # holes of 12 in basins are 2 ft square: 50 ft less 1 ft at each end
    ends = [basin("A", 0, 0), basin("B", 50, 0), outfall("O", 80, 0)]
    runs = [Run(id="R1", start="A", end="B"), Run(id="R2", start="A", end="B"), Run(id="R3", start="B", end="O")]
    (one,) = told(job_of(ends, runs))
    assert (one["area"], one["ft"]) == (pytest.approx(48.0), pytest.approx(48.0))


def test_what_is_counted_once_or_hardly_counts_is_not_told():
    cross = [fitting("A", -20, 0), outfall("O", 20, 0), fitting("B", 0, -20), outfall("P", 0, 20)]
    assert told(job_of(cross, [Run(id="R1", start="A", end="O"), Run(id="R2", start="B", end="P")])) == []  # 1 ft2
    # three lines at a joint, one of them nearly along another: the corner that is taken off is as large as what they share
    ends = [fitting("A", -40, 0), fitting("T", 0, 0), fitting("B", -40, 3), outfall("O", 40, 0)]
    runs = [Run(id=n, start=a, end=b) for n, a, b in (("R1", "A", "T"), ("R2", "T", "O"), ("R3", "B", "T"))]
    assert told(job_of(ends, runs)) == []
    # at a basin none is taken off: 1 ft less 0.075 ft a foot, from the hole at 1 ft to 13.3 ft, are 5.7 ft2
    (one,) = told(job_of([ends[0], basin("T", 0, 0), *ends[2:]], runs))
    assert (one["run"], one["other"], one["area"]) == ("R1", "R3", pytest.approx(5.7, abs=0.2))


def test_it_is_told_by_the_closer_look_and_not_while_a_thing_is_dragged():
    for name in ("corner-lot", "steep-lot"):
        assert not [f for f in study(analyse(sample(name))).findings if f.kind == "trenches_overlap"]
    works = laid_out(beside(0.5), flat(100), {"R1": (98.0, 98.0), "R2": (98.0, 98.0)})
    (one,) = overlap_findings(works, earth(works, stacks(works)))
    for lang in languages():
        said = Words.of(beside(0.5), lang)
        assert "R1" in said.sentence(one) and "R2" in said.sentence(one) and said.remedy(one)
    assert "lie in each other for 41'" in Words.of(beside(0.5)).sentence(one)
