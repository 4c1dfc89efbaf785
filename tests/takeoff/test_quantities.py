"""The takeoff as a whole: order, words, arithmetic, agreement with the review."""

import re
from math import pi

import pytest

from drainsketch.job.model import Job, Run, Shot, Structure
from drainsketch.resources import table
from drainsketch.review import analyse
from drainsketch.takeoff.quantities import takeoff
from drainsketch.takeoff.results import GROUPS
from drainsketch.takeoff.stacks import stacks
from drainsketch.takeoff.works import works
from drainsketch.wording import Words


def yard() -> Job:
    """A yard with one of nearly everything, on ground that falls 3 % to the east."""
    shots = tuple(
        Shot(id=f"G{i}-{j}", point=(25.0 * i, 20.0 * j), elevation_ft=100 - 0.75 * i)
        for i in range(6)
        for j in range(5)
    )
    structures = (
        Structure(id="B1", kind="basin", point=(5, 20)),
        Structure(id="B2", kind="basin", point=(45, 20), size_in=9),
        Structure(id="D1", kind="downspout inlet", point=(58, 50)),
        Structure(id="D2", kind="downspout inlet", point=(30, 70)),
        Structure(id="C1", kind="cleanout", point=(75, 20)),
        Structure(id="C2", kind="cleanout", point=(75, 60)),
        Structure(id="F1", kind="fitting", point=(60, 20)),
        Structure(id="F2", kind="fitting", point=(5, 60)),
        Structure(id="O1", kind="outfall", outfall="pop-up", point=(110, 20)),
    )
    runs = (
        Run(id="R1", start="B1", end="B2", use="drain", pipe="corrugated", sock=True),
        Run(id="R2", start="B2", end="F1"),
        Run(id="R3", start="D1", end="F1", via=((58, 30),)),
        Run(id="R4", start="F1", end="C1", diameter_in=6),
        Run(id="R5", start="C1", end="O1", diameter_in=6),
        Run(id="R6", start="F2", end="B1", use="drain", pipe="smooth-lined", via=((5, 40), (10, 30))),
        Run(id="R7", start="D2", end="D1", pipe="corrugated"),
        Run(id="R8", start="C2", end="C1"),
    )
    return Job(shots=shots, structures=structures, runs=runs)


@pytest.fixture(scope="module")
def review():
    return analyse(yard())


def test_every_group_is_there_and_in_order(review):
    order = [GROUPS.index(line.group) for line in review.takeoff]
    assert order == sorted(order)
    assert set(order) == set(range(len(GROUPS)))


def test_quantities_are_above_zero_and_pieces_are_whole(review):
    for line in review.takeoff:
        assert line.quantity > 0, line
        assert line.unit in ("ft", "each", "yd3", "ton", "load"), line
        if line.unit == "each":
            assert line.quantity == int(line.quantity), line


def test_every_line_names_things_of_the_job(review):
    ids = {s.id for s in review.job.structures} | {r.id for r in review.job.runs}
    for line in review.takeoff:
        assert line.owners
        assert set(line.owners) <= ids


def test_arithmetic_ends_in_the_quantity(review):
    for line in review.takeoff:
        shown = re.search(r"= ([0-9.]+)[^=]*$", line.arithmetic)
        assert shown, line
        assert float(shown[1]) == pytest.approx(line.quantity, abs=0.0051), line


def test_terms_add_up_to_the_quantity(review):
    for line in review.takeoff:
        terms = re.findall(r"(?:^| \+ )([0-9.]+) \(", line.arithmetic)
        if terms:
            assert sum(map(float, terms)) == pytest.approx(line.quantity, abs=0.006 * len(terms)), line


@pytest.mark.parametrize("units", ["ft-in", "ft", "m"])
def test_every_line_can_be_said(review, units):
    words = Words("en", units)
    said = [words.item(line) for line in review.takeoff]
    assert len(set(said)) == len(said)
    for line, text in zip(review.takeoff, said, strict=True):
        assert "{" not in text
        assert not {"sdr35", "sch40"} & set(text.split()), text
        assert words.rule(line).endswith("."), line.rule


def test_words_and_items_match_one_to_one():
    """Every item and rule key of the words is one the code can make, and the other way round where this yard shows it."""
    said = table("translations/en/takeoff.toml")
    assert set(said["group"]) == set(GROUPS)
    made = {line.item for line in analyse(yard()).takeoff}
    assert made <= set(said["item"])
    rare = {
        "sticks_drain",
        "coils_drain",
        "sticks_solid",
        "coils_solid",
        "outlet_daylight",
        "outlet_tie_in",
        "outlet_curb",
    }
    assert set(said["item"]) - made <= rare | {
        "outlet_dry_well",
        "spoil_left",
        "spoil_spread",
        "spoil_room",
        "dry_well_holes",
        "stone_dry_well",
        "backfill_dry_well",
    }


def test_rules_without_a_source_say_so():
    for key, rule in table("translations/en/takeoff.toml")["rule"].items():
        definition = key in (
            "pipe_length",
            "sock",
            "basin",
            "grate",
            "spoil_loads",
        )  # counted as it is, no rule of thumb
        assert definition or "no source" in rule["text"] or "EPA" in rule["text"] or "FM 5-434" in rule["text"], key


def test_without_shots_lengths_and_pieces_still_count(review):
    bare = analyse(Job(structures=review.job.structures, runs=review.job.runs))
    groups = {line.group for line in bare.takeoff}
    assert groups == {"pipe", "fittings", "structures"}
    pieces = {(x.item, x.params): x.quantity for x in bare.takeoff if x.group == "fittings"}
    assert pieces == {(x.item, x.params): x.quantity for x in review.takeoff if x.group == "fittings"}


def test_an_empty_job_has_an_empty_takeoff():
    assert analyse(Job()).takeoff == ()


def test_the_same_job_counts_the_same(review):
    laid = works(review.job, review.network, review.profiles, review.grades, review.levels)
    again = takeoff(laid, stacks(laid))
    assert again == review.takeoff


def test_soil_balances(review):
    """What the drain trenches hold is stone, pipe and topsoil, no more and no less: a second way to the same volume."""
    by_item = {line.item: line for line in review.takeoff}
    trench_ft3 = by_item["trench_drain"].quantity * 27
    stone_ft3 = by_item["stone_drain"].quantity / review.job.criteria.stone_tons_per_yd3 * 27
    cap_ft3 = by_item["topsoil_cap"].quantity * 27
    # R1: 4 in corrugated between a 2 ft and a 1.75 ft hole; R6: 4 in smooth-lined into a 2 ft hole; 4.6 in outside both
    pipe_ft = 0.0
    for run_id, holes_ft in (("R1", 1.875), ("R6", 1.0)):
        grade = review.grades[run_id]
        pipe_ft += (grade.length_ft - holes_ft) * (1 + grade.slope**2) ** 0.5
    assert trench_ft3 == pytest.approx(stone_ft3 + cap_ft3 + pipe_ft * pi / 4 * (4.6 / 12) ** 2, rel=1e-9)


def test_why_so_many_tons_is_answered(review):
    line = next(x for x in review.takeoff if x.item == "stone_drain")
    assert "less pipe" in line.arithmetic
    assert "x 1.35" in line.arithmetic
    tons = float(re.search(r"= ([0-9.]+) tons$", line.arithmetic)[1])
    yd3 = float(re.search(r"/ 27 = ([0-9.]+) yd3", line.arithmetic)[1])
    assert tons == pytest.approx(yd3 * 1.35, abs=0.02)
