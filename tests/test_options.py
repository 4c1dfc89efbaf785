"""Options side by side: each figure is the one that its own job has elsewhere, and what did not change is kept."""

from decimal import Decimal

import pytest

from drainsketch.files.prices import prices_in_use
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change, change_rain, change_stock
from drainsketch.job.edits.options import add_option, switch_option
from drainsketch.job.edits.remove import remove
from drainsketch.job.model import Job, Run, Shot, Structure
from drainsketch.job.options import option_jobs
from drainsketch.options import Variant, compared, difference
from drainsketch.pricing import price_of
from drainsketch.review import analyse
from drainsketch.study import play, study
from drainsketch.water.storm.facts import standing_of
from tests.test_review import sample

LAWN = sample("low-lawn")


@pytest.fixture(scope="module")
def lawn() -> tuple[Variant, ...]:
    return compared(LAWN, prices_in_use(), played=True)


def plane_yard() -> Job:
    """Ground falls 2 % to the east: z = 100 - 0.02 x. One basin and an outlet, 50 ft of solid pipe between them."""
    corners = ((-50.0, -50.0), (150.0, -50.0), (150.0, 50.0), (-50.0, 50.0))
    return Job(
        shots=tuple(Shot(id=f"S{i}", point=p, elevation_ft=100 - 0.02 * p[0]) for i, p in enumerate(corners, 1)),
        structures=(
            Structure(id="B1", kind="basin", point=(0.0, 0.0), size_in=12),
            Structure(id="O1", kind="outfall", point=(50.0, 0.0), outfall="tie-in", invert_ft=97.0),
        ),
        runs=(Run(id="R1", start="B1", end="O1"),),
    )


def test_figures_are_those_of_a_job_that_has_nothing_but_the_option(lawn: tuple[Variant, ...]) -> None:
    """A program that knows nothing of options reviews, studies, plays and prices each job by itself: the same figures."""
    for one, (name, job) in zip(lawn, option_jobs(LAWN), strict=True):
        closer = study(analyse(job))
        price, storm = price_of(closer.whole, prices_in_use()), play(closer)
        assert storm is not None
        stands = standing_of(storm.after)
        counted = {line.item: line.quantity for line in closer.review.takeoff}
        f = one.figures
        assert (one.name, one.is_drawn) == (name, name == "Three basins")
        assert (f.total_usd, f.crew_hours, f.crew_days) == (price.total, price.crew_hours, price.crew_days)
        assert f.drain_ft == pytest.approx(counted["pipe_drain"], rel=1e-9)
        assert f.solid_ft == pytest.approx(
            sum(line.quantity for line in closer.review.takeoff if line.item == "pipe_solid"), rel=1e-9
        )
        assert f.basins == sum(s.kind == "basin" for s in job.structures)
        assert f.spoil_yd3 == pytest.approx(counted["spoil_loose"], rel=1e-9)
        assert f.flattest == pytest.approx(min(g.least_slope for g in closer.review.grades.values()))
        assert f.deepest_ft == pytest.approx(max(g.greatest_cut_ft for g in closer.review.grades.values()))
        levels = [x.level for x in closer.whole.findings]
        assert [f.stops, f.settles, f.notes] == [levels.count(level) for level in ("stop", "settle", "note")]
        assert (f.stands_ft2, f.stands_min, f.left_gal) == pytest.approx(
            (stands.area_ft2, stands.stood_min, stands.left_gallons)
        )
        assert f.undrained == 0
        assert f.comes_out_cfs == 0.0


def test_the_yard_with_fewer_basins_is_cheaper_and_the_drain_takes_more_stone(lawn: tuple[Variant, ...]) -> None:
    three, two, stone = (one.figures for one in lawn)
    assert (three.basins, two.basins, stone.basins) == (3, 2, 2)
    assert three.total_usd is not None and two.total_usd is not None and stone.total_usd is not None
    assert two.total_usd < three.total_usd < stone.total_usd
    assert stone.stone_tons > 4 * two.stone_tons
    less = difference(two, three)
    assert less.basins == -1
    assert less.total_usd == two.total_usd - three.total_usd
    assert difference(three, three).total_usd == Decimal(0)


def test_worked_by_hand_on_a_plane() -> None:
    """50 ft of pipe at ground slope: laid length 50 x sqrt(1 + s2), at 2 % 50.01 ft. The second option has 100 ft and two basins."""
    job = add_option(plane_yard(), "Farther up")
    job = add(job, Structure(id="", kind="basin", point=(-50.0, 0.0), size_in=12))
    job = add(job, Run(id="", start="B2", end="B1"))
    first, second = compared(job)
    assert first.figures.solid_ft == pytest.approx(50.01, abs=0.05)
    assert second.figures.solid_ft == pytest.approx(100.02, abs=0.1)
    assert (first.figures.basins, second.figures.basins) == (1, 2)
    assert (first.is_drawn, second.is_drawn) == (False, True)
    unknown = ("comes_out_cfs", "freeboard_ft", "fullest", "stands_ft2", "left_gal", "total_usd", "spoil_loads")
    assert all(getattr(first.figures, name) is None for name in unknown)  # no rain, not played, no prices


def test_an_inlet_that_does_not_drain_is_named_in_its_own_option_alone() -> None:
    job = add_option(plane_yard(), "Cut off")
    job = add(job, Structure(id="", kind="basin", point=(-20.0, 10.0)))
    first, second = compared(job)
    assert (first.undrained, second.undrained) == ((), ("B2",))
    assert second.figures.undrained == 1
    up_hill = change(add_option(plane_yard(), "Up hill"), "O1", invert_ft=101.0)
    first, second = compared(up_hill)
    assert (first.figures.stops == 0, second.figures.stops > 0) == (True, True)
    assert second.undrained == ("B1",)
    assert second.figures.deepest_ft is None  # no workable grade, so no depth to dig to


def test_a_total_that_is_not_whole_is_no_total() -> None:
    prices = prices_in_use()
    rows = tuple(row for row in prices.book.rows if row.item != "basin_body")
    lacking = type(prices)(type(prices.book)(rows), prices.terms)
    found = compared(LAWN, lacking)
    assert all(one.price is not None and not one.price.complete for one in found)
    assert all(one.figures.total_usd is None and one.figures.crew_days is None for one in found)


def test_what_did_not_change_is_not_studied_again(lawn: tuple[Variant, ...]) -> None:
    job = remove(LAWN, ["C1"])  # of the drawn option
    after = compared(job, prices_in_use(), played=True, before=lawn)
    assert after[0].study is not lawn[0].study
    for old, new in zip(lawn[1:], after[1:], strict=True):
        assert new.study is old.study
        assert new.storm is old.storm
    fresh = compared(job, prices_in_use(), played=True)
    assert [one.figures for one in after] == [one.figures for one in fresh]
    assert after[0].study.review.surface is lawn[0].study.review.surface
    switched = compared(switch_option(job, 1), prices_in_use(), played=True, before=after)
    assert [one.figures for one in switched] == [one.figures for one in after]
    assert [one.is_drawn for one in switched] == [False, True, False]


def test_switching_keeps_the_ground_of_the_review() -> None:
    first = analyse(LAWN)
    second = analyse(switch_option(LAWN, 1), first)
    assert second.surface is first.surface
    assert second.shots is first.shots
    assert second.network is not first.network


def test_rain_and_stock_are_the_same_for_all_options() -> None:
    job = change_rain(LAWN, table=None, return_period_yr=None)
    assert all(one.figures.comes_out_cfs is None for one in compared(job))
    assert all(one.job.stock is job.stock for one in compared(change_stock(job, ())))
