import time

import pytest
from msgspec.structs import replace

from drainsketch.job import model as m
from drainsketch.job.edits.expose import expose
from drainsketch.look import LEVEL_COLORS, SYMBOLS
from drainsketch.review import analyse
from drainsketch.sheets.drain_marks import stretch_about
from drainsketch.sheets.flags import flagged
from drainsketch.sheets.ground_marks import inside_point, stations_along
from drainsketch.sheets.labels import NEVER_DROPPED
from drainsketch.sheets.marks import Band, Disc, Label, PlanMarks, Sign, Stroke
from drainsketch.sheets.plan_marks import MarkStore, plan_marks
from tests.sheets import yards


@pytest.fixture(scope="module")
def marks() -> PlanMarks:
    job = yards.rich()
    return plan_marks(job, analyse(job))


def texts(marks: PlanMarks, owner: str) -> list[str]:
    return [label.text for label in marks.labels if label.owner == owner]


def test_every_thing_of_the_yard_is_drawn(marks: PlanMarks) -> None:
    job = yards.rich()
    drawn = {mark.owner for mark in (*marks.ground, *marks.drains)}
    things = (*job.obstacles, *job.downspouts, *job.services, *job.shots, *job.structures, *job.runs)
    assert drawn >= {"L1", *(t.id for t in things)}


def test_each_edge_of_the_lot_carries_its_length(marks: PlanMarks) -> None:
    # 118 ft by construction; the slanting edge sqrt(6^2 + 40^2) = 40.4475 ft = 40' 5 3/8"
    assert texts(marks, "L1")[:2] == ["118' 0\"", "40' 5 3/8\""]


def test_a_root_zone_is_a_disc_of_the_jobs_feet_per_inch_and_six_feet_at_least(marks: PlanMarks) -> None:
    discs = {d.owner: d.radius_ft for d in marks.ground if isinstance(d, Disc) and d.style == "root zone"}
    assert discs == {"T1": 12.5, "T2": 6.0}


def test_a_drain_has_its_stone_at_trench_width_and_a_solid_run_has_none(marks: PlanMarks) -> None:
    bands = {b.owner: b.width_ft for b in marks.drains if isinstance(b, Band) and b.style == "stone band"}
    assert bands == {"R1": 1.0, "R4": 1.0}
    styles = {s.owner: s.style for s in marks.drains if isinstance(s, Stroke)}
    assert styles["R1"] == "run.drain"
    assert styles["R2"] == "run.solid"


def test_flow_arrows_point_to_the_outfall_though_the_run_was_drawn_from_it(marks: PlanMarks) -> None:
    # R6 falls from J1 (95, 20) to O1 (114, 4): east and south
    turns = [s.turn_deg for s in marks.drains if isinstance(s, Sign) and s.symbol == "flow" and s.owner == "R6"]
    assert turns
    assert all(-90 < turn < 0 for turn in turns)


def test_a_structure_says_its_id_rim_and_invert(marks: PlanMarks) -> None:
    (text,) = texts(marks, "B1")
    name, rim, invert = text.split("\n")
    assert name == "B1"
    assert rim.startswith("rim ")
    assert invert.startswith("inv ")


def test_a_run_says_id_size_length_and_slope(marks: PlanMarks) -> None:
    (text,) = texts(marks, "R5")
    assert text.split(" · ")[:3] == ["R5", "4 in", "25' 0\""]
    assert text.endswith("%")


def test_a_service_has_its_letter_along_it_and_its_depth(marks: PlanMarks) -> None:
    assert "G" in texts(marks, "G1")
    assert "gas · 2' 0\" deep, verify" in texts(marks, "G1")
    assert "electric · depth unknown" in texts(marks, "E1")


def test_each_crossing_has_a_numbered_flag_and_a_strip_to_dig_by_hand(marks: PlanMarks) -> None:
    job = yards.rich()
    crossings = analyse(job).crossings
    flags = [s for s in marks.flags if isinstance(s, Sign) and s.symbol.startswith("crossing")]
    assert [f.text for f in flags] == [str(c.number) for c in crossings]
    strips = {b.owner: b.width_ft for b in marks.drains if isinstance(b, Band) and b.style == "hand-dig zone"}
    # 18 in each side of the outside edge of a 1 in gas line: 37 in (CGA Best Practices 5.19)
    assert strips["G1"] == pytest.approx(37 / 12)


def test_a_crossings_flag_has_the_ink_of_the_gravest_finding_about_it(marks: PlanMarks) -> None:
    review = analyse(yards.rich())
    gravest: dict[str, str] = {}
    for f in review.findings:  # worst first
        gravest.setdefault(str(dict(f.params).get("number")), f.level)
    flags = [s for s in marks.flags if isinstance(s, Sign) and s.symbol.startswith("crossing")]
    assert flags
    for flag in flags:
        assert SYMBOLS[flag.symbol].ink == LEVEL_COLORS[gravest[flag.text]]


def test_an_obstacle_that_a_warning_names_is_labeled_whatever_the_room(marks: PlanMarks) -> None:
    named = {i for f in analyse(yards.rich()).findings if f.level != "note" for i in f.place.ids}
    ranks = {label.owner: label.rank for label in marks.labels if label.lettering == "place"}
    assert named & set(ranks)
    for owner, rank in ranks.items():
        assert (rank <= NEVER_DROPPED) == (owner in named)


def test_a_structure_shows_the_name_the_user_gave_it() -> None:
    job = yards.rich()
    job = replace(job, structures=(replace(job.structures[0], name="Front basin"), *job.structures[1:]))
    (text,) = texts(plan_marks(job, analyse(job)), "B1")
    assert text.split("\n")[0] == "B1 Front basin"


