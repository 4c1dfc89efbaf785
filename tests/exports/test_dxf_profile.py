"""The profiles in the drawing, read back with ezdxf: true feet both ways."""

import io
from itertools import pairwise
from math import hypot
from typing import Any

import ezdxf
import numpy as np
import pytest

from drainsketch.exports.dxf import plan_dxf
from drainsketch.review import analyse
from tests.exports.yards import SAMPLES, sample
from tests.yards import basin, drawn, outfall, plane, run


def space_of(data: bytes) -> Any:
    return ezdxf.read(io.StringIO(data.decode("utf-8"))).modelspace()  # type: ignore[attr-defined]


def points(line: Any) -> list[tuple[float, float]]:
    return [(p[0], p[1]) for p in line.get_points()]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_profile_has_the_length_and_the_levels_of_its_run(name: str) -> None:
    job, review = sample(name)
    space = space_of(plan_dxf(job, review))
    frames, inverts, grounds = (
        [points(line) for line in space.query(f'LWPOLYLINE[layer=="profile {kind}"]')]
        for kind in ("frame", "invert", "ground")
    )
    graded = [f for f in review.network.runs if f.id in review.workable]
    assert len(frames) == len(inverts) == len(grounds) == len(graded)
    for flow, frame, invert, ground in zip(graded, frames, inverts, grounds, strict=True):
        plan_ft = sum(hypot(bx - ax, by - ay) for (ax, ay), (bx, by) in pairwise(flow.points))
        grade, profile = review.workable[flow.id], review.profiles[flow.id]
        assert invert[-1][0] - invert[0][0] == pytest.approx(plan_ft, abs=1e-6)
        assert invert[-1][1] - invert[0][1] == pytest.approx(grade.invert_up_ft - grade.invert_down_ft, abs=1e-6)
        # the foot of the frame is at a whole foot of level, and everything measured up from it is a level
        foot = grade.invert_down_ft - (invert[0][1] - frame[0][1])
        assert foot == pytest.approx(round(foot), abs=1e-6)
        np.testing.assert_allclose([y - frame[0][1] + foot for _, y in ground], profile.ground_ft, atol=1e-6)
        assert min(y for _, y in (*invert, *ground)) >= frame[0][1] - 1e-9
        assert max(y for _, y in (*invert, *ground)) <= frame[2][1] + 1e-9


@pytest.mark.parametrize("name", SAMPLES)
def test_profiles_stand_below_the_plan_and_clear_of_each_other(name: str) -> None:
    job, review = sample(name)
    space = space_of(plan_dxf(job, review))
    (lot,) = space.query('LWPOLYLINE[layer=="lot line"]')
    floor = min(y for _, y in points(lot))
    for line in space.query('LWPOLYLINE[layer=="profile frame"]'):
        low, high = min(y for _, y in points(line)), max(y for _, y in points(line))
        assert high < floor
        floor = low


def test_what_is_crossed_stands_at_its_level_and_as_large_as_it_is() -> None:
    job, review = sample("corner-lot.drainjob")
    space = space_of(plan_dxf(job, review))
    circles = list(space.query('CIRCLE[layer=="profile crossing"]'))
    bars = {
        points(line)[0][0]: points(line) for line in space.query('LWPOLYLINE[layer=="profile crossing may be off"]')
    }
    known = [
        c for f in review.network.runs for c in review.crossings if c.run_id == f.id and c.run_id in review.workable
    ]
    known = [c for c in known if c.service_top_ft is not None and c.service_bottom_ft is not None]
    assert len(circles) == len(known) > 0
    off = [c for c in known if c.service_error_ft]
    assert len(bars) == len(off) > 0
    graded = [f.id for f in review.network.runs if f.id in review.workable]
    inverts = dict(zip(graded, map(points, space.query('LWPOLYLINE[layer=="profile invert"]')), strict=True))
    said = [text.dxf.text for text in space.query("TEXT")]
    assert any(" deep, may be off " in text and text.startswith("gas-") for text in said)  # on the plan too
    for circle, crossing in zip(circles, known, strict=True):
        assert crossing.service_top_ft is not None and crossing.service_bottom_ft is not None
        # a level in the drawing, from the invert at the downstream end of the run
        x, y = inverts[crossing.run_id][0]
        level = review.workable[crossing.run_id].invert_down_ft - y
        half_ft = (crossing.service_top_ft - crossing.service_bottom_ft) / 2
        assert circle.dxf.radius == pytest.approx(max(0.02, half_ft), abs=1e-6)
        assert circle.dxf.center.x == pytest.approx(x + crossing.station_ft, abs=1e-6)
        assert circle.dxf.center.y + level == pytest.approx(crossing.service_bottom_ft + half_ft, abs=1e-6)
        if crossing.service_error_ft:
            (_, low), (_, high) = bars[x + crossing.station_ft]
            assert (high - low) / 2 == pytest.approx(half_ft + crossing.service_error_ft, abs=1e-6)
            assert any(
                t.startswith(f"crossing {crossing.number}: {crossing.other}, may be off ") and t.endswith(" up or down")
                for t in said
            )


def test_runs_that_cross_stand_in_the_profile_of_each_other() -> None:
    """R1 goes east along y = 0, R2 north along x = 30 with its foot at y = -20: it is crossed at station 20 of it, R1 at 30 from x = 60."""
    job = drawn(
        *plane(lambda x, y: 100.0),
        *(basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=97.0, end_invert_ft=96.0)),
        *(basin(30, 30), outfall(30, -20, "tie-in"), run("B2", "O2", start_invert_ft=98.5, end_invert_ft=98.0)),
    )
    review = analyse(job)
    assert len(review.crossings) == 1
    space = space_of(plan_dxf(job, review))
    inverts = dict(
        zip(
            [f.id for f in review.network.runs],
            map(points, space.query('LWPOLYLINE[layer=="profile invert"]')),
            strict=True,
        )
    )
    circles = [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in space.query('CIRCLE[layer=="profile crossing"]')]
    assert len(circles) == 2
    for name, other, station_ft in (("R1", "R2", 30.0), ("R2", "R1", 20.0)):
        x, y = inverts[name][0]
        mine, crossed = review.workable[name], review.workable[other]
        at_ft = 20.0 if other == "R2" else 30.0
        outside_ft = 4.215 / 12  # 4 in SDR 35: ASTM D3034
        middle = crossed.invert_down_ft + crossed.slope * at_ft + (4.215 - 2 * 0.12) / 24
        level = mine.invert_down_ft - y
        near = min(circles, key=lambda c: abs(c[0] - x - station_ft) + abs(c[1] + level - middle))
        assert near == (
            pytest.approx(x + station_ft, abs=1e-6),
            pytest.approx(middle - level, abs=2e-3),
            pytest.approx(outside_ft / 2, abs=2e-3),
        )
