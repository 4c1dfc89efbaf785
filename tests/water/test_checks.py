"""What the water review tells, and what it leaves to others to tell."""

from math import pi, sqrt

import pytest
from msgspec.structs import replace

from drainsketch.findings import Finding
from drainsketch.job.edits.add import add
from drainsketch.job.model import Job, Structure
from drainsketch.job.pipes import pipe_size
from drainsketch.job.rain import Rain, RainRow, RainTable
from drainsketch.study import Study
from drainsketch.wording import Words
from tests.water.rains import in_table
from tests.water.wet_yards import HARD, ROOT, funnel, looked_at, with_structure, with_water
from tests.yards import basin, drawn, fitting, outfall, run, shot

COMES_OUT = ("comes_out", "comes_out_onward", "comes_out_off")
STORM = ("no_rain", "rain_beyond_table", "rain_past_table", "no_area", "pipe_too_small", "pipe_too_small_for_stock", "grate_too_small", "grate_takes_none",
         "backs_up", *COMES_OUT, "not_self_cleansing")  # fmt: skip


def told(closer: Study) -> dict[str, Finding]:
    found = [f for f in closer.findings if f.kind in STORM]
    assert len({(f.kind, f.place.ids) for f in found}) == len(found)
    words = Words.of(closer.review.job)
    for f in found:
        text = f"{words.sentence(f)} {words.remedy(f)} {words.source(f)}"
        assert "{" not in text and "?" not in text and "nan" not in text, text
    return {f.kind: f for f in found}


@pytest.mark.parametrize("rain", [Rain(), Rain(table=ROOT), Rain(source="nobody asked yet")])
def test_a_yard_without_a_storm_says_so_and_nothing_else(rain):
    closer = looked_at(funnel(rain))
    assert set(told(closer)) == {"no_rain"}
    water = closer.water
    assert water.lacking in ("rain", "return period")
    assert (water.arrivals, water.pipes, water.grates, water.lines, water.heads, water.unmeasured) == (
        {},
        {},
        {},
        {},
        {},
        (),
    )


def test_a_yard_without_pipe_is_not_asked_for_rain():
    assert told(looked_at(replace(funnel(Rain()), runs=()))) == {}


def test_a_yard_that_keeps_up_has_nothing_to_settle():
    assert told(looked_at(with_water(funnel(), self_cleansing_ft_s=0.0))) == {}


def test_rain_that_begins_later_than_the_water_comes():
    late = RainTable(measure="depth", return_periods_yr=(10.0,), rows=(RainRow(duration_min=15.0, values=(1.0,)),))
    found = told(looked_at(funnel(in_table(late))))["rain_beyond_table"]
    assert (found.level, found.limit, found.place.ids) == ("settle", 15.0, ("B1",))
    assert found.value == pytest.approx(6.82, abs=0.12)  # 4 in/h held, as in the example of the arrivals
    assert "rain_beyond_table" not in told(looked_at(with_structure(funnel(in_table(late)), "B1", tc_min=15.0)))


def test_rain_that_ends_sooner_than_the_water_comes():
    found = told(looked_at(with_structure(funnel(in_table(ROOT)), "B1", tc_min=100.0)))["rain_past_table"]
    assert (found.level, found.value, found.limit) == ("note", 100.0, 80.0)
    assert found.place.ids == ("B1", "R1")
    assert "rain_past_table" not in told(looked_at(with_structure(funnel(in_table(ROOT)), "B1", tc_min=80.0)))


def test_an_inlet_to_which_nothing_is_known_to_shed():
    job = add(funnel(), Structure(id="", kind="downspout inlet", point=(10, 10)))
    found = told(looked_at(add(job, run("D1", "B1"))))["no_area"]
    assert (found.level, found.place.ids) == ("note", ("D1",))


