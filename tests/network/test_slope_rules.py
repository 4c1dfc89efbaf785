"""Which limits hold for which run: slope by pipe and size, cover by place."""

import pytest

from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.limits import Criteria, SlopeRule
from drainsketch.job.model import Obstacle, Run
from drainsketch.network.bounds import slope_limits
from drainsketch.review import analyse
from tests.yards import basin, drawn, kinds, outfall, plane, run

TOP_FT = 4.095 / 12  # 4 in SDR 35, outside top over the invert (ASTM D3034)
RULES = (
    SlopeRule(pipe="sdr35", min_slope=0.02, max_slope=0.3),
    SlopeRule(pipe="sdr35", diameter_in=6, min_slope=0.005, max_slope=0.2),
    SlopeRule(pipe="corrugated", diameter_in=4, min_slope=0.03, max_slope=0.4),
)


@pytest.mark.parametrize(
    ("pipe", "diameter_in", "own", "limits"),
    [
        ("sdr35", 4, None, (0.02, 0.3)),  # the rule of its kind
        ("sdr35", 6, None, (0.005, 0.2)),  # the rule of its size stands before that of its kind
        ("sch40", 4, None, (0.01, 0.5)),  # no rule: the job's
        ("corrugated", 4, 0.001, (0.001, 0.4)),  # its own least slope stands before all
        ("sdr35", 6, 0.25, (0.25, 0.25)),  # the greatest is never below the least
    ],
)
def test_the_most_particular_rule_holds(
    pipe: str, diameter_in: int, own: float | None, limits: tuple[float, float]
) -> None:
    r = Run(id="R1", start="B1", end="O1", pipe=pipe, diameter_in=diameter_in, min_slope=own)  # type: ignore[arg-type]
    assert slope_limits(r, Criteria(slope_rules=RULES)) == limits


def test_a_run_falls_at_its_own_least_slope_and_is_told_flat_by_it() -> None:
    job = drawn(*plane(lambda x, y: 100.0), basin(0, 0), outfall(80, 0, "dry well"), run("B1", "O1", min_slope=0.02))
    review = analyse(job)
    assert review.grades["R1"].slope == pytest.approx(0.02)
    assert review.paths[0].slope_to_spare == pytest.approx(0.0, abs=1e-7)
    pinned = analyse(change(job, "R1", start_invert_ft=98.0, end_invert_ft=97.0))  # 1.25 %
    (flat,) = [f for f in pinned.findings if f.kind == "run_flat"]
    assert (flat.value, flat.limit) == (pytest.approx(0.0125), 0.02)


def test_cover_is_greater_under_a_drive_and_only_there() -> None:
    """Flat ground, 0.1 % least slope, a drive from 30 to 50 ft: 18 in of cover there, 12 in elsewhere.

    By hand: at the drive's upstream edge, station 50, pipe is at least 1.5 + TOP down. It falls at 0.1 % from the inlet, so the
    inlet is 0.03 ft less deep; the pipe past the drive lies lower still.
    """
    drive = Obstacle(id="drive-1", kind="hardscape", points=((30, -9), (50, -9), (50, 9), (30, 9)), drive=True)
    job = drawn(*plane(lambda x, y: 100.0), basin(0, 0), outfall(80, 0, "dry well"), run("B1", "O1"))
    job = change_criteria(job, min_slope=0.001)
    g = analyse(drawn(drive, job=job)).grades["R1"]
    assert g.invert_up_ft == pytest.approx(100 - 1.5 - TOP_FT + 0.03, abs=1e-5)
    assert (g.asked_cover_ft, g.cover_need_ft) == (pytest.approx(1.5), pytest.approx(1.5))
    assert g.least_cover_ft == pytest.approx(1.47)
    path = drawn(Obstacle(id="path-1", kind="hardscape", points=drive.points), job=job)
    assert analyse(path).grades["R1"].invert_up_ft == pytest.approx(100 - 1.0 - TOP_FT, abs=1e-5)


def test_little_cover_under_a_drive_is_told_against_what_is_asked_there() -> None:
    drive = Obstacle(id="drive-1", kind="hardscape", points=((30, -9), (50, -9), (50, 9), (30, 9)), drive=True)
    pipe = run("B1", "O1", start_invert_ft=98.6, end_invert_ft=97.8)  # 98.30 at the drive's upstream edge, station 50
    review = analyse(drawn(*plane(lambda x, y: 100.0), drive, basin(0, 0), outfall(80, 0, "dry well"), pipe))
    (shallow,) = [f for f in review.findings if f.kind == "shallow_cover"]
    assert (shallow.value, shallow.limit) == (pytest.approx(1.7 - TOP_FT), pytest.approx(1.5))
    assert shallow.place.station_ft == pytest.approx(50.0)


def test_a_run_with_its_own_cover_needs_no_more() -> None:
    job = drawn(*plane(lambda x, y: 100.0), basin(0, 0), outfall(80, 0, "dry well"), run("B1", "O1", min_cover_in=6.0))
    review = analyse(job)
    assert review.grades["R1"].invert_up_ft == pytest.approx(100 - 0.5 - TOP_FT, abs=1e-6)
    assert "shallow_cover" not in kinds(review)
