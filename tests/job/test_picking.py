"""What lies under a pointer."""

from drainsketch.job.model import Boundary, Job, Obstacle, Run, Shot, Structure
from drainsketch.job.picking import OnLeg, Vertex, leg_at, pick, pick_box, vertex_at
from drainsketch.job.plan_index import index_of

YARD = Job(
    boundary=Boundary(id="boundary", points=((-10, -10), (100, -10), (100, 80), (-10, 80))),
    obstacles=(
        Obstacle(id="building-1", kind="building", points=((0, 0), (40, 0), (40, 30), (0, 30))),
        Obstacle(id="hardscape-1", kind="hardscape", points=((10, 10), (20, 10), (20, 20), (10, 20))),
        Obstacle(id="tree-1", kind="tree", points=((80, 60),), trunk_diameter_in=48),
    ),
    shots=(Shot(id="S1", point=(50, 50), elevation_ft=100.0),),
    structures=(Structure(id="B1", kind="basin", point=(50.4, 50)), Structure(id="O1", kind="outfall", point=(90, 50))),
    runs=(Run(id="R1", start="B1", end="O1", via=((70, 55),)),),
)
INDEX = index_of(YARD)


def test_a_structure_is_picked_before_the_run_and_the_shot_under_it() -> None:
    assert pick(INDEX, (50.2, 50), 0.8) == ("B1", "S1", "R1")


def test_inside_a_house_the_house_is_picked_and_the_lot_is_not() -> None:
    assert pick(INDEX, (30, 25), 0.5) == ("building-1",)


def test_the_smaller_of_two_areas_comes_first() -> None:
    assert pick(INDEX, (15, 15), 0.5) == ("hardscape-1", "building-1")


def test_the_lot_line_is_picked_on_its_edge() -> None:
    assert pick(INDEX, (50, -9.7), 0.5) == ("boundary",)


def test_a_trunk_is_picked_anywhere_on_it() -> None:
    assert pick(INDEX, (81.5, 60), 0.5) == ("tree-1",)


def test_a_box_takes_what_is_wholly_inside() -> None:
    assert pick_box(INDEX, (95, 70), (45, 45)) == ("tree-1", "S1", "B1", "O1", "R1")
    assert pick_box(INDEX, (-1, -1), (39, 31)) == ("hardscape-1",)


def test_bends_of_a_run_are_vertices_and_its_ends_are_not() -> None:
    assert vertex_at(INDEX, ("R1",), (70.2, 55.1), 0.5) == Vertex("R1", 0)
    assert vertex_at(INDEX, ("R1",), (90, 50), 0.5) is None
    assert vertex_at(INDEX, ("building-1",), (40, 30), 0.5) == Vertex("building-1", 2)
    assert vertex_at(INDEX, (), (40, 30), 0.5) is None


def test_a_new_vertex_goes_in_where_the_leg_is() -> None:
    assert leg_at(INDEX, ("building-1",), (0.1, 12), 0.5) == OnLeg("building-1", 4, (0, 12))
    second = leg_at(INDEX, ("R1",), (80, 52.5), 0.5)
    assert second is not None
    assert second.insert == 1


def test_an_outline_that_crosses_itself_can_still_be_picked() -> None:
    bow = Job(obstacles=(Obstacle(id="bed-1", kind="bed", points=((0, 0), (10, 10), (10, 0), (0, 10))),))
    assert pick(index_of(bow), (9, 5), 0.2) == ("bed-1",)
