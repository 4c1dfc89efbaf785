"""Tools as generators: plain events in, jobs out. No window."""

from collections.abc import Iterable

import pytest

from drainsketch.desk.tools.catalogue import GROUPS, TOOLS, tool
from drainsketch.desk.tools.gesture import (
    Doubled,
    Event,
    Keyed,
    Moved,
    Outcome,
    Pressed,
    Preview,
    Released,
    Start,
    Typed,
)
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Downspout, Job, Obstacle, Run, Service, Shot, Structure
from drainsketch.job.picking import Vertex
from drainsketch.job.plan_index import index_of
from drainsketch.job.snapping import Snap
from drainsketch.look import STYLES, SYMBOLS
from drainsketch.resources import resource

REACH_FT = 0.5


def at(kind: type, point: Point, snap: Snap | None = None, add: bool = False) -> Event:
    event: Event = kind(at=point, raw=point, reach_ft=REACH_FT, snap=snap, add=add)
    return event


def press(x: float, y: float, snap: str = "", kind: str = "structure") -> Event:
    return at(Pressed, (x, y), Snap((x, y), kind, snap) if snap else None)


def play(
    name: str, events: Iterable[Event], job: Job | None = None, choice: str = "", **start: object
) -> tuple[Outcome | None, list[Preview]]:
    """Play events to a tool; return what came of it (None while it goes on) and the previews on the way."""
    job = job or Job()
    spec = tool(name)
    gesture = spec.start(
        Start(job, index_of(job), choice or (spec.choices[0] if spec.choices else ""), **start)  # type: ignore[arg-type]
    )
    previews = [next(gesture)]
    for event in events:
        try:
            previews.append(gesture.send(event))
        except StopIteration as end:
            assert isinstance(end.value, Outcome)
            return end.value, previews
    gesture.close()
    return None, previews


def done(name: str, events: Iterable[Event], job: Job | None = None, choice: str = "", **start: object) -> Outcome:
    outcome, previews = play(name, events, job, choice, **start)
    assert outcome is not None, previews[-1].hint
    return outcome


ENTER, BACK = Keyed("enter"), Keyed("backspace")
SQUARE = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))
CLICKS = [press(*p) for p in SQUARE]


def test_every_tool_has_its_own_name_key_group_and_symbols() -> None:
    assert len({t.name for t in TOOLS}) == len(TOOLS)
    assert len({t.key for t in TOOLS}) == len(TOOLS)
    assert all(len(t.key) == 1 and t.key.isupper() for t in TOOLS)
    assert {t.group for t in TOOLS} == {name for name, _ in GROUPS}


@pytest.mark.parametrize("spec", TOOLS, ids=lambda t: t.name)
def test_every_tool_tells_what_to_do_and_has_an_icon(spec: object) -> None:
    _, previews = play(spec.name, [at(Moved, (1.0, 1.0))])  # type: ignore[attr-defined]
    assert all(p.hint.endswith(".") for p in previews)
    assert all(t.style in STYLES or t.style == "tape" for p in previews for t in p.traces)
    assert all(s.symbol in SYMBOLS or s.symbol in STYLES for p in previews for s in p.symbols)
    assert resource(f"icons/{spec.icon}.svg").is_file()  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "end", [press(0.1, 0.1), ENTER, at(Doubled, SQUARE[-1])], ids=["first corner", "enter", "double"]
)
@pytest.mark.parametrize("name", ["boundary", "building", "hardscape", "bed", "septic", "other"])
def test_an_outline_closes_in_three_ways(name: str, end: Event) -> None:
    outcome = done(name, [*CLICKS, end])
    new = outcome.job.boundary if name == "boundary" else outcome.job.obstacles[0]
    assert isinstance(new, Boundary | Obstacle)
    assert new.points == SQUARE
    assert outcome.select == (new.id,)


