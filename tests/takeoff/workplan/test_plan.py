"""Days worked out by hand, and what holds of every plan: hours add up, trench is covered once, nothing is lost."""

from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.exports.price_report import price_report
from drainsketch.exports.price_text import price_lines
from drainsketch.exports.workplan_report import work_plan_json, work_plan_report
from drainsketch.exports.workplan_text import work_plan_lines
from drainsketch.job.edits.change import change, change_part
from drainsketch.job.model import Heap, Job, Obstacle
from drainsketch.job.prices import Prices
from drainsketch.planning import said_machine, work_plan_of
from drainsketch.pricing import price_of
from drainsketch.review import analyse
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.workplan.hours import gone_ft3
from drainsketch.takeoff.workplan.results import PlannedWork
from drainsketch.wording import Words
from tests.strategies import jobs
from tests.takeoff.price.books import book_of, example_book, terms_of
from tests.takeoff.workplan.yard import LAY, YARD, laying, planned, spans
from tests.test_review import SAMPLES, sample
from tests.yards import basin, drawn, fitting, outfall, plane, run, service

REVIEWS = {name: analyse(sample(name)) for name in SAMPLES}


def kinds(plan: PlannedWork, number: int) -> list[str]:
    return [f"{t.kind} {t.owner}".strip() for t in plan.days[number - 1].tasks]


def noted(plan: PlannedWork) -> list[str]:
    return [note.kind for note in plan.notes]


def test_three_days_worked_out_by_hand() -> None:
    """50.01 ft / 5 = 10.00 h over 49 ft: 4 h reach 19.6 ft, whole feet 19; 19 / 49 x 10 = 3.88 h, 38 / 49 x 10 = 7.76 h."""
    plan = laying()
    assert spans(plan) == [("R1", 0.0, 19.0, 1, 1), ("R1", 19.0, 38.0, 2, 2), ("R1", 38.0, 49.0, 3, 3)]
    assert [d.hours for d in plan.days] == [Decimal("3.88"), Decimal("3.88"), Decimal("2.24")]
    assert plan.hours == Decimal("10.00")
    assert [d.open_ft for d in plan.days] == [19.0, 19.0, 11.0]
    assert [(p.run_id, round(p.ft_day, 1)) for p in plan.paces] == [("R1", 19.6)]
    # the ground is 99 ft at station 0 and 2 ft over the invert all along
    first = plan.stretches[0]
    assert first.low == pytest.approx((50.0, 0.0))
    assert first.low_ground_ft == pytest.approx(99.0)
    grade = analyse(YARD).grades["R1"]
    assert first.low_bottom_ft == pytest.approx(97.0 - grade.bottom_below_invert_ft)
    assert first.deepest_ft == pytest.approx(2.0 + grade.bottom_below_invert_ft)


def test_tasks_stand_in_the_order_they_are_done_and_the_grade_is_held_before_earth_goes_in() -> None:
    plan = planned(crew=2, day_hours="16")
    assert kinds(plan, 1) == [
        "mark_out",
        "set O1",
        *("strip R1", "dig R1", "lay R1", "check R1", "backfill R1", "turf R1"),
        *("dig B1", "bed B1", "set B1", "backfill B1"),
        *("flush", "record"),
    ]
    hold = next(t for t in plan.days[0].tasks if t.is_hold)
    assert (hold.from_ft, hold.to_ft, hold.hours) == (0.0, pytest.approx(49.0), None)


def test_a_drain_has_its_grade_held_between_pipe_and_stone() -> None:
    plan = planned(change(YARD, "R1", use="drain"), crew=2, day_hours="16")
    of_run = [t.kind for t in plan.days[0].tasks if t.owner == "R1"]
    assert of_run == ["strip", "dig", "bed", "lay", "check", "stone", "topsoil", "turf"]
    lined = change_part(change(YARD, "R1", use="drain"), "sections", fabric="round the stone")
    of_run = [t.kind for t in planned(lined, crew=2, day_hours="16").days[0].tasks if t.owner == "R1"]
    assert of_run == ["strip", "dig", "line", "bed", "lay", "check", "stone", "fabric", "topsoil", "turf"]


def test_no_more_trench_is_opened_a_day_than_may_be() -> None:
    plan = laying(open_ft_day=10.0)
    assert spans(plan) == [("R1", 10.0 * n, min(10.0 * n + 10.0, 49.0), n + 1, n + 1) for n in range(5)]
    assert plan.paces[0].ft_day == 10.0
    small = laying(open_ft_day=1.0)
    assert "limit_small" in noted(small)
    assert max(d.open_ft for d in small.days) == pytest.approx(5.0)


