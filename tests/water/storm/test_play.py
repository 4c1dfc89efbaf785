"""A storm played over whole jobs: no water made or lost, dry yards dry, and in the end the figures of the peak."""

from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from drainsketch.files.jobfile import read_job
from drainsketch.ground.results import Inlet
from drainsketch.ground.study import ground_study
from drainsketch.job.edits.change import change_water
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain, RainRow
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.study import play
from drainsketch.water.review import water_of
from drainsketch.water.storm import march
from drainsketch.water.storm.facts import standing_of, traces_of
from drainsketch.water.storm.play import storm_of
from drainsketch.water.storm.results import Played, Storm
from tests.ground.test_pits import two_pits
from tests.network.random_yards import yard
from tests.water.wet_yards import ROOT, funnel, looked_at, paved, roofed, with_structure, with_water
from tests.yards import basin, drawn, outfall, plane, run, shot

TABLE = Rain(table=ROOT, return_period_yr=10.0, storm_min=60.0)
COLUMNS = (
    "stands_ft",
    "spills_cfs",
    "level_ft",
    "arrives_cfs",
    "takes_cfs",
    "passes_cfs",
    "flow_cfs",
    "filled",
    "leaves_cfs",
)


def storm(job: Job) -> Storm:
    made = play(looked_at(job))
    assert made is not None
    return made


def sample(name: str) -> Job:
    return read_job(Path(str(sample_jobs().joinpath(f"{name}.drainjob"))))


def keeps_all(played: Played) -> None:
    assert played.sum.miss < 1e-3  # the mission's measure; what is reached is 1e-5
    assert all(np.isfinite(getattr(played, name)).all() for name in COLUMNS)
    standing = played.volumes_ft3()[-1]  # by the levels that are shown; dishes about inlets hold a little more
    assert played.sum.stands >= standing - 0.01 * played.sum.comes - 0.5
    parts = (played.sum.piped, played.sum.off, played.sum.soaked, played.sum.stands, played.sum.inside, played.sum.back)
    assert min(parts) > -0.01