def test_an_outline_of_two_corners_is_not_closed_and_says_why() -> None:
    outcome, previews = play("building", [*CLICKS[:2], ENTER])
    assert outcome is None
    assert "3 points" in previews[-1].hint


def test_backspace_takes_the_last_corner_back() -> None:
    outcome = done("building", [press(0, 0), press(99, 99), BACK, *CLICKS[1:], ENTER])
    assert outcome.job.obstacles[0].points == SQUARE


def test_a_second_press_on_the_same_spot_adds_no_corner() -> None:
    outcome = done("building", [CLICKS[0], CLICKS[0], *CLICKS[1:], ENTER])
    assert outcome.job.obstacles[0].points == SQUARE


def test_a_double_click_elsewhere_adds_its_point_and_ends() -> None:
    outcome = done("fence", [press(0, 0), at(Doubled, (10.0, 0.0))])
    assert outcome.job.obstacles[0].points == ((0.0, 0.0), (10.0, 0.0))


def test_a_gas_line_is_two_clicks_and_a_double_click() -> None:
    outcome = done(
        "service", [press(0, 0), press(40, 5), at(Released, (40.0, 5.0)), at(Doubled, (40.0, 5.0))], choice="gas"
    )
    assert outcome.job.services == (Service(id="gas-1", kind="gas", points=((0.0, 0.0), (40.0, 5.0))),)
    assert "depth" in outcome.told.lower()


@pytest.mark.parametrize("choice", tool("service").choices)
def test_every_kind_of_service_can_be_drawn(choice: str) -> None:
    outcome = done("service", [press(0, 0), press(40, 5), ENTER], choice=choice)
    assert outcome.job.services[0].kind == choice


@pytest.mark.parametrize(
    ("name", "thing"),
    [
        ("tree", Obstacle(id="tree-1", kind="tree", points=((5.0, 6.0),), trunk_diameter_in=12.0)),
        ("well", Obstacle(id="well-1", kind="well", points=((5.0, 6.0),))),
        ("downspout", Downspout(id="downspout-1", point=(5.0, 6.0))),
        ("basin", Structure(id="B1", kind="basin", point=(5.0, 6.0), size_in=12)),
        ("fitting", Structure(id="F1", kind="fitting", point=(5.0, 6.0))),
        ("cleanout", Structure(id="C1", kind="cleanout", point=(5.0, 6.0))),
        ("downspout-inlet", Structure(id="D1", kind="downspout inlet", point=(5.0, 6.0))),
        ("outfall", Structure(id="O1", kind="outfall", point=(5.0, 6.0), outfall="daylight")),
    ],
)
def test_a_click_places_a_point_thing(name: str, thing: object) -> None:
    job = done(name, [at(Moved, (5.0, 6.0)), press(5, 6)]).job
    assert thing in (*job.obstacles, *job.downspouts, *job.structures)


@pytest.mark.parametrize("choice", tool("outfall").choices)
def test_every_kind_of_outfall_can_be_placed(choice: str) -> None:
    assert done("outfall", [press(5, 6)], choice=choice).job.structures[0].outfall == choice


def test_a_shot_is_a_click_and_a_level() -> None:
    outcome = done("shot", [press(5, 6), Typed(99.42)])
    assert outcome.job.shots == (Shot(id="S1", point=(5.0, 6.0), elevation_ft=99.42),)


def test_a_shot_can_be_moved_before_its_level_and_needs_one() -> None:
    outcome, previews = play("shot", [press(5, 6), press(7, 8), ENTER])
    assert outcome is None
    assert previews[-1].wants == "level"
    assert "level" in previews[-1].hint
    assert done("shot", [press(5, 6), press(7, 8), Typed(-3.0)]).job.shots[0].point == (7.0, 8.0)


def test_a_level_out_of_bounds_is_refused_in_a_sentence() -> None:
    outcome, previews = play("shot", [press(5, 6), Typed(99_999.0)])
    assert outcome is None
    assert "S1" in previews[-1].hint


