"""Hours of digging and other labor, worked on paper."""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Run, Structure
from drainsketch.takeoff.price.pricing import price
from drainsketch.takeoff.quantities import takeoff
from drainsketch.takeoff.stacks import stacks
from tests.takeoff.price.books import bare, book_of, changed, example_book, terms_of, without
from tests.takeoff.small_jobs import basin, fitting, flat, job_of, laid_out, outfall

BELOW = 0.12 / 12
RATES = (
    "worker_hour,,,,hour,40.00,,no,,mine,",
    "dig_hand,loam,,2,yd3,,0.5,,,mine,",
    "dig_hand,loam,,4,yd3,,0.25,,,mine,",
    "dig_hand,,,,yd3,,0.1,,,mine,any soil and depth",
    "dig_trencher,loam,,2,ft,,50,,,mine,",
    "dig_trencher,loam,,4,ft,,20,,,mine,",
    "dig_mini_excavator,loam,,2,yd3,,5,,,mine,",
    "dig_mini_excavator,loam,,4,yd3,,4,,,mine,",
    "dig_mini_excavator,clay,,4,yd3,,2,,,mine,",
)


def job(up_ft, down_ft, *, head=fitting):
    made = job_of(
        [head("F", 0, 0), outfall("O", 100, 0)],
        [Run(id="R", start="F", end="O", use="solid", pipe="sdr35")],
        trench_width_in=12,
    )
    return laid_out(made, flat(100.0), {"R": (100 - up_ft + BELOW, 100 - down_ft + BELOW)})


def lines(works, terms, *, rows=RATES):
    stood = stacks(works)
    made = price(works, stood, takeoff(works, stood), book_of(*rows), terms)
    return {line.item: line for line in made.lines}


def by_hand(works, from_ft, to_ft):
    """Return the works with a stretch of the run beside a service."""
    (run,) = works.runs
    dug = replace(run, by_hand=((from_ft, to_ft),))
    ends = {k: tuple(replace(end, work=dug) for end in some) for k, some in works.ends.items()}
    return replace(works, runs=(dug,), ends=ends)


def test_by_hand_at_one_depth():
    # 100 ft x 1 ft x 1.35 ft = 135 ft3 = 5 yd3, at 0.5 yd3 an hour: 10 hours of a worker at 40 dollars
    line = lines(job(1.35, 1.35), bare(tool="hand"))["dig_run"]
    assert (line.quantity, line.unit, line.unit_price, line.amount) == (Decimal(10), "hour", Decimal(40), Decimal(400))
    assert line.arithmetic.endswith("10 h x $40.00 = $400.00")


def test_by_hand_where_the_depth_grows():
    # 1 to 3 ft deep: 50 ft with 1.5 ft mean = 75 ft3 at 0.5, 50 ft with 2.5 ft mean = 125 ft3 at 0.25 yd3 an hour
    line = lines(job(1, 3), bare(tool="hand"))["dig_run"]
    assert line.quantity == Decimal("24.07")  # 75 / 27 / 0.5 + 125 / 27 / 0.25 = 5.5556 + 18.5185
    assert line.amount == Decimal("962.80")


def test_the_trencher_goes_by_the_foot_with_the_crew_beside_it():
    # 50 ft at 50 ft and 50 ft at 20 ft an hour = 1 + 2.5 hours of a crew of 3 at 40 dollars
    found = lines(job(1, 3), bare(tool="trencher", crew=3, day_hours="8"))
    line = found["dig_run"]
    assert (line.quantity, line.unit, line.unit_price, line.amount) == (
        Decimal("3.5"),
        "crew_hour",
        Decimal(120),
        Decimal(420),
    )
    assert found["trencher_day"].quantity == 1


def test_the_machine_is_charged_by_whole_days():
    # 300 ft3 = 11.11 yd3 at 4 yd3 an hour = 2.78 hours; days of one hour: 3
    rows = (*RATES, "mini_excavator_day,,,,day,300.00,,no,,mine,")
    found = lines(job(3, 3), bare(tool="mini-excavator", day_hours="1"), rows=rows)
    assert found["dig_run"].quantity == Decimal("2.78")
    assert (found["mini_excavator_day"].quantity, found["mini_excavator_day"].amount) == (Decimal(3), Decimal(900))


