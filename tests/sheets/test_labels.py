from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from shapely import LineString, Polygon, box

from drainsketch.sheets.labels import (
    KEEP_RANK,
    NEVER_DROPPED,
    PlacedLabel,
    brief,
    folded,
    lines_of,
    place_labels,
    place_signs,
)
from drainsketch.sheets.marks import Label, Sign

BOUNDS = (0.0, 0.0, 600.0, 500.0)
places = st.tuples(st.floats(40, 560), st.floats(40, 460))


def measure(label: Label) -> tuple[float, float]:
    lines = lines_of(label)
    return 5.5 * max(len(text) for text, _ in lines), 11.0 * len(lines)


def placed_at(
    *labels: Label, keep_clear: tuple[tuple[float, float, float, float], ...] = ()
) -> tuple[PlacedLabel, ...]:
    return place_labels(labels, lambda p: p, measure, keep_clear=keep_clear, bounds=BOUNDS)


def area(label: PlacedLabel) -> Polygon:
    return Polygon(label.box.corners())


labels = st.builds(
    lambda at, to, rank, text: Label(
        at=((at[0] + to[0]) / 2, (at[1] + to[1]) / 2) if rank > 2 else at,
        text=text,
        lettering="run",
        rank=rank,
        along=(at, to) if rank > 2 else None,
    ),
    places,
    places,
    st.integers(3, 8),
    st.sampled_from(["R1 · 4 in · 42' 6\" · 1.00%", "gas · 2' deep", "100.25", "patio"]),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(labels, max_size=30), st.lists(places, max_size=10))
def test_no_label_overlaps_another_or_a_symbol_or_leaves_the_bounds(
    many: list[Label], symbols: list[tuple[float, float]]
) -> None:
    clear = tuple((x - 6, y - 6, x + 6, y + 6) for x, y in symbols)
    placed = placed_at(*many, keep_clear=clear)
    shapes = [area(p) for p in placed]
    for i, shape in enumerate(shapes):
        assert box(*BOUNDS).buffer(1e-6).contains(shape)
        assert all(shape.intersection(other).area < 1e-6 for other in shapes[:i])
        assert all(shape.intersection(box(*rect)).area < 1e-6 for rect in clear)


@settings(max_examples=20, deadline=None)
@given(st.lists(places, min_size=1, max_size=40))
def test_structures_are_never_left_out(spots: list[tuple[float, float]]) -> None:
    many = [Label(at=p, text=f"B{i}\nrim 99.42", lettering="structure", rank=1) for i, p in enumerate(spots)]
    placed = placed_at(*many)
    assert {p.label.text.split("\n")[0] for p in placed} == {label.text.split("\n")[0] for label in many}


def test_a_lone_label_stands_in_full_beside_its_anchor_without_a_leader() -> None:
    (placed,) = placed_at(Label(at=(300, 250), text="B1\nrim 99.42", lettering="structure", rank=1))
    assert placed.leader is None
    assert placed.label.text == "B1\nrim 99.42"
    assert placed.box.nearest((300, 250)) != (300, 250)


def test_a_label_with_no_room_beside_it_gets_a_leader() -> None:
    wall = ((250.0, 200.0, 350.0, 300.0),)
    (placed,) = placed_at(Label(at=(300, 250), text="B1", lettering="structure", rank=1), keep_clear=wall)
    assert placed.leader is not None
    assert placed.leader[0] == (300, 250)
    assert area(placed).intersection(box(*wall[0])).area == 0


def test_a_label_of_high_rank_with_no_room_is_left_out() -> None:
    wall = ((0.0, 0.0, 600.0, 500.0),)
    assert placed_at(Label(at=(300, 250), text="99.10", lettering="shot", rank=8), keep_clear=wall) == ()


def test_words_along_a_leg_are_never_upside_down() -> None:
    for end in ((100, 250), (500, 250), (300, 450), (300, 50), (100, 60), (500, 440)):
        label = Label(at=((300 + end[0]) / 2, (250 + end[1]) / 2), text="gas", lettering="run", along=((300, 250), end))
        (placed,) = placed_at(label)
        assert -90 < placed.box.angle_deg <= 90


