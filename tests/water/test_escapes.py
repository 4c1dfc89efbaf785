"""What comes out of the grates: as much as has to, for the line to stand at the rim, and no more."""

import pytest
from msgspec.structs import replace

from drainsketch.job.basins import grate_of, shipped_stock
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.review import analyse
from drainsketch.study import Study, study
from drainsketch.water.grates import ponded
from drainsketch.water.heads import grade_lines
from drainsketch.water.review import water_of
from tests.test_review import sample
from tests.yards import basin, drawn, outfall, run, shot

WET = Rain(intensity_in_h=6.0)


def line(area_ft2: float, lower_ft2: float = 500.0) -> Job:
    """A plane that falls 2 % to the east: B1 at 20 ft, B2 at 60 ft on its fall line, a free outlet at 100 ft; areas as typed."""
    ground = [shot(x, y, 100 - 0.02 * x) for x in (0, 60, 120) for y in (-20, 0, 20)]
    return drawn(
        *ground,
        basin(20, 0, size_in=12, area_ft2=area_ft2, runoff_c=0.9, tc_min=5.0),
        basin(60, 0, size_in=12, area_ft2=lower_ft2, runoff_c=0.9, tc_min=5.0),
        outfall(100, 0, "tie-in", invert_ft=96.8),
        run("B1", "B2"),
        run("B2", "O1"),
        job=Job(rain=WET),
    )


def looked_at(job: Job) -> Study:
    return study(analyse(job))


def heads_with(closer: Study, out: dict[str, float]) -> dict[str, float]:
    """Return the freeboard of each box when so much comes out: that of B1 is missing in R1 and comes in again at B2."""
    water, review = closer.water, closer.review
    less = {"R1": out.get("B1", 0.0), "R2": out.get("B2", 0.0)}
    flows = {n: replace(f, flow_cfs=f.flow_cfs - less[n]) for n, f in water.pipes.items()}
    heads = grade_lines(review.job, review.network, review.grades, review.levels, flows)[1]
    return {name: h.freeboard_ft for name, h in heads.items()}


def test_nothing_comes_out_while_the_line_stays_below_the_rims() -> None:
    closer = looked_at(line(1_000.0))
    assert all(h.freeboard_ft > 0 for h in closer.water.heads.values())
    assert closer.water.escapes == {}


@pytest.mark.parametrize(("area", "lower"), [(6_000.0, 500.0), (500.0, 6_000.0), (20_000.0, 20_000.0)])
def test_as_much_comes_out_as_has_to(area: float, lower: float) -> None:
    """With what comes out taken away no line stands over a rim; with a hundredth less, that of its own box does."""
    closer = looked_at(line(area, lower))
    out = {name: e.runs_on_cfs for name, e in closer.water.escapes.items()}
    assert out
    assert all(freeboard > -0.011 for freeboard in heads_with(closer, out).values())
    for name, flow in out.items():
        assert 0 < flow <= closer.water.pipes["R1" if name == "B1" else "R2"].flow_cfs
        assert heads_with(closer, out | {name: 0.99 * flow})[name] < 0.001


def test_it_runs_on_to_the_next_inlet_down_the_fall_and_off_the_ground() -> None:
    """B2 stands on the fall line of B1; below B2 nothing does, and the ground that was shot ends at 120 ft."""
    closer = looked_at(line(20_000.0, 20_000.0))
    ways = {name: (e.ends, e.at) for name, e in closer.water.escapes.items()}
    assert ways["B1"] == ("inlet", "B2")
    assert ways["B2"] == ("edge", "")
    told = {f.place.ids: f.kind for f in closer.findings if f.kind.startswith(("comes_out", "backs_up"))}
    assert told == {("B1",): "comes_out_onward", ("B2",): "comes_out_off"}