def test_an_inlet_that_was_said_to_have_no_area_is_not_asked_for_one():
    closer = looked_at(with_structure(funnel(), "B1", area_ft2=0.0))
    assert (closer.water.arrivals, closer.water.unmeasured) == ({}, ())
    assert told(closer) == {}


def test_pipe_in_which_nothing_flows_is_not_called_slow():
    closer = looked_at(with_structure(funnel(), "B1", runoff_c=0.0))
    assert closer.water.pipes["R1"].flow_cfs == 0
    assert told(closer) == {}


def test_a_basin_that_cannot_drain_is_not_said_to_lack_an_area():
    closer = looked_at(with_structure(funnel(), "O1", invert_ft=101.0))
    assert any(f.kind == "cannot_drain" for f in closer.whole.findings)
    assert "no_area" not in told(closer)
    assert closer.water.unmeasured == ()


def test_pipe_that_nobody_can_lay_has_no_capacity_and_no_grade_line():
    job = with_structure(funnel(), "O1", invert_ft=101.0)
    closer = looked_at(with_structure(job, "B1", area_ft2=50_000.0))
    assert closer.review.grades and not closer.review.workable
    flow = closer.water.pipes["R1"]
    assert flow.flow_cfs > 0 and flow.full_cfs is None
    assert closer.water.lines == {} and closer.water.heads == {}
    assert not {"pipe_too_small", "pipe_too_small_for_stock", "backs_up"} & set(told(closer))


def test_pipe_too_small_names_flow_capacity_and_size():
    closer = looked_at(with_structure(funnel(), "B1", area_ft2=20_000.0, runoff_c=0.5))
    found, flow = told(closer)["pipe_too_small"], closer.water.pipes["R1"]
    assert found.value == flow.flow_cfs == pytest.approx(20_000 * 0.5 * 4 / 43_200)
    assert found.limit == flow.full_cfs
    assert (found.unit, dict(found.params)["size"]) == ("cfs", 6.0)
    closer = looked_at(with_structure(funnel(), "B1", area_ft2=1_000_000.0, runoff_c=1.0))
    found, flow = told(closer)["pipe_too_small_for_stock"], closer.water.pipes["R1"]
    assert "pipe_too_small" not in told(closer)
    # Manning's formula by hand for the largest size, 12 in SDR 35, n 0.010: 1.486 / n x A x (D / 4)^(2/3) x s^0.5
    inside_ft = pipe_size("sdr35", 12).inside_in / 12
    full = 1.486 / 0.010 * pi / 4 * inside_ft**2 * (inside_ft / 4) ** (2 / 3) * sqrt(flow.slope)
    assert dict(found.params)["left"] == pytest.approx(flow.flow_cfs - full, rel=1e-3)
    assert "no single pipe does at this slope; the largest, 12 in, leaves" in Words("en", "ft").sentence(found)
    assert "Lay a second line, let less area drain to it" in Words("en").remedy(found)
    assert "un solo tubo no da abasto con esta pendiente; el más grande, de 12 pulg, deja" in Words("es").sentence(
        found
    )


def test_a_grate_too_small_names_depth_and_what_would_do():
    found = told(looked_at(with_structure(funnel(), "B1", area_ft2=20_000.0, runoff_c=0.35)))["grate_too_small"]
    # 0.648 cfs over a 12 in grate half clogged: (0.648 / (0.67 x 0.16667))^2 / 64.4 = 0.523 ft
    assert (found.value, found.limit) == (pytest.approx(0.523, abs=1e-3), 0.25)
    assert dict(found.params)["count"] == 2
    assert "0' 6 1/4\" of water stand over the grate of B1 at the peak, 0' 3\" are put up with" in Words().sentence(
        found
    )


def test_a_grate_over_which_no_water_is_put_up_with_takes_none():
    seen = told(
        looked_at(with_water(with_structure(funnel(), "B1", area_ft2=20_000.0, runoff_c=0.35), grate_ponding_in=0.0))
    )
    assert "grate_too_small" not in seen
    found = seen["grate_takes_none"]
    assert (found.level, found.limit, found.value) == ("settle", 0.0, pytest.approx(0.523, abs=1e-3))  # as above
    for lang in ("en", "es"):
        said = Words(lang).sentence(found) + Words(lang).remedy(found)
        assert " 0 " not in said