def test_what_takes_longer_than_a_day_stays_open_and_is_told() -> None:
    """At 1 ft an hour 5 ft take 5 / 49 x 50.01 = 5.10 h of a 4 h day."""
    plan = planned(YARD, book=book_of("lay_pipe,,,,ft,,1,,labor,mine,"), crew=1, day_hours="4", tool="hand")
    assert plan.days[0].overnight == ("R1",)
    assert plan.stretches[0].closed == 2
    assert plan.days[0].tasks[-1].goes_on
    assert "left_open" in noted(plan)
    assert plan.days[1].open_ft >= 5.0
    assert sum(d.hours for d in plan.days) == plan.hours


def test_a_machine_that_digs_on_more_days_than_its_price_holds_is_told() -> None:
    """Laying at 5 ft an hour takes three days of 4 h; digging some 4 yd3 at 40 an hour takes 0.1 h of them, which is one day of the price."""
    dug = "dig_mini_excavator,loam,,,yd3,,40,,labor,mine,"
    made = {"book": book_of(LAY, dug), "crew": 1, "day_hours": "4", "soil": "loam"}
    (note,) = [n for n in planned(YARD, tool="mini-excavator", **made).notes if n.kind == "machine_days"]
    assert dict(note.params) == {"days": 3, "priced": 1}
    assert "machine_days" not in noted(planned(YARD, tool="hand", **made))
    review, prices = (
        analyse(YARD),
        Prices(made["book"], terms_of(tool="mini-excavator", crew=1, day_hours="4", soil="loam")),
    )
    said = said_machine(review, prices, price_of(review, prices), Words())
    assert said[0].startswith("The machine digs on 3 days; the price holds 1, ")
    assert said[0] in list(price_lines(review, price_of(review, prices), prices))
    assert said[0] in price_report(review, price_of(review, prices), prices).notes


def test_what_is_hauled_of_each_day_adds_up_to_what_is_hauled_off() -> None:
    heap = Heap(id="f1", kind="fill area", points=((2.0, 45.0), (12.0, 45.0), (12.0, 55.0), (2.0, 55.0)), fill_in=6.0)
    review = analyse(replace(sample("corner-lot"), heaps=(heap,)))
    lines = {line.item: line.quantity for line in review.takeoff}
    days = work_plan_of(review, Prices(example_book(), terms_of())).days
    assert sum(d.spoil_yd3 for d in days) == pytest.approx(lines["spoil_left"])
    assert sum(d.hauled_yd3 for d in days) == pytest.approx(lines["spoil_bank"])
    assert lines["spoil_left"] - lines["spoil_bank"] == pytest.approx(100 * 0.5 / 27)


def test_an_hour_of_one_worker_is_shared_by_the_crew() -> None:
    one = planned(YARD, book=book_of("lay_pipe,,,,ft,,5,,labor,mine,"), crew=1, day_hours="16", tool="hand")
    four = planned(YARD, book=book_of("lay_pipe,,,,ft,,5,,labor,mine,"), crew=4, day_hours="16", tool="hand")
    assert (one.hours, four.hours) == (Decimal("10.00"), Decimal("2.50"))


def test_paving_is_sawn_where_it_lies_and_lawn_put_back_where_it_was() -> None:
    """A drive over x = 10 to 20 ft is over stations 30 to 40: two cuts of 10 ft at 10 ft an hour are 2 h, there and nowhere else."""
    drive = Obstacle(id="", kind="hardscape", surface="concrete", points=((10, -5), (20, -5), (20, 5), (10, 5)))
    job = drawn(*YARD.shots, *YARD.structures, drive, run("B1", "O1"))
    sawing = "saw_cutting,,,,ft,,10,,labor,mine,"
    plan = laying(job, sawing, "seed_lawn,,,,ft2,,100,,labor,mine,", open_ft_day=10.0)
    hours = {
        kind: [(t.from_ft, t.to_ft, t.hours) for d in plan.days for t in d.tasks if t.kind == kind]
        for kind in ("strip", "turf")
    }
    # the 4 hours of the day that comes to it end at station 39, whole feet
    assert {(a, b): h for a, b, h in hours["strip"] if h} == {(30, 39): Decimal("1.80"), (39, 49): Decimal("0.20")}
    assert {(a, b) for a, b, h in hours["turf"] if h} == {(0, 10), (10, 20), (20, 30), (39, 49)}