def test_soil_chooses_its_rates():
    loam, clay = (lines(job(3, 3), bare(tool="mini-excavator", soil=soil))["dig_run"] for soil in ("loam", "clay"))
    assert (loam.quantity, clay.quantity) == (Decimal("2.78"), Decimal("5.56"))


def test_a_soil_without_rates_of_its_own_takes_those_of_any():
    line = lines(job(1.35, 1.35), bare(tool="hand", soil="sand"))["dig_run"]
    assert line.quantity == Decimal(50)  # 5 yd3 at 0.1


def test_beside_services_it_is_dug_by_hand():
    # 1.35 ft deep throughout; 20 of 100 ft by hand: 27 ft3 = 1 yd3 at 0.5 = 2 hours; the rest 4 yd3 at 5 = 0.8 crew hours
    works = job(1.35, 1.35)
    found = lines(by_hand(works, 30, 50), bare(tool="mini-excavator"))
    assert (found["dig_run_by_hand"].quantity, found["dig_run_by_hand"].unit) == (Decimal(2), "hour")
    assert (found["dig_run"].quantity, found["dig_run"].unit) == (Decimal("0.8"), "crew_hour")


def test_the_crew_is_on_the_job_beside_the_machine_and_shares_what_is_done_by_hand():
    # as above, 0.8 crew hours and 2 hours of one worker: a crew of 4 is there 0.8 + 0.5 hours, 0.26 of a day of 5
    works = by_hand(job(1.35, 1.35), 30, 50)
    stood = stacks(works)
    terms = bare(tool="mini-excavator", crew=4, day_hours="5")
    made = price(works, stood, takeoff(works, stood), book_of(*RATES), terms)
    assert (made.crew_hours, made.crew_days) == (Decimal("1.30"), Decimal("0.26"))


def test_deeper_than_its_rates_it_has_no_price_and_is_told():
    works = job(1, 5)
    stood = stacks(works)
    made = price(works, stood, takeoff(works, stood), book_of(*RATES), bare(tool="trencher"))
    line = next(line for line in made.lines if line.item == "dig_run")
    assert (line.quantity, line.amount, line.why) == (None, None, "too_deep")
    told = next(f for f in made.findings if dict(f.params)["priced"] == "dig_run")
    assert dict(told.params)["asks"] == "dig_trencher, of loam, second > 4"
    assert (made.complete, made.deposit) == (False, None)


def test_holes_of_basins_go_by_their_depth_and_by_the_spade_beside_a_trencher():
    works = job(1.35, 1.35, head=basin)
    machine = lines(works, bare(tool="mini-excavator"))["dig_holes"]
    spade = lines(works, bare(tool="trencher"))["dig_holes"]
    hole_yd3 = next(t.quantity for t in takeoff(works, stacks(works)) if t.item == "basin_holes")
    assert dict(spade.params)["tool"] == "hand"
    assert (machine.unit, spade.unit) == ("crew_hour", "hour")
    assert float(machine.quantity) == pytest.approx(hole_yd3 / 5, abs=0.005)
    assert float(spade.quantity) == pytest.approx(hole_yd3 / 0.5, abs=0.005)


def well_job(**pit):
    well = Structure(id="O", kind="outfall", outfall="dry well", point=(100, 0), **pit)
    run = Run(id="R", start="F", end="O", use="solid", pipe="sdr35")
    made = job_of([fitting("F", 0, 0), well], [run], trench_width_in=12, topsoil_cap_in=6)
    return laid_out(made, flat(100.0), {"R": (98.65 + BELOW, 98.65 + BELOW)})