TWO = Job(
    downspouts=(Downspout(id="downspout-1", point=(0.0, 40.0)),),
    structures=(
        Structure(id="B1", kind="basin", point=(0.0, 0.0), size_in=12),
        Structure(id="O1", kind="outfall", point=(50.0, 0.0), outfall="daylight"),
    ),
)
JOINED = Job(structures=TWO.structures, runs=(Run(id="R1", start="B1", end="O1", pipe="sch40", diameter_in=6),))


def test_a_run_goes_from_structure_over_bends_to_structure() -> None:
    outcome = done("solid-run", [press(0, 0, "B1"), press(10, 5), press(30, 5), press(50, 0, "O1")], TWO)
    assert outcome.job.runs == (Run(id="R1", start="B1", end="O1", via=((10.0, 5.0), (30.0, 5.0)), use="solid"),)
    assert outcome.job.structures is TWO.structures


def test_a_drain_run_is_in_stone() -> None:
    assert done("drain-run", [press(0, 0, "B1"), press(50, 0, "O1")], TWO, choice="6 in").job.runs[0] == Run(
        id="R1", start="B1", end="O1", use="drain", diameter_in=6
    )


def test_a_run_from_empty_ground_makes_a_fitting_and_ends_with_one_on_enter() -> None:
    job = done("solid-run", [press(5, 5), press(20, 5), press(30, 9), ENTER], TWO).job
    assert [(s.id, s.point) for s in job.structures[2:]] == [("F1", (5.0, 5.0)), ("F2", (30.0, 9.0))]
    assert (job.runs[0].start, job.runs[0].end, job.runs[0].via) == ("F1", "F2", ((20.0, 5.0),))


def test_a_run_that_starts_on_a_run_splits_it_with_a_fitting() -> None:
    job = done("solid-run", [press(20, 0, "R1", "edge"), press(20, -30), ENTER], JOINED).job
    assert [(r.id, r.start, r.end) for r in job.runs] == [("R1", "B1", "F1"), ("R2", "F1", "O1"), ("R3", "F1", "F2")]
    assert (job.runs[2].pipe, job.runs[2].diameter_in) == ("sch40", 4)


def test_a_run_that_ends_on_a_run_splits_it() -> None:
    job = done("solid-run", [press(20, 30), press(20, 0, "R1", "edge")], JOINED).job
    assert [(r.start, r.end) for r in job.runs] == [("B1", "F2"), ("F2", "O1"), ("F1", "F2")]


def test_a_run_from_a_downspout_makes_an_inlet_tied_to_it() -> None:
    job = done("solid-run", [press(0, 40, "downspout-1", "downspout"), press(50, 0, "O1")], TWO).job
    assert job.structures[-1] == Structure(id="D1", kind="downspout inlet", point=(0.0, 40.0), downspout="downspout-1")


def test_a_run_does_not_end_where_it_starts() -> None:
    outcome, previews = play("solid-run", [press(0, 0, "B1"), press(9, 9), press(0, 0, "B1")], TWO)
    assert outcome is None
    assert "another structure" in previews[-1].hint


def test_taking_back_the_start_of_a_run_takes_its_fitting_back() -> None:
    outcome = done("solid-run", [press(5, 5), BACK, press(0, 0, "B1"), press(50, 0, "O1")], TWO)
    assert outcome.job.structures is TWO.structures


def test_a_basin_on_a_run_is_set_into_it() -> None:
    job = done("basin", [press(20, 0, "R1", "edge")], JOINED).job
    assert [(r.start, r.end) for r in job.runs] == [("B1", "B2"), ("B2", "O1")]


def test_a_structure_on_a_structure_is_refused() -> None:
    outcome, previews = play("basin", [press(0, 0, "B1")], JOINED)
    assert outcome is None
    assert "B1 stands there already" in previews[-1].hint


def test_an_inlet_at_a_downspout_is_tied_to_it() -> None:
    job = done("downspout-inlet", [press(0, 40, "downspout-1", "downspout")], TWO).job
    assert job.structures[-1].downspout == "downspout-1"