def test_each_paving_is_put_back_where_it_lies_and_mulch_goes_on_beds() -> None:
    """Stations from O1 at x = 50: pavers over 5 to 10, gravel over 20 to 30, a bed over 35 to 45; stretches of 10 ft."""

    def area(kind: str, low: float, high: float, surface: str | None = None) -> Obstacle:
        points = ((50 - high, -5), (50 - low, -5), (50 - low, 5), (50 - high, 5))
        return Obstacle(id="", kind=kind, surface=surface, points=points)  # type: ignore[arg-type]

    ground = [area("hardscape", 5, 10, "brick"), area("hardscape", 20, 30, "gravel"), area("bed", 35, 45)]
    job = drawn(*YARD.shots, *YARD.structures, *ground, run("B1", "O1"))
    rates = (
        "relay_pavers,,,,ft2,,10,,labor,mine,",
        "spread_gravel,,,,ton,,1,,labor,mine,",
        "spread_mulch,,,,yd3,,1,,labor,mine,",
    )
    plan = laying(job, *rates, open_ft_day=10.0)
    tasks = [t for day in plan.days for t in day.tasks if t.owner == "R1" and t.hours]
    assert {(t.from_ft, t.to_ft) for t in tasks if t.kind == "turf"} == {(30, 40), (40, 49)}
    put_back = {(t.from_ft, t.to_ft): t.hours for t in tasks if t.kind == "other"}
    assert set(put_back) == {(0, 10), (20, 30)}
    lines = {
        x.item: x
        for x in price_of(
            analyse(job), Prices(book_of(LAY, *rates), terms_of(crew=1, day_hours="4", tool="hand"))
        ).lines
    }
    assert put_back[0, 10] == pytest.approx(lines["relay_pavers"].quantity, abs=Decimal("0.011"))
    assert put_back[20, 30] == pytest.approx(lines["spread_gravel"].quantity, abs=Decimal("0.011"))


def test_the_longest_way_is_worked_up_from_the_outfall_then_its_side_lines() -> None:
    job = drawn(
        *plane(lambda x, _: 100 - 0.02 * x),
        outfall(100.0, 0.0, "tie-in"),
        fitting(60.0, 0.0),
        basin(0.0, 0.0, size_in=12),
        basin(60.0, 20.0, size_in=12),
        run("F1", "O1"),
        run("B1", "F1"),
        run("B2", "F1"),
    )
    plan = planned(job)
    assert list(dict.fromkeys(s.run_id for s in plan.stretches)) == ["R1", "R2", "R3"]
    owners = list(dict.fromkeys(t.owner for d in plan.days for t in d.tasks if t.owner))
    assert owners == ["O1", "R1", "R2", "B1", "R3", "B2"]
    first = planned(change_part(job, "work", order="basins first"))
    owners = list(dict.fromkeys(t.owner for d in first.days for t in d.tasks if t.owner))
    assert owners == ["B1", "B2", "O1", "R1", "R2", "R3"]


def test_a_service_is_dug_by_hand_in_its_strip_and_looked_for_first() -> None:
    job = drawn(service("gas", (20.0, -30.0), (20.0, 30.0), depth_top_ft=0.5), job=YARD)
    plan = planned(job, crew=2, day_hours="16")
    tasks = plan.days[0].tasks
    assert (tasks[1].kind, tasks[1].crossings, tasks[1].ids) == ("test_holes", (1,), ("R1", "gas-1"))
    by_hand = next(t for t in tasks if t.kind == "expose")
    assert by_hand.crossings == (1,)
    assert by_hand.hours is not None
    assert by_hand.hours > 0
    assert "not_seen" in noted(plan)


def test_pipe_that_crosses_pipe_is_no_service() -> None:
    across = (basin(25.0, -20.0, size_in=12), outfall(25.0, 20.0), run("B2", "O2"))
    job = drawn(*across, job=YARD)
    assert any(c.other_kind == "run" for c in analyse(job).crossings)
    assert not {"expose", "test_holes"} & {t.kind for d in planned(job).days for t in d.tasks}


def test_no_strip_dug_by_hand_is_cut_where_that_can_be() -> None:
    """O1 is at x = 50, so that a service at x = 32 is met at station 18; its strip begins before station 19, where the day would end."""
    job = drawn(service("gas", (32.0, -30.0), (32.0, 30.0), depth_top_ft=0.5), job=YARD)
    crossing = analyse(job).crossings[0]
    assert crossing.hand_dig_from_ft < 19 < crossing.hand_dig_to_ft
    assert spans(laying(job))[0][2] == pytest.approx(crossing.hand_dig_from_ft, abs=1e-3)


