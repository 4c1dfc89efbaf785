"""What the details say about a thing. Expected numbers are worked out by hand from the yard in at_desk.py."""

from math import atan, degrees, hypot

from msgspec.structs import replace

from drainsketch.desk.panes.facts import MOST_LEGS, facts, findings_about
from drainsketch.job.ask import thing
from drainsketch.job.model import Boundary, Job, Structure
from drainsketch.review import analyse
from drainsketch.wording import Words
from tests.desk.at_desk import PLANE_YARD

WORDS = Words(units="ft")


def said(job: Job, thing_id: str) -> dict[str, str]:
    shown = thing(job, thing_id)
    assert shown is not None
    return dict(facts(analyse(job), shown, WORDS))


def bent(*via: tuple[float, float]) -> Job:
    return replace(PLANE_YARD, runs=(replace(PLANE_YARD.runs[0], via=via),))


def test_lot_says_how_far_round_and_how_large() -> None:
    """A square of 100 ft."""
    found = said(PLANE_YARD, "boundary")
    assert found["Around"] == "400.00 ft"
    assert found["Area"].replace(",", "").startswith("10000")


def test_outline_that_crosses_itself_has_no_area() -> None:
    bow = Boundary(id="boundary", points=((0, 0), (10, 10), (10, 0), (0, 10)))
    assert "Area" not in said(replace(PLANE_YARD, boundary=bow), "boundary")


def test_legs_of_a_run_have_length_and_bearing() -> None:
    """B1 (0, 0) by (30, 40) to O1 (50, 0): 50 ft with 30 east on 40 north, then 20 east on 40 south."""
    found = said(bent((30.0, 40.0)), "R1")
    assert found["Leg 1"] == f"50.00 ft, N {degrees(atan(30 / 40)):.1f}° E"
    assert found["Leg 2"] == f"{hypot(20, 40):.2f} ft, S {degrees(atan(20 / 40)):.1f}° E"
    assert said(PLANE_YARD, "R1")["Bearing"] == "E"


def test_legs_go_the_way_the_water_runs() -> None:
    """Drawn from the outfall up, the legs still start at the basin."""
    run = replace(PLANE_YARD.runs[0], start="O1", end="B1", via=((30.0, 40.0),))
    found = said(replace(PLANE_YARD, runs=(run,)), "R1")
    assert found["Leg 1"].startswith("50.00 ft, N 36.9")


def test_very_many_legs_are_not_all_listed() -> None:
    found = said(bent(*((float(x), x % 2 * 1.0) for x in range(1, 49))), "R1")
    assert sum(key.startswith("Leg") for key in found) == MOST_LEGS
    assert found[""] == f"and {49 - MOST_LEGS} more legs"


def test_outfall_says_which_inlets_reach_it() -> None:
    assert said(PLANE_YARD, "O1")["Inlets that reach it"] == "B1"
    lonely = Structure(id="O2", kind="outfall", point=(70.0, 40.0), outfall="daylight")
    assert (
        said(replace(PLANE_YARD, structures=(*PLANE_YARD.structures, lonely)), "O2")["Inlets that reach it"] == "none"
    )


def test_findings_about_a_thing_are_those_of_the_list_with_level_and_flag() -> None:
    review = analyse(PLANE_YARD)
    about = findings_about(review, "water-1", WORDS)
    assert [text for _, text in about] == [WORDS.sentence(f) for f in review.findings if "water-1" in f.place.ids]
    unknown = next(row for row, text in about if "depth is unknown" in text)
    (number,) = (c.number for c in review.crossings if c.other == "water-1")
    assert unknown == f"Settle {number}"
    assert findings_about(review, "building-1", WORDS) == ()


def test_a_cut_says_to_where_it_goes() -> None:
    assert "Cut to trench bottom" in said(PLANE_YARD, "R1")
    assert "Cut" not in said(PLANE_YARD, "R1")


def test_a_crossing_that_was_not_seen_here_is_to_be_exposed_first() -> None:
    """gas-1 of at_desk was exposed, but not here: its depth is known with an error, and nobody saw it at this crossing."""
    shown = said(PLANE_YARD, "gas-1")
    (words,) = [text for label, text in shown.items() if label.startswith("Crossing")]
    assert words.endswith("; expose it first")


def test_a_dry_well_says_how_deep_its_pit_is() -> None:
    """Invert 97.50 at O1, a pit 4 ft below it: floor 93.50; what is dug is the ground at the well less that."""
    sides = {"pit_length_ft": 4.0, "pit_width_ft": 4.0, "pit_depth_ft": 4.0}
    (well,) = (s for s in PLANE_YARD.structures if s.kind == "outfall")
    others = tuple(s for s in PLANE_YARD.structures if s is not well)
    job = replace(PLANE_YARD, structures=(*others, replace(well, outfall="dry well", invert_ft=97.5, **sides)))
    found = said(job, "O1")
    ground_ft = float(found["Ground"].split(" ")[0])
    assert found["Pit, floor"] == "93.50, dig to it"
    assert found["Pit, below the ground"].startswith(f"{ground_ft - 93.5:.2f} ft. Do not enter unless")
    assert "Pit, floor" not in said(PLANE_YARD, "O1")
