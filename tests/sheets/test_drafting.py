"""The hand of the drawn details: notes kept apart, dimensions, hatches within their region, lines cut at a window."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.sheets.closeup import Window, cut_out
from drainsketch.sheets.detail_scale import detail_bar, detail_scales, scale_words
from drainsketch.sheets.drafting import SOLID, bounds, dimension, spread
from drainsketch.sheets.hatches import PATTERNS, hatched, region_of
from drainsketch.sheets.marks import Band, Disc, Stroke
from drainsketch.sheets.profile_picture import Drawn
from drainsketch.sheets.scale import Scale
from drainsketch.wording import Words

BOXES = st.lists(st.tuples(st.floats(-500, 500), st.floats(5, 40)), min_size=1, max_size=20)


@given(BOXES)
def test_notes_are_kept_apart_in_their_order(boxes: list[tuple[float, float]]) -> None:
    wanted, heights = zip(*sorted(boxes), strict=True)
    found = spread(wanted, heights, gap=2.0)
    for i in range(len(found) - 1):
        assert found[i + 1] - found[i] >= (heights[i] + heights[i + 1]) / 2 + 2.0 - 1e-6


def test_notes_with_room_stay_where_they_belong_and_others_share_the_way() -> None:
    assert spread([0.0, 50.0], [10.0, 10.0]) == [0.0, 50.0]
    # three of 10 with gaps of 2 about 0: -12, 0, 12
    assert spread([0.0, 0.0, 0.0], [10.0, 10.0, 10.0], gap=2.0) == pytest.approx([-12.0, 0.0, 12.0])


def test_arrows_stand_outside_a_short_dimension() -> None:
    low, high = bounds(dimension((0.0, 0.0), (0.0, 4.0)))[1::2]
    assert low < 0.0
    assert high > 4.0
    assert bounds(dimension((0.0, 0.0), (0.0, 40.0)))[1::2] == (0.0, 40.0)
    heads = [p for p in dimension((0.0, 0.0), (0.0, 40.0)) if isinstance(p, Drawn) and p.style == SOLID]
    assert {p.points[0] for p in heads} == {(0.0, 0.0), (0.0, 40.0)}


@pytest.mark.parametrize("material", PATTERNS)
def test_a_hatch_stays_within_its_region_and_off_the_pipe(material: str) -> None:
    pipe = shapely.Point(30.0, 20.0).buffer(10.0)
    region = region_of(0.0, 0.0, 60.0, 40.0, pipe)
    pieces = hatched(material, region)
    assert len(pieces) > 3
    x0, y0, x1, y1 = bounds(pieces)
    assert min(x0, y0) >= -1e-6
    assert x1 <= 60.0 + 1e-6
    assert y1 <= 40.0 + 1e-6
    for piece in pieces:
        if isinstance(piece, Drawn):
            assert shapely.LineString(piece.points).intersection(pipe.buffer(-0.1)).length < 0.5


def test_what_is_drawn_close_up_ends_at_the_edge_of_its_window() -> None:
    window = Window((5.0, 5.0), 10.0, 8.0, Scale(4.0))  # 180 x 144 pt, x from 0, y from 1 to 9
    marks = (
        Stroke(((-50.0, 5.0), (50.0, 5.0)), "run.solid"),
        Stroke(((2.0, -20.0), (40.0, -20.0), (40.0, 40.0), (2.0, 40.0)), "building", closed=True),
        Band(((5.0, -30.0), (5.0, 30.0)), 3.0, "hand-dig zone"),
        Disc((10.0, 9.0), 2.0, "trunk"),
        Stroke(((60.0, 60.0), (70.0, 70.0)), "fence"),
    )
    drawn = cut_out(marks, window)
    x0, y0, x1, y1 = bounds(drawn)
    assert (x0, y0, x1, y1) == pytest.approx((0.0, 0.0, 180.0, 144.0))
    line = drawn[0]
    assert [x for spot in line.points for x in spot] == pytest.approx([0.0, 72.0, 180.0, 72.0])
    # the band of 3 ft is 54 pt wide
    fill = next(d for d in drawn if d.closed and bounds([d])[2] - bounds([d])[0] == pytest.approx(54.0))
    assert bounds([fill])[1::2] == pytest.approx((0.0, 144.0))


def test_scales_are_those_of_a_rule_and_their_bars_are_true() -> None:
    assert [scale_words(s, Words("en", "ft")) for s in detail_scales("ft")][:4] == [
        "1 in = 1 ft",
        "3/4 in = 1 ft",
        "1/2 in = 1 ft",
        "3/8 in = 1 ft",
    ]
    assert [scale_words(s, Words("es", "m")) for s in detail_scales("m")][:2] == ["1:10", "1:20"]
    for scale in detail_scales("ft"):
        bar = detail_bar(scale)
        assert bar.part_pt == pytest.approx(bar.part * 72 / scale.ft_per_in)
    for scale, n in zip(detail_scales("m"), (10, 20, 25, 50, 100, 200), strict=True):
        bar = detail_bar(scale)
        assert bar.part_pt == pytest.approx(bar.part * 1000 / n / 25.4 * 72)
        assert bar.check == f"{2 * bar.part * 1000 / n:g} mm"
        assert 30 <= bar.part_pt <= 90