def test_days_are_dated_and_days_off_are_skipped() -> None:
    plan = laying(start="2026-05-01", days_off=("2026-05-04",), workdays=("Mon", "Tue", "Fri"))
    assert [d.day for d in plan.days] == [date(2026, 5, 1), date(2026, 5, 5), date(2026, 5, 8)]
    assert "start_is_off" in noted(laying(start="2026-05-02"))
    assert [d.day for d in laying().days] == [None] * 3
    assert "calendar_ends" in noted(laying(start="9999-12-31"))


def test_the_ticket_against_the_days() -> None:
    asked = {"ticket_asked": "2026-04-29", "ticket_wait_days": 3, "ticket_good_days": 11}
    plan = laying(start="2026-05-01", **asked)  # Wednesday: Thursday, Friday, Monday are waited, Tuesday
    assert plan.ticket.ready == date(2026, 5, 5)
    assert plan.ticket.good_through == date(2026, 5, 9)  # the 29th and 30th of April and nine days of May
    assert plan.notes[0].kind == "before_ready"
    assert plan.notes[0].level == "stop"
    good = laying(start="2026-05-05", **asked)
    assert not {"before_ready", "marks_run_out", "not_asked"} & {*noted(good)}
    late = laying(start="2026-05-07", **asked)  # Thursday 7, Friday 8, Monday 11
    assert "marks_run_out" in noted(late)
    assert late.ticket.ask_again_by == date(
        2026, 5, 5
    )  # Wednesday, Thursday, Friday are waited; a day later Monday 11 would be waited too
    assert {"not_asked", "wait_unsaid", "good_unsaid", "start_unsaid"} <= {*noted(laying())}


def test_spoil_that_lies_too_long_is_told() -> None:
    """A drain's trench leaves whole: about 4 yd3 on a truck of 100 wait for the last day, 2 days on."""
    job = change(YARD, "R1", use="drain")
    plan = laying(job, lawn_spoil_days=1)
    assert [d.spoil_gone for d in plan.days] == [3, 3, 3]
    assert "spoil_lies" in noted(plan)
    assert "spoil_lies" not in noted(laying(job, lawn_spoil_days=2))


def test_what_has_no_depth_is_on_no_day_and_its_hours_are_told() -> None:
    job = drawn(basin(0.0, 30.0, size_in=12), basin(20.0, 30.0, size_in=12), run("B2", "B3"), job=YARD)
    plan = planned(job)
    assert {owner for owner, _ in plan.unplanned} >= {"R2"}
    assert "R2" not in {s.run_id for s in plan.stretches}
    assert "not_planned" in noted(plan)
    assert sum(d.hours for d in plan.days) + sum(h for _, h in plan.unplanned) == plan.hours


def test_a_rate_that_slipped_makes_no_endless_plan() -> None:
    plan = planned(YARD, book=book_of("lay_pipe,,,,ft,,0.01,,labor,mine,"), crew=1, day_hours="4", tool="hand")
    assert plan.days == ()
    assert "too_long" in noted(plan)
    assert not {"not_planned", "nothing"} & {*noted(plan)}
    assert sum(h for _, h in plan.unplanned) == plan.hours


def test_an_empty_job_has_no_days() -> None:
    plan = planned(Job())
    assert (plan.days, plan.stretches, plan.hours, plan.unplanned) == ((), (), Decimal("0.00"), ())
    assert "nothing" in noted(plan)


@pytest.mark.parametrize("name", SAMPLES)
def test_what_goes_is_the_spoil_of_the_takeoff(name: str) -> None:
    review = REVIEWS[name]
    spoil = next((line.quantity for line in review.takeoff if line.item == "spoil_bank"), 0.0)
    gone = gone_ft3(earth(review.works, review.stacks))
    assert sum(gone.values()) / 27 == pytest.approx(spoil)
    plan = work_plan_of(review, Prices(example_book(), terms_of()))
    planned_yd3 = sum(d.spoil_yd3 for d in plan.days)
    if set(review.workable) == set(review.grades):
        assert planned_yd3 == pytest.approx(spoil)
    else:
        assert planned_yd3 < spoil  # what cannot be laid as it lies is dug on no day


