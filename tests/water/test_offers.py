"""Sizes offered for pipe and grates that a storm is too much for: which runs go along, and that taking them helps."""

import pytest
from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.edits.change import change, change_rain, change_water
from drainsketch.job.edits.remove import remove
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.study import Study, study
from drainsketch.water.offers import grate_offers, pipe_offers, taken
from tests.test_review import sample


def seen_in(job: Job, intensity_in_h: float) -> Study:
    return study(analyse(change_rain(job, intensity_in_h=intensity_in_h)))


def test_pipe_below_goes_along_where_it_is_smaller() -> None:
    job = sample("long-flat-yard")
    seen = seen_in(job, 6.0)
    needs = {r: f.needs_in for r, f in seen.water.pipes.items() if not f.carries}
    (offer, *_) = pipe_offers(job, seen.review.network, seen.water)
    assert set(offer.asked) <= set(needs)
    order = ["R1", "R2", "R3", "R4"]
    assert offer.ids == tuple(order[order.index(offer.asked[0]) :])  # one line to the outfall, all of 4 in
    wide = change(job, "R4", diameter_in=8)
    seen = seen_in(wide, 6.0)
    (offer, *_) = pipe_offers(wide, seen.review.network, seen.water)
    assert "R4" not in offer.ids


@pytest.mark.parametrize("name", ["long-flat-yard", "row-of-yards", "steep-lot", "corner-lot"])
@pytest.mark.parametrize("intensity_in_h", [2.0, 6.0, 12.0])
def test_pipe_offered_carries_its_flow_and_never_narrows_on_the_way(name: str, intensity_in_h: float) -> None:
    job = change_rain(sample(name), intensity_in_h=intensity_in_h)
    seen = study(analyse(job))
    asked: set[str] = set()
    for offer in pipe_offers(job, seen.review.network, seen.water):
        job = taken(job, offer)
        asked |= set(offer.asked)
    laid = {r.id: r.diameter_in for r in job.runs}
    short = {r for r, f in seen.water.pipes.items() if not f.carries and f.full_cfs is not None and f.needs_in}
    assert asked == short
    assert all(laid[r] == seen.water.pipes[r].needs_in for r in asked)
    way = {f.upstream: f.id for f in seen.review.network.runs}
    for flow in seen.review.network.runs:
        below = way.get(flow.downstream)
        assert flow.id not in asked or below is None or laid[below] >= laid[flow.id]


def test_grates_are_offered_by_size_and_none_where_none_is_larger() -> None:
    job = change_water(change(sample("long-flat-yard"), "B2", size_in=9), grate_ponding_in=0.7)
    seen = seen_in(job, 4.31)
    sizes = {o.size_in: o.ids for o in grate_offers(seen.water)}
    assert sizes == {12: ("B2",)}
    drowned = seen_in(change_water(job, grate_ponding_in=0.05), 20.0)
    assert all(g.needs_size_in is None for g in drowned.water.grates.values())
    assert grate_offers(drowned.water) == ()


def test_an_offer_for_what_is_gone_is_refused_and_nothing_is_offered_where_all_is_well() -> None:
    job = sample("long-flat-yard")
    seen = seen_in(job, 6.0)
    (offer, *_) = pipe_offers(job, seen.review.network, seen.water)
    with pytest.raises(EditError):
        taken(remove(job, (offer.ids[0],)), offer)
    small = seen_in(job, 0.2)
    assert pipe_offers(job, small.review.network, small.water) == ()
    assert pipe_offers(job, small.review.network, replace(small.water, pipes={})) == ()


def test_an_offer_names_the_runs_that_its_size_is_not_enough_for() -> None:
    job = sample("long-flat-yard")
    seen = seen_in(job, 60.0)
    needs = {r: f.needs_in for r, f in seen.water.pipes.items()}
    assert needs["R3"] == 0  # no stocked size does
    for offer in pipe_offers(job, seen.review.network, seen.water):
        assert "R3" not in offer.asked
        assert set(offer.short) == {r for r in offer.ids if needs[r] == 0 or (needs[r] or 0) > offer.size_in}
    assert all(o.short == () for o in pipe_offers(job, seen.review.network, seen_in(job, 4.31).water))