def two_basins(tailwater_ft: float | None, middle=basin) -> Job:
    """A plane that falls 2 % to the east: B1 at 50 ft, what is asked for at 90 ft, a tie-in at 130 ft pinned at 95.00."""
    job = drawn(
        *(shot(x, y, 100 - 0.02 * x) for x in (0, 70, 140) for y in (-20, 20)),
        basin(50, 0, area_ft2=3_000.0, runoff_c=0.5),
        middle(90, 0),
        outfall(130, 0, "tie-in", invert_ft=95.0, tailwater_ft=tailwater_ft),
        job=Job(rain=HARD),
    )
    name = job.structures[1].id
    return add(add(job, run("B1", name)), run(name, "O1"))


def test_water_that_comes_out_of_a_grate():
    over = {"backs_up", *COMES_OUT}
    assert not over & set(told(looked_at(two_basins(None))))
    closer = looked_at(two_basins(99.2))
    found = [f for f in closer.findings if f.kind in over]
    assert {f.place.ids for f in found} == {("B1",), ("B2",)}
    for f in found:
        head = closer.water.heads[f.place.ids[0]]
        assert f.value == pytest.approx(head.level_ft - head.rim_ft) and f.value > 0
    assert closer.water.heads["B2"].rim_ft == pytest.approx(98.2)


def test_nothing_comes_out_of_a_buried_fitting():
    closer = looked_at(two_basins(99.2, fitting))
    assert closer.water.heads["F1"].freeboard_ft < 0
    assert {f.place.ids for f in closer.findings if f.kind in ("backs_up", *COMES_OUT)} == {("B1",)}


def test_slow_water_is_one_note_for_all_runs():
    job = with_water(two_basins(None), self_cleansing_ft_s=20.0)
    found = told(looked_at(job))["not_self_cleansing"]
    assert found.place.ids == ("R1", "R2")
    assert (found.level, found.limit) == ("note", 20.0)


# ---- networks of every shape


def ring(rain: Rain) -> Job:
    return drawn(
        *(shot(x, y, 100 - 0.02 * x) for x in (0, 70, 140) for y in (-40, 40)),
        basin(20, 0), basin(60, 30), basin(60, -30), outfall(120, 0, "tie-in", invert_ft=94.0),
        run("B1", "B2"), run("B1", "B3"), run("B2", "O1"), run("B3", "O1"), run("B2", "B3"),
        job=Job(rain=rain),
    )  # fmt: skip


def test_a_loop_is_reckoned_by_the_ways_the_review_shows():
    closer = looked_at(ring(HARD))
    ways = {p.inlet: p.run_ids for p in closer.review.paths}
    used = {run_id for runs in ways.values() for run_id in runs}
    assert set(closer.water.pipes) == used
    for inlet, runs in ways.items():
        assert (
            closer.water.pipes[runs[-1]].ca_ft2
            >= closer.water.arrivals[inlet].storm_c * closer.water.arrivals[inlet].area_ft2
        )
    ends = [f for f in closer.review.network.runs if f.downstream == "O1" and f.id in closer.water.pipes]
    total = sum(closer.water.pipes[f.id].area_ft2 for f in ends)
    assert total == pytest.approx(sum(a.area_ft2 for a in closer.water.arrivals.values()))  # no water twice, none lost