def test_what_cannot_be_laid_stands_on_no_day_and_is_told() -> None:
    """All pipe of the courtyard is stopped; of the corner lot R6 is, once D1 is pinned above its rim."""
    prices = Prices(example_book(), terms_of())
    none = work_plan_of(REVIEWS["courtyard"], prices)
    assert (none.days, none.stretches) == ((), ())
    assert "not_workable" in noted(none)
    assert sum((h for _, h in none.unplanned), Decimal(0)) == none.hours
    review = analyse(change(REVIEWS["corner-lot"].job, "D1", invert_ft=100.5))
    lost = set(review.grades) - set(review.workable)
    some = work_plan_of(review, prices)
    assert lost and some.days
    assert lost.isdisjoint({s.run_id for s in some.stretches} | {t.owner for d in some.days for t in d.tasks})
    assert dict(next(n for n in some.notes if n.kind == "not_workable").params)["runs"] == tuple(sorted(lost))


@settings(max_examples=60, deadline=None)
@given(
    name=st.sampled_from(sorted(SAMPLES)),
    crew=st.integers(1, 6),
    day_hours=st.integers(1, 12),
    tool=st.sampled_from(["hand", "mini-excavator", "trencher"]),
    order=st.sampled_from(["outfall first", "basins first"]),
    most_ft=st.none() | st.floats(0, 200),
)
def test_every_plan_adds_up_and_covers_its_trench_once(
    name: str, crew: int, day_hours: int, tool: str, order: str, most_ft: float | None
) -> None:
    review = REVIEWS[name]
    job = change_part(review.job, "work", order=order, open_ft_day=most_ft)
    review = replace(review, job=job, works=replace(review.works, job=job))
    prices = Prices(example_book(), terms_of(crew=crew, day_hours=str(day_hours), tool=tool))
    plan, made = work_plan_of(review, prices), price_of(review, prices)
    said = sum((d.hours for d in plan.days), Decimal(0)) + sum((h for _, h in plan.unplanned), Decimal(0))
    assert said == plan.hours == made.crew_hours
    for day in plan.days:
        assert sum((t.hours for t in day.tasks if t.hours is not None), Decimal(0)) == day.hours
        assert day.hours <= day_hours + Decimal("0.02")
        assert all(t.hours is None or t.hours >= 0 for t in day.tasks)
    dug = earth(review.works, review.stacks)
    for its in dug.runs:
        name_of, inside = its.work.run.id, dug.inside_ft(its.work)
        if name_of not in review.workable:
            assert all(s.run_id != name_of for s in plan.stretches)
            continue
        parts = sorted((s.from_ft, s.to_ft) for s in plan.stretches if s.run_id == name_of)
        low, high = inside.get(its.work.downstream, 0.0), its.work.plan_ft - inside.get(its.work.upstream, 0.0)
        assert parts[0][0] == pytest.approx(low)
        assert parts[-1][1] == pytest.approx(max(low, high))
        assert all(a[1] == b[0] for a, b in pairwise(parts))
        assert all(b > a for a, b in parts) or high <= low
    first = {s.run_id: s.number for s in reversed(plan.stretches)}
    last = {s.run_id: s.number for s in plan.stretches}
    leaves = {flow.upstream: flow.id for flow in review.network.runs}
    for flow in review.network.runs:  # each run after the one it drains to, from its low end up
        below = leaves.get(flow.downstream)
        assert below not in last or flow.id not in first or last[below] < first[flow.id]
        its = [s.from_ft for s in plan.stretches if s.run_id == flow.id]
        assert its == sorted(its)
    opened: dict[int, float] = {}
    for s in plan.stretches:
        opened[s.opened] = opened.get(s.opened, 0.0) + s.length_ft
        assert s.opened == s.closed or s.run_id in plan.days[s.opened - 1].overnight
    if most_ft:
        assert all(feet <= max(most_ft, 5.0) + 1e-6 for feet in opened.values())


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(jobs())
def test_any_job_has_a_plan_that_can_be_said_and_adds_up(job: Job) -> None:
    review, prices = analyse(job), Prices(example_book(), terms_of())
    plan, made = work_plan_of(review, prices), price_of(review, prices)
    said = sum((d.hours for d in plan.days), Decimal(0)) + sum((h for _, h in plan.unplanned), Decimal(0))
    assert said == plan.hours == made.crew_hours
    for lang in ("en", "es"):
        assert list(work_plan_lines(review, plan, lang))
        assert work_plan_json(work_plan_report(review, plan, lang))
