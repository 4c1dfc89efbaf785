"""The water review over any job there can be: it holds numbers only, and what is kept from before is what a new look finds."""

from collections.abc import Iterator
from math import isfinite

import msgspec
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch import study as stages
from drainsketch.errors import EditError
from drainsketch.exports.report import check_report
from drainsketch.job.model import Job, Run, Structure
from drainsketch.job.rain import Rain
from drainsketch.review import Review, analyse
from drainsketch.study import Study
from drainsketch.takeoff.earth import earth
from drainsketch.water.checks import storm_findings
from drainsketch.water.results import Water
from drainsketch.wording import Words
from tests.strategies import edited, jobs
from tests.water.rains import in_table
from tests.water.wet_yards import ROOT


def numbers(value: object) -> Iterator[float]:
    """Yield every number within."""
    if isinstance(value, float | np.floating):
        yield float(value)
    elif isinstance(value, msgspec.Struct):
        for name in value.__struct_fields__:
            yield from numbers(getattr(value, name))
    elif isinstance(value, dict):
        for inner in value.values():
            yield from numbers(inner)
    elif isinstance(value, tuple | list):
        for inner in value:
            yield from numbers(inner)


def wet(job: Job) -> Job:
    """Return a job with rain, in which water gets somewhere: an outfall, and an area for every basin."""
    job = job if job.rain.return_period_yr or job.rain.intensity_in_h else replace(job, rain=in_table(ROOT))
    basins = tuple(replace(s, area_ft2=s.area_ft2 or 1_500.0) if s.kind == "basin" else s for s in job.structures)
    job = replace(job, structures=basins)
    inlets = [s.id for s in basins if s.kind != "outfall"]
    if not inlets:
        return job
    out = Structure(id="O99", kind="outfall", point=(150.0, 100.0), outfall="daylight")
    return replace(
        job,
        structures=(*basins, out),
        runs=(*job.runs, *(Run(id=f"R9{i}", start=at, end="O99") for i, at in enumerate(inlets[:3]))),
    )


def storm_of(review: Review, before: Study | None = None) -> Study:
    """Return the closer look at a review with its ground and its water alone."""
    ground = stages._ground(review, before)
    return Study(
        review, ground, {}, {}, {}, {}, stages._water(review, ground, before, earth(review.works, review.stacks)), ()
    )


def water_of(job: Job) -> Water:
    return storm_of(analyse(job)).water


rainy = jobs().map(wet)


@given(rainy)
@settings(max_examples=50)
def test_any_job_with_rain_gives_numbers(job):
    review = analyse(job)
    closer = storm_of(review)
    water = closer.water
    assert all(isfinite(x) for x in numbers(water))
    served, runs = set(review.network.inlets), {f.id for f in review.network.runs}
    assert set(water.arrivals) | set(water.unmeasured) <= served
    assert not set(water.arrivals) & set(water.unmeasured)
    assert set(water.lines) | set(water.pipes) <= runs
    assert all(g.depth_ft >= 0 and g.needs_count >= 0 for g in water.grates.values())
    assert all(0 <= a.storm_c <= 1 and a.area_ft2 > 0 and a.minutes > 0 for a in water.arrivals.values())
    words = Words()  # without the names of the job, which may hold anything
    for found in storm_findings(job, water):
        assert "{" not in words.sentence(found) + words.remedy(found)
    report = check_report(closer.whole, closer=closer)
    assert msgspec.json.decode(msgspec.json.encode(report))["water"] is not None


@given(jobs())
@settings(max_examples=40)
def test_a_dry_yard_says_so_and_holds_nothing_else(job):
    water = water_of(replace(job, rain=Rain()))
    assert water == Water("rain", {}, {}, {}, {}, {})
    told = [f.kind for f in storm_findings(job, water)]
    assert told == (["no_rain"] if job.runs else [])


@given(rainy, st.data())
@settings(max_examples=50)
def test_a_review_that_keeps_arrivals_is_that_of_one_that_does_not(job, data):
    before = storm_of(analyse(job))
    try:
        changed = data.draw(edited(job))
    except EditError:
        return
    review = analyse(changed, before.review)
    kept, anew = storm_of(review, before).water, water_of(changed)
    assert set(kept.arrivals) == set(anew.arrivals)
    assert msgspec.to_builtins(kept) == msgspec.to_builtins(anew)


@given(rainy)
@settings(max_examples=40)
def test_all_water_that_arrives_leaves_once(job):
    review = analyse(job)
    water = storm_of(review).water
    outfalls = set(review.network.outfalls)
    out = sum(water.pipes[f.id].ca_ft2 for f in review.network.runs if f.downstream in outfalls and f.id in water.pipes)
    comes = sum(a.storm_c * a.area_ft2 for a in water.arrivals.values())
    assert abs(out - comes) <= 1e-9 * max(comes, 1.0)
