"""The last feet of pipe before it comes out into the open, worked by hand."""

import numpy as np
import pytest

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change
from drainsketch.job.model import Job
from drainsketch.network.downhill import bare_length_ft
from drainsketch.review import analyse
from drainsketch.wording import Words
from tests.yards import basin, drawn, kinds, outfall, plane, run, shot

TOP_FT = 4.095 / 12  # 4 in SDR 35, outside top over the invert (ASTM D3034)


def of(job: Job, kind: str) -> list[Finding]:
    return [f for f in analyse(job).findings if f.kind == kind]


def strip(*levels: tuple[float, float]) -> tuple[object, ...]:
    """Return shots on both sides of the x axis: ground by x alone."""
    return tuple(shot(x, y, z) for x, z in levels for y in (-20.0, 20.0))


def test_pipe_bare_before_the_mouth_is_told_with_its_length() -> None:
    """Ground falls 6 % to the mouth at 60 ft, 96.40 there; pipe pinned at 97.00 above falls 1 %.

    Its top leaves the ground where 96.40 + 0.06 s = 96.40 + 0.01 s + 0.341: at s = 6.825 ft.
    """
    job = drawn(
        *strip((-5, 100.3), (65, 96.1)), basin(0, 0), outfall(60, 0), run("B1", "O1", start_invert_ft=97.0), job=None
    )
    (found,) = of(job, "bare_at_daylight")
    assert (found.level, found.limit, found.place.ids) == ("settle", 2.0, ("R1", "O1"))
    assert found.value == pytest.approx(TOP_FT / 0.05)
    said = "The last {} ft of R1 before O1 lie bare: the top of the pipe stands above the ground."
    assert Words("en", "ft").sentence(found) in (said.format("6.82"), said.format("6.83"))  # 6.825, to either side
    # 18 % of ground: 0.341 / 0.17 = 2.007 ft of it show, 20 %: 1.796 ft
    for fall, is_told in ((0.18, True), (0.20, False)):
        ground = strip((-5, 96.4 + 65 * fall), (65, 96.4 - 5 * fall))
        steep = drawn(*ground, basin(0, 0), outfall(60, 0), run("B1", "O1", start_invert_ft=97.0))
        assert bool(of(steep, "bare_at_daylight")) is is_told


def test_pipe_that_ends_underground_is_not_bare() -> None:
    tied = drawn(
        *strip((-5, 100.3), (65, 96.1)), basin(0, 0), outfall(60, 0, "tie-in", invert_ft=94.0), run("B1", "O1")
    )
    assert "bare_at_daylight" not in kinds(analyse(tied))


def test_the_bare_length_is_cut_between_stations() -> None:
    station, cover = np.array([0.0, 1, 2, 3, 10]), np.array([-1.0, -1, 1, -1, 6])
    # all of the first foot, half of the next two, 1 of 7 ft of the last
    assert bare_length_ft(station, cover, 10.0) == pytest.approx(1 + 0.5 + 0.5 + 1)
    assert bare_length_ft(station, cover, 3.5) == pytest.approx(1 + 0.5 + 0.5 + 0.5)
    assert bare_length_ft(station, cover, 0.5) == pytest.approx(0.5)


def test_least_cover_is_that_of_the_whole_run_and_asked_cover_leaves_the_taper_out() -> None:
    # 6 % of ground over 1 % of pipe: cover is 0.05 s - 0.341; at the mouth -0.341, at the edge of the taper 0.659
    job = drawn(*strip((-5, 100.3), (65, 96.1)), basin(0, 0), outfall(60, 0), run("B1", "O1", start_invert_ft=97.0))
    g = analyse(job).grades["R1"]
    assert (g.least_cover_ft, g.least_cover_station_ft) == (pytest.approx(-TOP_FT), 0.0)
    assert (g.asked_cover_ft, g.asked_cover_station_ft) == (pytest.approx(1.0 - TOP_FT), pytest.approx(20.0))
    (found,) = of(job, "shallow_cover")
    assert (found.value, found.place.station_ft) == (pytest.approx(1.0 - TOP_FT), pytest.approx(20.0))
    said = "R1 has only 0.66 ft of cover at station 20.00 ft up from O1, 1.00 ft is required."
    assert Words("en", "ft").sentence(found) == said


def test_pipe_with_little_cover_upstream_still_is_told_where_it_hangs_at_the_mouth() -> None:
    """Ground falls 1 % but for a hollow of 2 ft at 52 ft; both ends pinned so that cover is half a foot.

    Invert 100 - 0.5 - 0.341 - 0.01 x; over the hollow, ground 100 - 0.52 - 2, it hangs 1.159 ft in the air.
    """
    ground = strip((-5, 100.05), (48, 99.52), (52, 97.48), (56, 99.44), (65, 99.35))
    pipe = run("B1", "O1", start_invert_ft=99.5 - TOP_FT, end_invert_ft=98.9 - TOP_FT)
    job = drawn(*ground, basin(0, 0), outfall(60, 0, invert_ft=98.9 - TOP_FT), pipe)
    (shallow,) = of(job, "shallow_cover")
    (hangs,) = of(job, "hangs")
    assert shallow.value == pytest.approx(0.5)
    assert (hangs.level, hangs.value) == ("stop", pytest.approx(2 - 0.5 - TOP_FT))
    assert hangs.place.station_ft == pytest.approx(8.0)
    assert Words("en", "ft").sentence(hangs).startswith("R1 hangs in the air at station 8.00 ft up from O1:")
    assert not of(job, "bare_at_daylight")  # the stop tells of the same feet


def test_pipe_out_of_the_ground_upstream_of_the_taper_is_told_once() -> None:
    ground = strip((-5, 100), (26, 100), (30, 97), (34, 100), (65, 100))
    pipe = run("B1", "O1", start_invert_ft=98.6, end_invert_ft=98.0)
    told = kinds(analyse(drawn(*ground, basin(0, 0), outfall(60, 0), pipe)))
    assert told.count("out_of_ground") == 1
    assert "hangs" not in told


def test_a_mouth_that_stays_in_the_ground_is_a_stop() -> None:
    job = drawn(*plane(lambda x, y: 100 - 0.03 * x), basin(0, 0), outfall(50, 0, invert_ft=97.9), run("B1", "O1"))
    (found,) = of(job, "outfall_buried")
    assert (found.level, found.value) == ("stop", pytest.approx(0.6))
    assert not of(change(job, "O1", invert_ft=98.45), "outfall_buried")  # 0.05 ft, less than an inch