def test_the_tape_leaves_nothing() -> None:
    assert done("measure", [press(0, 0), press(3, 4), ENTER], TWO).job is TWO


def test_a_click_selects_and_shift_adds() -> None:
    first = done("select", [press(0, 0), at(Released, (0.0, 0.0))], TWO)
    assert (first.job is TWO, first.select) == (True, ("B1",))
    second = done("select", [at(Pressed, (50.0, 0.0), add=True)], TWO, selection=("B1",))
    assert second.select == ("B1", "O1")
    third = done("select", [at(Pressed, (50.0, 0.0), add=True)], TWO, selection=("B1", "O1"))
    assert third.select == ("B1",)


def test_a_drag_moves_and_shows_a_ghost_with_its_runs() -> None:
    events = [press(0, 0), at(Moved, (3.0, 4.0)), at(Released, (3.0, 4.0))]
    outcome, previews = play("select", events, JOINED)
    assert outcome is not None
    assert outcome.job.structures[0].point == (3.0, 4.0)
    assert previews[-1].moving == ("B1", "R1")
    assert previews[-1].ghost is not None
    assert JOINED.structures[0].point == (0.0, 0.0)


def test_a_box_selects_what_is_inside() -> None:
    events = [press(-9, -9), at(Moved, (60.0, 9.0)), at(Released, (60.0, 9.0))]
    assert done("select", events, JOINED).select == ("B1", "O1", "R1")


HOUSE = Job(obstacles=(Obstacle(id="building-1", kind="building", points=SQUARE),))
CHOSEN = {"selection": ("building-1",)}


def test_a_corner_is_dragged() -> None:
    events = [press(30, 20), at(Moved, (35.0, 25.0)), at(Released, (35.0, 25.0))]
    outcome = done("select", events, HOUSE, **CHOSEN)
    assert outcome.job.obstacles[0].points == (*SQUARE[:2], (35.0, 25.0), SQUARE[3])
    assert outcome.vertex == Vertex("building-1", 2)


def test_a_double_click_on_an_edge_puts_a_corner_in_and_delete_takes_it_out() -> None:
    outcome = done("select", [at(Doubled, (15.0, 0.1))], HOUSE, **CHOSEN)
    assert outcome.job.obstacles[0].points == (SQUARE[0], (15.0, 0.0), *SQUARE[1:])
    back = done("select", [Keyed("delete")], outcome.job, vertex=outcome.vertex, **CHOSEN)
    assert back.job == HOUSE


def test_delete_says_which_runs_went_along() -> None:
    outcome = done("select", [Keyed("delete")], JOINED, selection=("B1",))
    assert outcome.job.runs == ()
    assert "R1" in outcome.told


def test_a_triangle_keeps_its_corners() -> None:
    job = Job(obstacles=(Obstacle(id="bed-1", kind="bed", points=SQUARE[:3]),))
    outcome, previews = play("select", [Keyed("delete")], job, selection=("bed-1",), vertex=Vertex("bed-1", 0))
    assert outcome is None
    assert "at least 3" in previews[-1].hint


def test_arrows_nudge() -> None:
    outcome = done("select", [Keyed("up")], TWO, selection=("B1",))
    assert outcome.job.structures[0].point == (0.0, 0.1)
    assert done("select", [Keyed("left", far=True)], TWO, selection=("B1",)).job.structures[0].point == (-1.0, 0.0)


def test_everything_can_be_selected() -> None:
    assert done("select", [Keyed("all")], JOINED).select == ("B1", "O1", "R1")


def test_a_straight_run_that_is_dragged_says_what_moves_it() -> None:
    events = [press(25, 0), at(Moved, (25.0, 5.0)), at(Released, (25.0, 5.0))]
    outcome = done("select", events, JOINED)
    assert outcome.job == JOINED
    assert "double-click" in outcome.told