def test_what_runs_on_comes_to_the_grate_below() -> None:
    water = looked_at(line(20_000.0, 500.0)).water
    out = water.escapes["B1"].flow_cfs
    assert water.grates["B2"].run_on_cfs == out > 0
    area_in2, edge_in = grate_of(shipped_stock()[1])  # 12 in
    both = water.arrivals["B2"].flow_cfs + out
    assert water.grates["B2"].depth_ft == ponded(both, area_in2 / 144, edge_in / 12, 0.5).depth_ft
    assert water.grates["B1"].run_on_cfs == 0.0


def test_no_water_is_told_to_come_out_twice() -> None:
    """All that arrives at both is more than ever comes out of both together: what B1 spills and B2 does not take is B1's."""
    water = looked_at(line(20_000.0, 20_000.0)).water
    one, other = water.escapes["B1"], water.escapes["B2"]
    assert one.runs_on_cfs == one.flow_cfs
    assert other.runs_on_cfs == pytest.approx(other.flow_cfs + one.flow_cfs)
    assert one.flow_cfs + other.flow_cfs < sum(a.flow_cfs for a in water.arrivals.values())


def test_its_way_goes_straight_down_the_plane() -> None:
    """The plane falls due east, so that water runs along y = 0: from B1 to B2, and from B2 to where the shots end."""
    escapes = looked_at(line(20_000.0, 20_000.0)).water.escapes
    for name, start, end in (("B1", 20.0, 60.0), ("B2", 60.0, 120.0)):
        path = escapes[name].path
        assert path[0] == (start, 0.0)
        assert path[-1] == pytest.approx((end, 0.0), abs=1.0)
        assert all(abs(y) < 0.5 for _, y in path)
        assert [x for x, _ in path] == sorted(x for x, _ in path)
        assert len(path) < 10  # a straight way needs few points


def test_where_nothing_is_known_of_the_ground_there_is_no_way() -> None:
    closer = looked_at(line(20_000.0, 20_000.0))
    job, review = closer.review.job, closer.review
    water = water_of(job, review.network, review.grades, review.levels, None)
    assert {(e.ends, e.path) for e in water.escapes.values()} == {("unknown", ())}


def test_water_that_stands_outside_comes_out_of_a_lower_grate() -> None:
    """A tailwater over the rim lets nothing into the pipe: all that arrives stays out."""
    job = line(1_000.0)
    high = tuple(replace(s, tailwater_ft=99.0) if s.kind == "outfall" else s for s in job.structures)
    closer = looked_at(replace(job, structures=high))
    assert closer.water.escapes["B2"].flow_cfs == pytest.approx(closer.water.pipes["R2"].flow_cfs, rel=1e-3)


def test_what_holds_once_water_comes_out_lower_down_is_no_alarm() -> None:
    """The sample's downspout D1 would back up, were it not that B1 and B2 spill at their rims below it."""
    closer = looked_at(sample("long-flat-yard"))
    assert closer.water.heads["D1"].freeboard_ft < 0
    assert set(closer.water.over) == {"B1", "B2"}
    assert not any("D1" in f.place.ids for f in closer.findings if f.kind.startswith(("comes_out", "backs_up")))


def test_a_box_stands_as_high_as_what_spills_lower_down_lets_it() -> None:
    """D1 as when what comes out of B1 and B2 is no longer in the pipe; B1 and B2 as if nothing came out; B3 as it is."""
    water = looked_at(sample("long-flat-yard")).water
    stands = {name: water.stands(name) for name in ("D1", "B1", "B2", "B3", "nowhere")}
    assert stands["D1"] is not None and stands["D1"].freeboard_ft > -0.011
    assert [stands[name] for name in ("B1", "B2", "B3")] == [water.heads[name] for name in ("B1", "B2", "B3")]
    assert stands["nowhere"] is None
    assert water.relieved["B1"].freeboard_ft == pytest.approx(0.0, abs=0.011)
    assert looked_at(line(1_000.0)).water.relieved == {}
