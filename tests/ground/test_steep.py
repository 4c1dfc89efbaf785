"""Neighboring shots with a steeper fall between them than soil stands at.

Source of the limit, 1 to 1: common practice, no source.
"""

from drainsketch.findings import Finding
from drainsketch.ground.checks import shot_findings
from drainsketch.ground.results import LevelledShot
from drainsketch.ground.surface import Surface
from drainsketch.job.model import Breakline, Job, Obstacle
from drainsketch.wording import Words

# a bank along x = 0: the ground at 100.00 west of it and at 102.26 from 1 ft east of it on, 226 % between
FLAT = [(-10.0, y, 100.0) for y in (0.0, 10.0, 20.0)] + [(10.0, y, 102.26) for y in (0.0, 10.0, 20.0)]
BANK = [(0.0, 10.0, 100.0), (1.0, 10.0, 102.26)]


def told(places: list[tuple[float, float, float]], job: Job | None = None) -> list[Finding]:
    job = job or Job()
    shots = tuple(LevelledShot(f"S{n}", (x, y), z) for n, (x, y, z) in enumerate(places, 1))
    surface = Surface(shots, job.breaklines)
    return [f for f in shot_findings(job, shots, surface) if f.kind == "ground_steep"]


def test_two_shots_with_more_than_one_to_one_between_them_are_named() -> None:
    (found,) = told(FLAT + BANK)
    assert found.level == "settle"
    assert found.place.ids == ("S7", "S8")
    assert found.place.point == (0.5, 10.0)
    assert Words("en", "ft").sentence(found).startswith("S7, S8 differ by 2.26 ft over 1.00 ft, 226.00%")


def test_a_bank_of_one_to_one_is_borne() -> None:
    assert told([*FLAT, (0.0, 10.0, 100.0), (2.26, 10.0, 102.26)]) == []


def test_a_breakline_or_a_wall_between_them_holds_the_ground() -> None:
    points = ((0.5, -5.0), (0.5, 25.0))
    assert told(FLAT + BANK, Job(obstacles=(Obstacle(id="fence-1", kind="fence", points=points),))) == []
    foot = ((0.0, 10.0), (0.0, 15.0))
    assert (
        told([*FLAT, *BANK, (0.0, 15.0, 100.0)], Job(breaklines=(Breakline(id="L1", kind="wall foot", points=foot),)))
        == []
    )


def test_of_many_only_the_worst_three_are_told() -> None:
    bank = [(x, y, z + 0.1 * y * (x > 0)) for y in range(0, 60, 10) for x, z in ((0.0, 100.0), (1.0, 101.5))]
    found = told([(x, y, 100.0 + 5.0 * (x > 0)) for x in (-10.0, 10.0) for y in range(0, 60, 10)] + bank)
    assert [f.value for f in found] == sorted((f.value for f in found), reverse=True)
    assert len(found) == 3
