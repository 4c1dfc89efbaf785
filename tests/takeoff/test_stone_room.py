"""The stone that is handed to the water stages is the stone that is counted and paid for."""

from math import sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.files.jobfile import read_job
from drainsketch.job.model import Run
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.takeoff.earth import Earth, earth
from drainsketch.takeoff.stacks import stacks
from drainsketch.takeoff.stone_room import stone_trenches
from drainsketch.water.stores import StoneTrench, voids_below_ft3
from tests.takeoff.small_jobs import basin, flat, job_of, laid_out, outfall, paved
from tests.test_review import SAMPLES


def same_as_counted(dug: Earth, cap_ft: float) -> dict[str, StoneTrench]:
    """Hold the stone of every drain run against the takeoff's, gross and less the pipe."""
    trenches = {t.run_id: t for t in stone_trenches(dug, cap_ft)}
    counted = [r for r in dug.of_use("drain") if r.stone_ft2 > 0]
    assert list(trenches) == [r.work.run.id for r in counted]
    for r in counted:
        t = trenches[r.work.run.id]
        net = voids_below_ft3(t, t.highest_ft, 1.0)
        assert net == pytest.approx(r.stone_ft3 - r.pipe_ft3, rel=1e-6, abs=1e-9)
        area = sum(
            (t.station_ft[i + 1] - t.station_ft[i])
            * (t.top_ft[i] - t.bottom_ft[i] + t.top_ft[i + 1] - t.bottom_ft[i + 1])
            / 2
            for i in range(len(t.station_ft) - 1)
        )
        assert area * t.width_ft == pytest.approx(r.stone_ft3, rel=1e-6, abs=1e-9)
        assert all(top >= bottom for top, bottom in zip(t.top_ft, t.bottom_ft, strict=True))
        assert all(b > a for a, b in zip(t.station_ft, t.station_ft[1:], strict=False))
    return trenches


@pytest.mark.parametrize("name", SAMPLES)
def test_sample_yards(name: str) -> None:
    review = analyse(read_job(sample_jobs().joinpath(f"{name}.drainjob")))
    same_as_counted(earth(review.works, review.stacks), review.job.criteria.topsoil_cap_in / 12)


def drain(up: float, down: float, ground: object, **criteria: float) -> Earth:
    job = job_of(
        [basin("A", 40, 0), outfall("O", 0, 0)],
        [Run(id="R1", start="A", end="O", use="drain", pipe="corrugated")],
        **criteria,
    )
    laid = laid_out(job, ground, {"R1": (up, down)})  # type: ignore[arg-type]
    return earth(laid, stacks(laid))


def test_a_level_trench_by_hand() -> None:
    """Ground 100, inverts 98, corrugated 4 in: the bed of 2 in and the wall lie below them, a cap of 4 in above. The hole of the basin
    is 2 ft wide, so the trench runs from 0 to 39."""
    (trench,) = same_as_counted(drain(98.0, 98.0, flat(100)), 4 / 12).values()
    assert (trench.station_ft[0], trench.station_ft[-1]) == (0.0, 39.0)
    assert trench.top_ft == pytest.approx([100 - 4 / 12] * len(trench.top_ft))
    assert max(trench.bottom_ft) == pytest.approx(98 - 2 / 12 - trench.wall_ft)
    assert trench.width_ft == 1.0


def test_stone_begins_where_the_cap_leaves_room() -> None:
    """Ground that rises 0.1 a foot from the trench bottom: there is room from the cap's 4 in on, 10/3 ft up the trench."""
    dug = drain(100.2, 100.2, lambda x, y: 99.9 + 0.1 * x, topsoil_cap_in=4.0, stone_bed_in=2.0)
    (trench,) = same_as_counted(dug, 4 / 12).values()
    begins = next(s for s, t, b in zip(trench.station_ft, trench.top_ft, trench.bottom_ft, strict=True) if t > b)
    bottom = trench.bottom_ft[0]
    assert 99.9 + 0.1 * begins - 4 / 12 > bottom
    start = (bottom + 4 / 12 - 99.9) / 0.1
    assert any(s == pytest.approx(start) for s in trench.station_ft)


@given(st.floats(97, 101), st.floats(97, 101), st.floats(0, 18), st.floats(0, 6), st.floats(0.1, 2))
def test_any_ground(up: float, down: float, cap_in: float, bed_in: float, swing: float) -> None:
    dug = drain(up, down, lambda x, y: 99.5 + swing * sin(x / 3), topsoil_cap_in=cap_in, stone_bed_in=bed_in)
    same_as_counted(dug, cap_in / 12)


def test_solid_pipe_has_no_stone() -> None:
    job = job_of([basin("A", 40, 0), outfall("O", 0, 0)], [Run(id="R1", start="A", end="O")])
    laid = laid_out(job, flat(100), {"R1": (98.0, 97.5)})
    assert stone_trenches(earth(laid, stacks(laid)), 4 / 12) == ()


def test_under_paving_the_stone_ends_at_the_base_course_for_the_storm_too() -> None:
    """Concrete 4 in and base 6 in over 10 of the 39 ft of trench: 6 in less stone there than under 4 in of topsoil."""
    job = job_of(
        [basin("A", 40, 0), outfall("O", 0, 0)], [Run(id="R1", start="A", end="O", use="drain", pipe="corrugated")]
    )
    slab = replace(job, obstacles=(paved("P", 10, 20, "concrete"),))
    rooms = []
    for one in (job, slab):
        laid = laid_out(one, flat(100), {"R1": (98.0, 98.0)})
        (trench,) = same_as_counted(earth(laid, stacks(laid)), 4 / 12).values()
        rooms.append(voids_below_ft3(trench, trench.highest_ft, 1.0))
    assert rooms[0] - rooms[1] == pytest.approx(10 * 6 / 12, abs=1e-4)