def test_two_outfalls_islands_and_a_pair_of_pipes_are_reckoned_too():
    job = add(ring(HARD), outfall(20, 38, "tie-in", invert_ft=94.0))
    job = add(add(job, run("B1", "O2")), run("B1", "B2"))
    job = add(add(job, basin(100, 35)), basin(130, 35))
    closer = looked_at(add(job, run("B4", "B5")))  # an island
    assert {"B1", "B2", "B3"} <= set(closer.water.arrivals)
    assert not {"B4", "B5"} & set(closer.water.arrivals)
    ends = [f for f in closer.review.network.runs if f.downstream in ("O1", "O2") and f.id in closer.water.pipes]
    total = sum(closer.water.pipes[f.id].area_ft2 for f in ends)
    assert total == pytest.approx(sum(a.area_ft2 for a in closer.water.arrivals.values()))
    told(closer)


# -- the storm that is played, and grates on a slope


def kinds_of(job: Job) -> dict[str, Finding]:
    return {f.kind: f for f in looked_at(job).findings}


@pytest.mark.parametrize(
    ("storm_min", "kind"),
    [(80.0, None), (120.0, "storm_past_table"), (5.0, None), (60.0, None)],
)
def test_a_storm_longer_than_the_table_says_so(storm_min, kind):
    found = kinds_of(funnel(replace(in_table(ROOT), storm_min=storm_min)))
    assert [k for k in found if k in ("storm_past_table", "storm_before_table")] == ([kind] if kind else [])
    if kind:
        assert (found[kind].level, found[kind].value, found[kind].limit) == ("settle", storm_min, 80.0)
        assert "lasts 120.0 min" in Words("en").sentence(found[kind])
        assert "80.0 min" in Words("es").sentence(found[kind])


def test_a_storm_shorter_than_the_table_says_so():
    late = RainTable(measure="depth", return_periods_yr=(10.0,), rows=(RainRow(duration_min=15.0, values=(1.0,)),))
    found = kinds_of(funnel(replace(in_table(late), storm_min=10.0)))["storm_before_table"]
    assert (found.level, found.value, found.limit) == ("settle", 10.0, 15.0)
    assert "too little" in Words("en").sentence(found)


def test_a_typed_intensity_holds_for_any_storm():
    found = kinds_of(funnel(Rain(table=ROOT, return_period_yr=10.0, intensity_in_h=4.0, storm_min=2_880.0)))
    assert "storm_past_table" not in found


def on_a_plane(slope: float, rain: Rain = HARD, **of_basin: object) -> Job:
    """Two basins one behind the other on a plane that falls to the east."""
    return drawn(
        *(shot(x, y, 100 - slope * x) for x in (0, 30, 60) for y in (-10, 0, 10)),
        basin(20, 0, size_in=12, **of_basin),
        basin(50, 0, size_in=12),
        outfall(58, 5, "tie-in", invert_ft=92.0),
        run("B1", "B2"),
        run("B2", "O1"),
        job=Job(rain=rain),
    )


@pytest.mark.parametrize(("slope", "told_of"), [(0.015, False), (0.025, True)])
def test_grates_on_a_slope_are_named_together(slope, told_of):
    found = kinds_of(on_a_plane(slope)).get("grate_on_slope")
    assert (found is not None) is told_of
    if found is not None:
        assert (found.level, found.place.ids, found.limit) == ("note", ("B1", "B2"), 0.02)
        assert found.value == pytest.approx(slope, rel=1e-3)
        for lang in ("en", "es"):
            words = Words(lang, "ft-in")
            said = f"{words.sentence(found)} {words.remedy(found)} {words.source(found)}"
            assert "B1, B2" in said and "2.50%" in said and "{" not in said


def test_a_grate_let_into_the_slope_or_in_low_ground_is_not_on_a_slope():
    assert kinds_of(on_a_plane(0.025, rim_ft=99.2))["grate_on_slope"].place.ids == ("B2",)  # ground at 99.50
    assert "grate_on_slope" not in kinds_of(funnel())  # 3 % all round, but in the bottom of it


def test_nothing_is_said_of_grates_without_rain():
    assert "grate_on_slope" not in kinds_of(on_a_plane(0.025, Rain()))
