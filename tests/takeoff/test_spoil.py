"""Spoil that is spread on the yard, hauled off or heaped up, worked on paper."""

import pytest
from msgspec.structs import replace

from drainsketch.job.edits.change import change_part
from drainsketch.job.model import Heap, Job, Obstacle, Run
from drainsketch.job.pricing import TermChanges
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.heaps import room_findings, trenches_middle
from drainsketch.takeoff.spoil import spoil_yd3
from drainsketch.takeoff.stacks import stacks
from drainsketch.wording import Words
from tests.takeoff.price.books import bare, book_of
from tests.takeoff.small_jobs import all_lines, fitting, flat, job_of, laid_out, lines_of, outfall, paved

BELOW = 2.3 / 12  # wall and bed under the invert
GROUND, FALLS = flat(100), {"R": (98.5 + BELOW, 97.5 + BELOW)}  # 200 ft3 = 7.407 yd3 dug, all of it spoil: a drain


def box(x: float, y: float, wide: float, high: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def fill(name: str, points, deep_in: float | None = 6.0) -> Heap:
    return Heap(id=name, kind="fill area", points=points, fill_in=deep_in)


def drain(*heaps: Heap) -> Job:
    run = Run(id="R", start="F", end="O", use="drain", pipe="corrugated")
    return replace(job_of([fitting("F", 0, 0), outfall("O", 100, 0)], [run]), heaps=heaps)


def findings(job: Job) -> dict[str, dict]:
    works = laid_out(job, GROUND, FALLS)
    dug = earth(works, stacks(works))
    return {f.kind: dict(f.params) for f in room_findings(job, dug, spoil_yd3(dug))}


def test_without_a_fill_area_all_is_hauled_off():
    # 7.407 yd3 in the bank, 9.259 loose: 9.259 / 5 = 1.85 loads of room, 7.407 x 1.4 / 6 = 1.73 of weight
    lines = lines_of(drain(), GROUND, FALLS)
    assert lines["spoil_bank"].quantity == pytest.approx(200 / 27)
    assert lines["spoil_loads"].quantity == 2
    assert "room governs" in lines["spoil_loads"].arithmetic
    assert not {"spoil_left", "spoil_spread", "spoil_room"} & set(lines)


def test_a_fill_area_takes_its_area_times_its_depth():
    # 12 x 10 ft x 6 in = 60 ft3 = 2.222 yd3; left to haul off 140 ft3 = 5.185 yd3, loose 6.481
    lines = lines_of(drain(fill("fill-1", box(44, 25, 12, 10))), GROUND, FALLS)
    assert lines["spoil_left"].quantity == pytest.approx(200 / 27)
    assert lines["spoil_spread"].quantity == pytest.approx(60 / 27)
    assert lines["spoil_bank"].quantity == pytest.approx(140 / 27)
    assert lines["spoil_loose"].quantity == pytest.approx(140 / 27 * 1.25)
    # middle of the trench at (50, 0), of the area at (50, 30)
    assert dict(lines["spoil_spread"].params)["away_ft"] == pytest.approx(30.0)
    said = Words.of(drain(fill("fill-1", box(44, 25, 12, 10))))
    assert (
        said.item(lines["spoil_spread"]) == "Spoil spread on fill-1, in place; 30' 0\" from the middle of the trenches"
    )
    assert "120.0 ft2 x 0.500 ft = 60.0 ft3" in lines["spoil_spread"].arithmetic


def test_ground_under_a_building_takes_nothing():
    # half of the 12 x 10 ft area is under a shed: 30 ft3; a heap of 12 x 24 ft with a shed on one half is a pyramid on the other
    shed = Obstacle(id="shed", kind="building", points=box(50, 20, 30, 30))
    job = replace(drain(fill("fill-1", box(44, 25, 12, 10))), obstacles=(shed,))
    assert lines_of(job, GROUND, FALLS)["spoil_spread"].quantity == pytest.approx(30 / 27)
    heaped = replace(drain(Heap(id="h", kind="spoil heap", points=box(38, 25, 24, 12))), obstacles=(shed,))
    assert lines_of(heaped, GROUND, FALLS)["spoil_room"].quantity == pytest.approx(192 / 27, rel=1e-4)


def test_paving_takes_no_fill_and_an_area_that_gets_none_is_told():
    # of 12 x 10 ft a drive covers 6 ft of the width: 30 ft3; an area under another one gets nothing
    drive = Obstacle(id="drive", kind="hardscape", points=box(50, 20, 30, 30))
    job = replace(drain(fill("fill-1", box(44, 25, 12, 10))), obstacles=(drive,))
    assert lines_of(job, GROUND, FALLS)["spoil_spread"].quantity == pytest.approx(30 / 27)
    twice = drain(fill("f1", box(44, 25, 12, 10), 1.0), fill("f2", box(45, 26, 5, 5)))
    assert findings(twice)["fill_no_room"]["heap"] == "f2"


def test_ground_under_two_heaps_holds_one():
    # a pyramid of 192 ft3 = 7.11 yd3, where 9.26 yd3 are dug: two heaps on one spot hold no more
    heaps = [Heap(id=f"h{i}", kind="spoil heap", points=box(0, 20, 12, 12)) for i in (1, 2)]
    lines = [line for line in all_lines(drain(*heaps), GROUND, FALLS) if line.item == "spoil_room"]
    assert [line.quantity for line in lines] == [pytest.approx(192 / 27, rel=1e-4)]
    assert findings(drain(*heaps))["heaps_too_small"]["room"] == pytest.approx(192 / 27, rel=1e-4)


def test_areas_take_what_there_is_one_after_the_other_and_no_more():
    # 150 ft3 and then 50 of 150 ft3; the third gets none, and nothing is hauled off
    heaps = [fill(f"f{i}", box(20 * i, 20, 15, 10), 12.0) for i in range(3)]
    lines = all_lines(drain(*heaps), GROUND, FALLS)
    spread = [line.quantity for line in lines if line.item == "spoil_spread"]
    assert spread == [pytest.approx(150 / 27), pytest.approx(50 / 27)]
    assert not {"spoil_bank", "spoil_loose", "spoil_loads"} & {line.item for line in lines}
    assert findings(drain(*heaps))["fill_wants_more"]["room"] == pytest.approx(450 / 27)


def test_ground_that_two_areas_cover_is_filled_once():
    heaps = [fill("f1", box(0, 20, 10, 10)), fill("f2", box(5, 20, 10, 10))]
    spread = [line.quantity * 27 for line in all_lines(drain(*heaps), GROUND, FALLS) if line.item == "spoil_spread"]
    assert spread == [pytest.approx(50), pytest.approx(25)]


def test_an_area_without_a_depth_takes_nothing():
    assert "spoil_left" not in lines_of(drain(fill("f1", box(0, 20, 10, 10), None)), GROUND, FALLS)


def test_the_truck_of_this_job_goes_before_the_example():
    job = change_part(drain(), "pricing", terms=TermChanges(truck_yd3=20.0, truck_tons=3.0, spoil_tons_per_yd3=1.5))
    line = lines_of(job, GROUND, FALLS)["spoil_loads"]
    # 7.407 x 1.5 = 11.11 tons / 3 = 3.7: four loads by weight, one by room
    assert line.quantity == 4
    assert "weight governs" in line.arithmetic


def test_a_heap_says_what_lies_on_it_and_is_too_small_for_all_that_is_dug():
    # 12 x 12 ft: a pyramid of 192 ft3 = 7.11 yd3 loose; all dug at once 200 ft3 x 1.25 = 250 ft3 = 9.26 yd3
    job = drain(Heap(id="h", kind="spoil heap", points=box(0, 20, 12, 12)))
    assert lines_of(job, GROUND, FALLS)["spoil_room"].quantity == pytest.approx(192 / 27, rel=1e-4)
    told = findings(job)["heaps_too_small"]
    assert (told["loose"], told["room"]) == (pytest.approx(250 / 27), pytest.approx(192 / 27, rel=1e-4))
    assert findings(drain(Heap(id="h", kind="spoil heap", points=box(0, 20, 14, 14)))) == {}


def test_the_middle_of_the_trenches_goes_by_what_is_dug():
    # one run 1 ft deep from (0, 0) to (20, 0), one 3 ft deep from (20, 0) to (20, 20): (10 x 20 + 20 x 60) / 80, (10 x 60) / 80
    run = {"use": "drain", "pipe": "corrugated"}
    job = job_of(
        [fitting("A", 0, 0), fitting("B", 20, 0), outfall("O", 20, 20)],
        [Run(id="R1", start="A", end="B", **run), Run(id="R2", start="B", end="O", **run)],
    )
    works = laid_out(job, GROUND, {"R1": (99 + BELOW, 99 + BELOW), "R2": (97 + BELOW, 97 + BELOW)})
    assert trenches_middle(earth(works, stacks(works))) == (pytest.approx(17.5), pytest.approx(7.5))


def test_spreading_is_paid_by_its_rate_and_backfill_is_what_is_left():
    from drainsketch.takeoff.price.pricing import price

    rows = (
        *("worker_hour,,,,hour,40,,no,labor,mine,", "spread_spoil,,,,yd3,,2,,,mine,", "backfill,,,,yd3,,2,,,mine,"),
        *("haul_load,,,,load,90,,no,,mine,", "tip_ton,,,,ton,10,,no,,mine,"),
    )
    made = {}
    for name, job in {"none": drain(), "some": drain(fill("f1", box(44, 25, 12, 10)))}.items():
        works = laid_out(job, GROUND, FALLS)
        stood = stacks(works)
        lines = price(works, stood, all_lines(job, GROUND, FALLS), book_of(*rows), bare()).lines
        made[name] = {line.item: line for line in lines}
    # 60 ft3 = 2.22 yd3 at 2 an hour; a drain leaves nothing to put back, with or without a fill area
    assert float(made["some"]["spread_spoil"].quantity) == pytest.approx(60 / 27 / 2, abs=0.005)
    assert "backfill" not in made["none"] and "backfill" not in made["some"]
    # 7.41 and 5.19 yd3 in the bank at 1.4 tons; only what is hauled off is paid
    assert float(made["none"]["tip_ton"].quantity) == pytest.approx(200 / 27 * 1.4, abs=0.01)
    assert float(made["some"]["tip_ton"].quantity) == pytest.approx(140 / 27 * 1.4, abs=0.01)


def test_what_is_spread_changes_nothing_of_what_is_put_back():
    from drainsketch.takeoff.price.pricing import price

    # a solid run: 50 ft x 1 ft x 2.01 ft dug (4.215 in outside, 0.12 in wall), the pipe alone does not go back, and all of it is spread
    run = Run(id="R", start="F", end="O", pipe="sdr35")
    plain = job_of([fitting("F", 0, 0), outfall("O", 50, 0)], [run])
    hours = []
    for job in (plain, replace(plain, heaps=(fill("f1", box(10, 20, 20, 20)),))):
        works = laid_out(job, GROUND, {"R": (98.0, 98.0)})
        counted = all_lines(job, GROUND, {"R": (98.0, 98.0)})
        rows = ("worker_hour,,,,hour,40,,no,labor,mine,", "backfill,,,,yd3,,1,,,mine,")
        lines = price(works, stacks(works), counted, book_of(*rows), bare()).lines
        hours.append(next(float(line.quantity) for line in lines if line.item == "backfill"))
    pipe_ft3 = 50 * 3.14159265 / 4 * (4.215 / 12) ** 2
    assert hours == [pytest.approx((50 * 2.01 - pipe_ft3) / 27, abs=0.005)] * 2


def test_the_work_plan_hauls_what_is_not_spread_and_has_the_hours_of_spreading():
    from drainsketch.job.prices import Prices
    from drainsketch.planning import work_plan_of
    from drainsketch.review import analyse
    from tests.takeoff.price.books import example_book, terms_of
    from tests.test_review import sample

    plain = sample("corner-lot")
    plans = {}
    for name, heaps in {"none": (), "all": (fill("f1", box(2, 45, 25, 40), 12.0),)}.items():
        review = analyse(replace(plain, heaps=heaps))
        plans[name] = work_plan_of(review, Prices(example_book(), terms_of()))
    assert sum(d.loads for d in plans["none"].days) > 0
    assert sum(d.loads for d in plans["all"].days) == 0
    assert sum(d.spoil_yd3 for d in plans["all"].days) == pytest.approx(sum(d.spoil_yd3 for d in plans["none"].days))
    # 5.10 yd3, stone and base under the driveway in it, at 2.5 an hour of one worker, a crew of two; a foot deep it covers
    # 137.7 ft2 of lawn, seeded at 450 an hour
    assert float(plans["all"].hours - plans["none"].hours) == pytest.approx((5.10 / 2.5 + 137.7 / 450) / 2, abs=0.02)


def seeded(*heaps: Heap, **sections: object) -> float:
    job = replace(drain(*heaps), sections=replace(drain().sections, **sections))
    return next(line.quantity for line in all_lines(job, GROUND, FALLS) if line.item in ("lawn_seed", "sod"))


def test_lawn_under_a_fill_area_is_put_back_too():
    """Trench 100 ft, 4 ft wide with what is sown beside it: 400 ft2. 200 ft3 of spoil."""
    assert seeded() == pytest.approx(400)
    # 12 x 10 ft, 6 in deep: 60 ft3, all of it covered
    assert seeded(fill("f", box(44, 25, 12, 10))) == pytest.approx(400 + 120)
    assert seeded(fill("f", box(44, 25, 12, 10)), lawn="sod") == pytest.approx(400 + 120)
    # 20 x 20 ft across the trench: its 4 ft of strip are there already; 200 ft3 are just 6 in deep on it
    assert seeded(fill("f", box(40, -10, 20, 20))) == pytest.approx(400 + 20 * 16)
    # 60 x 30 ft, 2 in deep would take 300 ft3: 200 ft3 cover 1,200 ft2 of it
    assert seeded(fill("f", box(20, 25, 60, 30), 2.0)) == pytest.approx(400 + 1200)
    # two that share 10 x 10 ft
    assert seeded(fill("f", box(40, 25, 10, 10), 1.0), fill("g", box(40, 25, 20, 10), 1.0)) == pytest.approx(400 + 200)


def test_no_lawn_is_put_back_under_a_fill_area_on_a_drive():
    drive = paved("drive", 40, 50, "gravel", south=20, north=60)
    job = replace(drain(fill("f", box(44, 25, 12, 10))), obstacles=(drive,))
    assert lines_of(job, GROUND, FALLS)["lawn_seed"].quantity == pytest.approx(400 + 6 * 10)