@pytest.mark.parametrize("tens", range(10))
def test_no_water_is_made_or_lost_on_random_yards(tens: int) -> None:
    """A hundred yards by seed: random trees of pipe on rough ground, steep and flat, perforated and solid, to all kinds of outfall."""
    for seed in range(10 * tens, 10 * tens + 10):
        rain = Rain(table=ROOT, return_period_yr=100.0 if seed % 2 else 10.0, storm_min=(15.0, 25.0)[seed // 2 % 2])
        job = change_water(replace(yard(seed), rain=rain), infiltration_in_h=(None, 2.0)[seed % 3 > 0])
        r = analyse(job)
        taking = tuple(
            Inlet(b.id, b.point, 0.5, r.levels[b.id].rim_ft) for b in job.structures if b.kind == "basin" and seed % 4
        )
        ground = ground_study(job, r.surface, taking)
        water = water_of(job, r.network, r.workable, r.levels, ground)
        made = storm_of(job, r.network, r.workable, r.levels, ground, water)
        assert made is not None, seed
        for played in (made.before, made.after):
            assert played is not None
            keeps_all(played)


def test_the_account_tells_of_levels_that_do_not_fit_the_flows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Levels let be wrong by gallons in every step: what they hold is no longer what came and did not leave."""
    monkeypatch.setattr(march, "CLOSE_FT3", 20.0)
    with pytest.raises(AssertionError):
        keeps_all(storm(funnel(replace(TABLE, storm_min=15.0))).after)


def test_without_rain_there_is_no_storm() -> None:
    assert play(looked_at(funnel(Rain()))) is None
    assert play(looked_at(funnel(Rain(table=ROOT)))) is None  # no return period chosen


@pytest.mark.parametrize("of_basin", [{"runoff_c": 0.0}, {"area_ft2": 0.0}, {"area_ft2": 2_000.0, "runoff_c": 0.0}])
def test_a_yard_that_sheds_nothing_stays_dry(of_basin: dict[str, float]) -> None:
    """Lawn whose coefficient was typed as 0, and an inlet to which no ground was said to shed."""
    after = storm(funnel(TABLE, **of_basin)).after
    assert after.flow_cfs.max() == 0.0 == after.takes_cfs.max() == after.over_ft.max()
    assert standing_of(after).area_ft2 == 0.0 == standing_of(after).stood_min
    assert after.sum.piped == 0.0


def test_today_the_funnel_fills_and_with_its_drain_it_empties() -> None:
    made = storm(funnel(TABLE))
    assert made.before is not None
    for played in (made.before, made.after):
        keeps_all(played)
    before, after = standing_of(made.before), standing_of(made.after)
    lawn = made.before.sum.comes
    assert made.before.sum.stands == pytest.approx(lawn, rel=0.01)  # nothing leaves a closed bowl that is not full
    assert before.still and before.gallons == pytest.approx(lawn * 7.48052, rel=0.01)
    assert not after.still and 0 < after.stood_min < before.stood_min
    assert after.gallons < before.gallons
    assert made.after.sum.piped == pytest.approx(lawn, rel=0.01)


def test_levels_of_steady_rain_are_those_of_the_grade_line() -> None:
    """Two reckonings: the one steps through time by volumes, the other goes up the pipe by the direct step method."""
    for name in ("corner-lot", "long-flat-yard", "row-of-yards", "steep-lot"):
        for intensity in (1.0, 3.0):
            job = replace(sample(name), rain=Rain(intensity_in_h=intensity, storm_min=60.0))
            closer = looked_at(job)
            made = play(closer)
            assert made is not None
            row, p = made.after.moment(60.0), made.after
            for n, s in enumerate(p.structures):
                head = closer.water.heads.get(s)
                if head is not None and not closer.water.over:
                    assert p.level_ft[row, n] == pytest.approx(head.level_ft, abs=0.03), (name, s)
            for n, r in enumerate(p.runs):
                if r in closer.water.pipes and not closer.water.over:
                    assert p.flow_cfs[row, n] == pytest.approx(closer.water.pipes[r].flow_cfs, rel=0.01), (name, r)


def test_what_sheds_to_each_inlet_is_what_the_review_has() -> None:
    """All the way through the storm as much comes as C times A times the rain of the storm."""
    closer = looked_at(sample("corner-lot"))
    made = play(closer)
    assert made is not None
    p = made.after
    depth_ft = float(p.rain_in_h[:-1] @ np.diff(p.minute)) / 60 / 12
    for n, s in enumerate(p.structures):
        a = closer.water.arrivals.get(s)
        if a is not None:
            volume = float(p.arrives_cfs[1:, n] @ np.diff(p.minute)) * 60
            assert volume == pytest.approx(a.storm_c * a.area_ft2 * depth_ft, rel=0.02)
            assert p.arrives_cfs[:, n].max() == pytest.approx(
                a.flow_cfs, rel=0.05
            )  # means of a minute lie under the peak


def test_both_playings_share_their_moments() -> None:
    made = storm(funnel(TABLE))
    assert made.before is not None
    assert made.before.minute.tolist() == made.after.minute.tolist()
    assert made.after.minute[0] == 0.0 and made.after.minute[-1] > 60.0
    assert made.after.moment(-5.0) == 0 and made.after.moment(1e9) == len(made.after.minute) - 1
    assert made.after.minute[made.after.moment(17.2)] <= 17.2


def test_water_that_a_small_grate_does_not_take_stands_and_then_drains() -> None:
    """All but choked, the grate of the funnel lets the bowl fill; nothing spills, so in the end all has gone by pipe."""
    choked = storm(with_water(funnel(TABLE), grate_clogged=0.95))
    free = storm(with_water(funnel(TABLE), grate_clogged=0.0))
    assert standing_of(choked.after).gallons > 3 * standing_of(free.after).gallons
    assert standing_of(choked.after).stood_min > standing_of(free.after).stood_min


def test_an_inlet_on_a_slope_lets_the_rest_run_past_to_the_next() -> None:
    """Two basins on a plane of 2 %, one below the other; the upper one choked: what it does not take comes to the lower one."""
    slope = drawn(
        *plane(lambda x, y: 100 - 0.02 * x + 0.004 * abs(y), 60.0),
        basin(0, 0, size_in=12, area_ft2=3_000.0, runoff_c=0.5),
        basin(30, 0, size_in=12),
        outfall(59, 0, "tie-in", invert_ft=94.0),
        run("B1", "B2"),
        run("B2", "O1"),
        job=Job(rain=Rain(intensity_in_h=8.0, storm_min=30.0)),
    )
    choked = storm(with_water(slope, grate_clogged=0.95, grate_ponding_in=0.5)).after
    keeps_all(choked)
    upper, lower = choked.structures.index("B1"), choked.structures.index("B2")
    assert choked.passes_cfs[:, upper].max() > 0.01
    assert choked.onward[upper][0] == (0.0, 0.0) and choked.onward[upper][-1][0] > 5.0
    row = choked.moment(30.0)
    took_or_passed = choked.takes_cfs[row, lower] + choked.passes_cfs[row, lower]
    own = choked.arrives_cfs[row, lower]
    assert took_or_passed == pytest.approx(own + choked.passes_cfs[row, upper], rel=0.05)


def two_pits_with(*inlets: tuple[float, float]) -> Job:
    """The two pits of ``test_pits`` with a basin flush in some, each with a pipe of its own to a tie-in."""
    job = drawn(*(basin(x, y, size_in=12) for x, y in inlets), outfall(0, 29, "tie-in", invert_ft=94.0), job=two_pits())
    job = drawn(*(run(f"B{n}", "O1", diameter_in=6) for n in range(1, len(inlets) + 1)), job=job)
    return replace(job, rain=Rain(intensity_in_h=4.0, storm_min=60.0))


@pytest.mark.parametrize(("inlets", "left_ft3"), [([(-20, 0)], 60.3), ([(20, 0)], 166.8), ([(-20, 0), (20, 0)], 0.0)])
def test_a_pit_without_an_inlet_keeps_its_water(inlets: list[tuple[float, float]], left_ft3: float) -> None:
    """What is left is the pit that no basin stands in, full to the saddle: 60.3 and 166.8 ft3 by a flood fill of its own."""
    closer = looked_at(two_pits_with(*inlets))
    made = play(closer)
    assert made is not None and closer.ground is not None and closer.ground.drained is not None
    keeps_all(made.after)
    assert made.after.sum.stands == pytest.approx(left_ft3, rel=0.05, abs=0.5)
    fills = closer.ground.drained.filled_ft - closer.ground.ground_ft
    assert left_ft3 == pytest.approx(float(np.nansum(fills)) * closer.ground.grid.cell_ft**2, rel=0.01, abs=0.3)


def test_water_never_runs_up_over_a_pass() -> None:
    for seed in (137, 160, 200, 211):
        job = replace(yard(seed), rain=Rain(intensity_in_h=6.0, storm_min=30.0))
        made = storm(job)
        for p in (made.before, made.after):
            assert p is not None
            for n, hollow in enumerate(p.hollows):
                if hollow.into >= 0:
                    ahead = p.spills_cfs[1:, n] > 0.05
                    assert (p.stands_ft[1:, n] > p.stands_ft[1:, hollow.into] - 0.02)[ahead].all(), (seed, n)


def test_what_an_outfall_lets_out_onto_the_yard_is_still_there() -> None:
    """A pop-up that stands above a bowl of 62 ft3: with the drain the bowl gets all the water of the lawn above."""
    bowl = [
        shot(x, y, min(100 - 0.03 * x, 96.2 + 0.06 * float(np.hypot(x - 80, y))))
        for x in range(0, 121, 5)
        for y in range(-30, 31, 5)
    ]
    job = drawn(
        *bowl,
        basin(20, 0, size_in=12, area_ft2=3_000.0, runoff_c=0.6),
        outfall(60, 0, "pop-up"),
        run("B1", "O1"),
        job=Job(rain=Rain(intensity_in_h=1.0, storm_min=30.0)),
    )
    closer = looked_at(job)
    made = play(closer)
    assert made is not None and made.before is not None
    keeps_all(made.after)
    assert made.after.leaves_cfs.max() > 0.02
    assert made.after.sum.piped == 0.0  # nothing has left the yard by pipe
    assert standing_of(made.after).gallons > 1.5 * standing_of(made.before).gallons


def test_water_outside_a_tie_in_stands_in_the_pipe_and_comes_back_in() -> None:
    high = storm(with_structure(funnel(TABLE), "O1", tailwater_ft=100.4)).after
    assert high.sum.miss < 1e-3
    assert high.sum.back >= 0.0 <= high.sum.piped
    assert high.level_ft[0, 0] == pytest.approx(100.4)
    assert high.stands_ft[-1, 0] == pytest.approx(100.4, abs=0.05)  # the bowl fills as high as the water outside


@pytest.mark.parametrize("minutes", [60.0, 360.0, 1_440.0])
def test_a_longer_storm_with_the_same_burst_shows_no_less(minutes: float) -> None:
    table = replace(ROOT, rows=(*ROOT.rows, RainRow(duration_min=2_880.0, values=(0.25, 0.31))))
    peaks = [
        standing_of(storm(funnel(Rain(table=table, return_period_yr=100.0, storm_min=m))).after).gallons
        for m in (minutes, 2 * minutes)
    ]
    assert peaks[1] >= 0.97 * peaks[0]


def test_nothing_falls_beyond_the_table() -> None:
    """Its last row is 80 min: a storm typed longer ends there."""
    made = storm(funnel(replace(TABLE, storm_min=600.0)))
    assert made.after.rain_in_h[made.after.minute > 80.0].max() == 0.0
    assert made.after.sum.comes == pytest.approx(storm(funnel(replace(TABLE, storm_min=80.0))).after.sum.comes)


def test_how_full_pipe_is_told_by_its_flow_and_not_by_the_box_at_its_head() -> None:
    """The run to the outfall, which nothing holds back, is as deep as the review of the peak has it; in none is the box at its head taken for it."""
    closer = looked_at(sample("low-lawn"))
    made = play(closer)
    assert made is not None
    for n, name in enumerate(made.after.runs):
        flow = closer.water.pipes.get(name)
        if flow is not None and flow.depth_ft is not None:
            assert flow.depth_ft / flow.diameter_ft - 0.06 < made.after.filled[:, n].max() < 1.0, name
            if name == "R6":
                assert made.after.filled[:, n].max() == pytest.approx(flow.depth_ft / flow.diameter_ft, abs=0.06)


def test_roofs_come_in_by_pipe_with_drains_and_over_the_lawn_today() -> None:
    job = roofed(paved(funnel(TABLE), "hardscape", -28, -28, -18, -18), (10.0, 10.0), 800.0, joined=True)
    made = storm(job)
    assert made.before is not None
    assert made.before.sum.comes == pytest.approx(made.after.sum.comes, rel=0.02)
    inlet = made.after.structures.index(next(s.id for s in job.structures if s.kind == "downspout inlet"))
    assert made.after.arrives_cfs[:, inlet].max() > 0.05
    assert made.after.takes_cfs[:, inlet].max() <= 0.0


def test_a_job_with_no_shots_plays_with_drains_alone() -> None:
    job = drawn(
        basin(0, 0, size_in=12, area_ft2=2_000.0, runoff_c=0.5, rim_ft=100.0, invert_ft=98.0),
        outfall(50, 0, "tie-in", invert_ft=97.0),
        run("B1", "O1"),
        job=Job(rain=TABLE),
    )
    closer = looked_at(job)
    made = play(closer)
    assert made is not None and made.before is None
    keeps_all(made.after)
    assert closer.water.arrivals["B1"].flow_cfs > 0


def test_hydrographs_of_what_is_chosen() -> None:
    made = storm(funnel(TABLE))
    assert [t.what for t in traces_of(made, "B1")] == ["arrives", "takes", "passes", "level"]
    assert [t.what for t in traces_of(made, "R1")] == ["flow", "filled"]
    assert [t.what for t in traces_of(made, "O1")] == ["leaves"]
    assert traces_of(made, "nothing") == ()
    assert all(len(t.values) == len(made.after.minute) for t in traces_of(made, "B1"))