def test_warnings_with_a_place_have_a_sign_of_their_own_unless_they_go_by_their_crossing(marks: PlanMarks) -> None:
    found = [
        (f, flag) for f, flag, has_sign in flagged(analyse(yards.rich())) if has_sign and f.place.point is not None
    ]
    signs = [s for s in marks.flags if isinstance(s, Sign) and s.symbol in ("octagon", "triangle")]
    assert [s.text for s in signs] == [flag for _, flag in found]
    assert signs[0].text == "A"
    assert not [s for s in marks.flags if isinstance(s, Sign) and s.symbol == "disc"]


def test_services_lie_over_stone_and_under_pipe_and_symbols_over_all(marks: PlanMarks) -> None:
    def depth(mark: object) -> int:
        if isinstance(mark, Band):
            return 0
        if isinstance(mark, Stroke):
            return 1 if mark.style.startswith("service.") else 2
        return 3

    order = [depth(mark) for mark in marks.drains]
    assert order == sorted(order)


def test_marks_of_unchanged_things_are_the_same_objects_after_one_structure_moved() -> None:
    job = yards.rich()
    store = MarkStore()
    before = plan_marks(job, analyse(job), store)
    moved = replace(job, structures=(replace(job.structures[0], point=(86.0, 73.0)), *job.structures[1:]))
    after = plan_marks(moved, analyse(moved), store)
    assert after.ground is before.ground
    assert after.drains is not before.drains
    kept = {id(mark) for mark in before.drains}
    assert sum(id(mark) in kept for mark in after.drains) > len(after.drains) / 2
    assert after == plan_marks(moved, analyse(moved))


def test_marks_follow_the_units() -> None:
    store = MarkStore()
    feet, meters = yards.rich(), yards.rich("m")
    plan_marks(feet, analyse(feet), store)
    # 118 ft is 35.966 m (0.3048 m to the foot, exactly)
    assert texts(plan_marks(meters, analyse(meters), store), "L1")[0] == "35.97 m"


def test_a_job_without_shots_or_a_run_without_an_outfall_is_drawn_all_the_same() -> None:
    job = replace(yards.rich(), shots=(), structures=yards.rich().structures[:-1], runs=yards.rich().runs[:-1])
    drawn = plan_marks(job, analyse(job))
    assert texts(drawn, "B1") == ["B1"]
    assert [m.owner for m in drawn.drains if isinstance(m, Stroke) and m.owner == "R5"] == ["R5"]


def test_five_thousand_things_are_marked_at_once_and_marked_again_in_a_blink() -> None:
    shots = tuple(m.Shot(id=f"S{i}", point=(i % 70, i // 70), elevation_ft=100.0) for i in range(5000))
    job = m.Job(shots=shots)
    review = analyse(m.Job())
    store = MarkStore()
    first = time.perf_counter()
    plan = plan_marks(job, review, store)
    again = time.perf_counter()
    assert plan_marks(job, review, store) == plan
    # generous: about 25 ms and 5 ms where this was written
    assert again - first < 1.0
    assert time.perf_counter() - again < 0.3


def test_user_text_on_the_plan_is_plain_and_short() -> None:
    job = yards.named("<b>x</b>\x00\ud800 " + "W" * 190)
    for label in plan_marks(job, analyse(job)).labels:
        assert isinstance(label, Label)
        label.text.encode("utf-8")
        assert "\x00" not in label.text
        assert len(label.text) < 80


def test_letters_stand_evenly_along_a_service() -> None:
    # 60 ft at one letter about every 20 ft: three, at 10, 30 and 50 ft
    spots = stations_along(((0, 0), (30, 0), (30, 30)), 20.0)
    assert [p for p, _ in spots] == [(10, 0), (30, 0), (30, 20)]


def test_the_stretch_about_a_point_follows_the_bend() -> None:
    assert stretch_about(((0, 0), (10, 0), (10, 10)), (10, 0), 3.0) == ((7, 0), (10, 0), (10, 3))


@pytest.mark.parametrize("ring", [((0, 0), (1, 0), (2, 0)), ((1, 1), (1, 1), (1, 1)), ((0, 0), (4, 4), (4, 0), (0, 4))])
def test_an_outline_without_area_or_crossing_itself_still_has_a_place_for_its_name(ring: tuple[m.Point, ...]) -> None:
    x, y = inside_point(ring)
    assert 0 <= x <= 4
    assert 0 <= y <= 4


def test_a_pinned_invert_says_so_on_the_plan() -> None:
    job = yards.rich()
    held = replace(job.structures[0], invert_ft=95.0)
    pinned = replace(job, structures=(held, *job.structures[1:]))
    text = next(m.text for m in plan_marks(pinned, analyse(pinned)).labels if m.owner == held.id)
    assert "inv 95.00 pinned" in text
    assert "pinned" not in next(m.text for m in plan_marks(job, analyse(job)).labels if m.owner == held.id)


def test_the_level_of_an_exposure_stands_nowhere_nearer_to_another_crossing() -> None:
    job = yards.rich()
    crossing, *others = [c for c in analyse(job).crossings if c.other_kind != "run"]
    seen = expose(job, crossing.other, crossing.point, 95.0)
    review = analyse(seen)
    (label,) = [x for x in plan_marks(seen, review).labels if x.text.startswith("exposed, top")]
    assert set(label.not_of) == {c.point for c in others}
    assert crossing.point not in label.not_of