def test_the_pit_of_a_dry_well_is_dug_and_its_stone_and_spoil_are_priced():
    # pit 8 x 5 ft, 2 ft below an invert at 98.66: dug 100 - 96.66 = 3.34 ft = 133.6 ft3 = 4.948 yd3 at 4 an hour, cut to 4 ft;
    # the trench ends at its edge, 4 ft from its middle: 96 x 1 x 1.35 ft = 129.6 ft3 = 4.8 yd3 at 5 an hour
    works = well_job(pit_length_ft=8.0, pit_width_ft=5.0, pit_depth_ft=2.0)
    rows = (*RATES, "stone_dry_well,,,,ton,44.00,,no,,mine,", "place_stone,,,,ton,,2,,,mine,")
    found = lines(works, bare(tool="mini-excavator"), rows=rows)
    assert found["dig_run"].quantity == Decimal("0.96")
    assert found["dig_dry_wells"].quantity == Decimal("1.24")
    tons = 80 / 27 * 1.35
    assert found["stone_dry_well"].amount == Decimal("4.5") * 44  # 4 tons and 10 % waste, sold by the half ton
    assert float(found["place_stone"].quantity) == pytest.approx(tons / 2, abs=0.005)
    assert "pit_without_depth" not in found


def test_a_dry_well_of_no_stated_size_is_told_and_not_free():
    line = lines(well_job(), bare())["pit_without_depth"]
    assert (line.amount, line.why, line.owners) == (None, "no_depth", ("O",))


def test_other_labor_goes_by_its_quantity():
    # 100 ft of pipe at 25 ft an hour; 5 yd3 dug, of which the pipe alone does not go back
    rows = (*RATES, "lay_pipe,,,,ft,,25,,,mine,", "backfill,,,,yd3,,2,,,mine,")
    found = lines(job(1.35, 1.35), bare(tool="hand"), rows=rows)
    assert (found["lay_pipe"].quantity, found["lay_pipe"].amount) == (Decimal(4), Decimal(160))
    pipe_yd3 = 3.14159265 / 4 * (4.215 / 12) ** 2 * 100 / 27
    assert float(found["backfill"].quantity) == pytest.approx((5 - pipe_yd3) / 2, abs=0.005)


def test_the_hour_of_the_terms_goes_before_that_of_the_book():
    line = lines(job(1.35, 1.35), bare(tool="hand", worker_hour="55.50"))["dig_run"]
    assert (line.unit_price, line.amount) == (Decimal("55.50"), Decimal("555.00"))


def test_without_an_hour_there_is_no_price_of_labor():
    works = job(1.35, 1.35)
    stood = stacks(works)
    book = without(example_book(), "worker_hour")
    made = price(works, stood, takeoff(works, stood), book, terms_of())
    labor = [line for line in made.lines if line.group == "labor"]
    assert labor
    assert {(line.amount, line.why, line.asks) for line in labor} == {(None, "no_wage", "worker_hour")}


def test_without_levels_each_run_and_basin_is_told_and_nothing_is_free():
    made = job_of([basin("B", 0, 0), outfall("O", 100, 0)], [Run(id="R", start="B", end="O", use="drain")])
    works = laid_out(made)
    stood = stacks(works)
    found = price(works, stood, takeoff(works, stood), example_book(), terms_of())
    assert [f.kind for f in found.findings] == ["no_depth_to_price", "no_depth_to_price"]
    assert {f.place.ids for f in found.findings} == {("R",), ("B",)}
    assert not found.complete
    assert {line.quantity for line in found.lines if line.why == "no_depth"} == {None}


def test_a_line_is_an_example_where_its_rate_or_its_hour_is():
    works = job(1.35, 1.35)
    mine = replace(example_book(), rows=tuple(replace(r, source="mine") for r in example_book().rows))
    stood = stacks(works)
    for item, whose in (("", "yours"), ("worker_hour", "example"), ("dig_mini_excavator", "example")):
        made = price(works, stood, takeoff(works, stood), changed(mine, item, source="Example"), terms_of())
        assert next(line.source for line in made.lines if line.item == "dig_run") == whose
        assert made.has_examples == bool(item)