def test_an_upright_label_is_folded_between_its_parts_and_shortened_to_the_first() -> None:
    label = Label(at=(5, 0), text="R1 · 4 in · 42' · 1.00%", lettering="run", along=((0, 0), (10, 0)))
    assert folded(label).text == "R1 · 4 in\n42' · 1.00%"
    assert folded(label).along is None
    assert brief(label).text == "R1"


def test_a_label_covers_no_pipe_while_there_is_room_aside() -> None:
    pipes = [((0.0, y), (600.0, y)) for y in (238.0, 250.0, 262.0)] + [((x, 0.0), (x, 500.0)) for x in (280.0, 320.0)]
    label = Label(at=(300, 250), text="F1\ninv 97.54", lettering="structure", owner="F1", rank=1)
    (placed,) = place_labels([label], lambda p: p, measure, bounds=BOUNDS, pipes=pipes)
    assert placed.label.text == label.text
    assert not any(area(placed).intersects(LineString(pipe)) for pipe in pipes)


def test_a_run_is_rather_said_in_full_on_a_leader_than_in_brief() -> None:
    wall = ((200.0, 200.0, 400.0, 300.0),)
    label = Label(
        at=(300, 250), text="R1 · 4 in · 42' · 1.00%", lettering="run", rank=3, along=((295, 250), (305, 250))
    )
    (placed,) = placed_at(label, keep_clear=wall)
    assert placed.leader is not None
    assert placed.label.text == folded(label).text


def test_a_structure_in_brief_is_its_id_and_a_long_name_is_cut() -> None:
    structure = Label(at=(0, 0), text="B3 Front basin\nrim 99.42", lettering="structure", owner="B3", rank=1)
    assert brief(structure).text == "B3"
    assert len(brief(Label(at=(0, 0), text="W" * 60, lettering="place")).text) < 30


def test_flags_at_one_spot_are_moved_apart_with_leaders() -> None:
    flags = [Sign(at=(300, 250), symbol="crossing", text=str(i)) for i in range(8)]
    placed = place_signs(flags, lambda p: p, lambda _: 20.0, keep_clear=(), bounds=BOUNDS)
    shapes = [box(x - 10, y - 10, x + 10, y + 10) for x, y in (p.at for p in placed)]
    assert len(placed) == 8
    assert all(a.intersection(b).area == 0 for i, a in enumerate(shapes) for b in shapes[:i])
    assert placed[0].leader is None
    assert all(p.leader and p.leader[0] == (300, 250) for p in placed[1:])


def test_the_same_labels_are_placed_alike_whichever_way_the_y_axis_runs() -> None:
    label = Label(at=(300, 250), text="B1", lettering="structure", rank=1)
    down = place_labels([label], lambda p: (p[0], 500 - p[1]), measure, keep_clear=(), bounds=BOUNDS)
    assert down[0].box.x == placed_at(label)[0].box.x


def test_the_ranks_stand_in_order() -> None:
    assert NEVER_DROPPED < KEEP_RANK


def test_words_nearer_to_another_spot_than_to_their_own_are_left_out() -> None:
    """The only room is a strip from 150 to 280, 50 to the right: words for another spot at 200 there, but not for one far away."""
    label = Label(at=(100, 250), text="exposed, top 94.91", lettering="shot", rank=KEEP_RANK)

    def room(low: float, high: float) -> tuple[tuple[float, float, float, float], ...]:
        beside = ((0.0, 0.0, low, 500.0), (high, 0.0, 600.0, 500.0))
        return (*beside, (low, 0.0, high, 200.0), (low, 300.0, high, 500.0))

    (placed,) = placed_at(label, keep_clear=room(150.0, 280.0))
    assert placed.leader is not None
    assert placed_at(replace(label, not_of=((200, 250),)), keep_clear=room(150.0, 280.0)) == ()
    assert placed_at(replace(label, not_of=((590, 20),)), keep_clear=room(150.0, 280.0)) != ()
    assert placed_at(label, keep_clear=room(230.0, 380.0)) != ()
    assert (
        placed_at(replace(label, not_of=((590, 20),)), keep_clear=room(230.0, 380.0)) == ()
    )  # too far to be told whose it is
    (near,) = placed_at(replace(label, not_of=((300, 250),)))  # beside its own spot it stays
    assert near.leader is None
