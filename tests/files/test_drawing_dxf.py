"""DXF drawings written by ezdxf, sound and hostile; sizes by hand."""

from math import hypot, pi
from pathlib import Path
from typing import Any

import pytest

from drainsketch.errors import DrawingError
from drainsketch.files import drawing, drawing_dxf
from drainsketch.files.drawing_place import Fitted, backdrop_of, in_feet, largest_outline, placed
from drainsketch.files.drawing_read import read_drawing
from drainsketch.job.ask import area_ft2, length_ft
from drainsketch.job.model import Job
from tests.files.drawings import LOT, dxf, lot_dxf


def taken(path: Path, **how: Any) -> Fitted:
    return in_feet(read_drawing(path), "ft-in", **how)


def lines(path: Path, draw: Any) -> Any:
    return read_drawing(dxf(path, draw)).lines


@pytest.mark.parametrize(
    ("units", "scale"), [(2, 1.0), (1, 12.0), (6, 0.3048), (4, 304.8), (5, 30.48), (21, 0.3048 * 3937 / 1200)]
)
def test_the_same_lot_in_any_unit_is_the_same_in_feet(tmp_path: Path, units: int, scale: float) -> None:
    found = taken(lot_dxf(tmp_path / "lot.dxf", units, scale))
    assert found.size_ft == (pytest.approx(110), pytest.approx(84))
    assert [x.layer for x in found.lines] == ["lot", "house"]
    assert all(x.closed and len(x.points) == 4 for x in found.lines)
    assert found.told == ("Left out: 1 TEXT.",)


def test_without_units_it_is_taken_in_those_of_the_job_and_said(tmp_path: Path) -> None:
    read = read_drawing(lot_dxf(tmp_path / "lot.dxf", 0))
    assert in_feet(read, "ft").size_ft[0] == pytest.approx(110)
    metric = in_feet(read, "m")
    assert metric.size_ft[0] == pytest.approx(110 / 0.3048)
    assert "does not say its units; it is taken to be in meters" in metric.told[-1]
    assert in_feet(read, "m", "ft").size_ft[0] == pytest.approx(110)


def test_the_users_word_goes_before_what_the_drawing_says(tmp_path: Path) -> None:
    found = taken(lot_dxf(tmp_path / "lot.dxf", 4), asked="ft")
    assert found.size_ft[0] == pytest.approx(110)
    assert "says it is in millimeters; it is taken in feet" in found.told[-1]


def test_wrong_units_are_refused_before_anything_is_taken(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match=r"lot.dxf: in kilometers it is 68 miles across.*choose other units"):
        taken(lot_dxf(tmp_path / "lot.dxf", 7))
    with pytest.raises(DrawingError, match="choose other units"):
        taken(lot_dxf(tmp_path / "lot.dxf", 4, 0.01))


def test_curves_become_chords_near_the_curve(tmp_path: Path) -> None:
    def draw(space: Any, _: Any) -> None:
        space.add_circle((10, 20), 5)
        space.add_arc((0, 0), 8, 0, 90)
        space.add_lwpolyline([(0, 0, 0, 0, 1), (10, 0)])  # a half circle by its bulge
        space.add_spline([(0, 0, 0), (5, 5, 0), (10, 0, 0)])
        space.add_ellipse((0, 0), (6, 0), 0.5)

    circle, arc, bulge, spline, ellipse = lines(tmp_path / "c.dxf", draw)
    assert circle.closed and all(hypot(x - 10, y - 20) == pytest.approx(5, rel=3e-4) for x, y in circle.points)
    assert area_ft2(circle.points) == pytest.approx(25 * pi, rel=5e-3)
    assert length_ft(arc.points) == pytest.approx(4 * pi, rel=3e-3)
    assert not arc.closed
    assert length_ft(bulge.points) == pytest.approx(5 * pi, rel=3e-3)
    assert spline.points[0] == pytest.approx((0, 0), abs=1e-9) and spline.points[-1] == pytest.approx((10, 0), abs=1e-9)
    assert area_ft2(ellipse.points) == pytest.approx(18 * pi, rel=5e-3)
    assert all(len(x.points) < 400 for x in (circle, arc, bulge, spline, ellipse))


def test_blocks_are_taken_apart_turned_and_scaled(tmp_path: Path) -> None:
    def draw(space: Any, document: Any) -> None:
        inner = document.blocks.new("inner")
        inner.add_line((0, 0), (1, 0))
        outer = document.blocks.new("outer")
        outer.add_blockref("inner", (2, 0), dxfattribs={"rotation": 90})
        space.add_blockref("outer", (10, 10), dxfattribs={"xscale": 3, "yscale": 3, "layer": "trees"})

    (line,) = lines(tmp_path / "b.dxf", draw)
    assert line.points == (pytest.approx((16, 10)), pytest.approx((16, 13)))
    assert line.layer == "trees"


def test_rows_and_columns_of_a_block_are_all_there(tmp_path: Path) -> None:
    def draw(space: Any, document: Any) -> None:
        document.blocks.new("post").add_line((0, 0), (1, 0))
        ref = space.add_blockref("post", (0, 0))
        ref.dxf.row_count, ref.dxf.column_count, ref.dxf.row_spacing, ref.dxf.column_spacing = 3, 4, 10, 20

    found = lines(tmp_path / "b.dxf", draw)
    assert {x.points[0] for x in found} == {(20.0 * i, 10.0 * j) for i in range(4) for j in range(3)}


def test_levels_are_dropped_and_said(tmp_path: Path) -> None:
    def draw(space: Any, _: Any) -> None:
        space.add_line((0, 0, 5), (10, 0, 7))
        space.add_polyline3d([(0, 0, 1), (0, 10, 2), (5, 10, 3)])
        space.add_line((3, 3, 0), (3, 3, 9))  # upright: nothing of it in the plan

    found = read_drawing(dxf(tmp_path / "z.dxf", draw))
    assert [x.points for x in found.lines] == [((0, 0), (10, 0)), ((0, 0), (0, 10), (5, 10))]
    assert "LINE without a length in plan" in found.told[0]
    assert "3 lines had levels" in found.told[1]


def test_layers_that_are_off_and_what_is_no_line_are_counted(tmp_path: Path) -> None:
    def draw(space: Any, document: Any) -> None:
        document.layers.add("hidden").off()
        space.add_line((0, 0), (5, 5), dxfattribs={"layer": "hidden"})
        space.add_line((0, 0), (10, 0))
        space.add_point((1, 1))
        space.add_hatch()
        space.add_text("x")
        space.add_text("y")

    found = read_drawing(dxf(tmp_path / "x.dxf", draw))
    assert len(found.lines) == 1
    assert found.told == ("Left out: 2 TEXT, 1 HATCH, 1 LINE on a layer that is off, 1 POINT.",)


def test_a_block_within_itself_comes_to_an_end(tmp_path: Path) -> None:
    def draw(space: Any, document: Any) -> None:
        a, b = document.blocks.new("a"), document.blocks.new("b")
        a.add_line((0, 0), (1, 0))
        a.add_blockref("b", (1, 0))
        b.add_blockref("a", (1, 0))
        space.add_blockref("a", (0, 0))
        space.add_blockref("gone", (0, 0))

    found = read_drawing(dxf(tmp_path / "r.dxf", draw))
    assert len(found.lines) == 1
    assert "INSERT of a block within itself" in found.told[0]
    assert "INSERT of a block that is missing" in found.told[0]


def test_blocks_that_double_and_double_are_stopped(tmp_path: Path) -> None:
    def draw(space: Any, document: Any) -> None:
        document.blocks.new("b0").add_line((0, 0), (1, 0))
        for n in range(1, 7):
            block = document.blocks.new(f"b{n}")
            for i in range(30):
                block.add_blockref(f"b{n - 1}", (i, 0))
        space.add_blockref("b6", (0, 0))

    with pytest.raises(DrawingError, match=r"more than [\d,]+ (entities|lines).*leave layers out"):
        read_drawing(dxf(tmp_path / "bomb.dxf", draw))


def test_a_million_copies_are_refused_before_one_is_made(tmp_path: Path) -> None:
    def draw(space: Any, document: Any) -> None:
        document.blocks.new("post").add_line((0, 0), (1, 0))
        ref = space.add_blockref("post", (0, 0))
        ref.dxf.row_count, ref.dxf.column_count = 30_000, 30_000

    with pytest.raises(DrawingError, match="more than 100,000 entities"):
        read_drawing(dxf(tmp_path / "m.dxf", draw))


def test_too_many_lines_or_points_are_refused_with_the_layer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def draw(space: Any, _: Any) -> None:
        for i in range(30):
            space.add_lwpolyline([(i, 0), (i, 5), (i + 1, 9)], dxfattribs={"layer": "hatching"})

    path = dxf(tmp_path / "m.dxf", draw)
    monkeypatch.setattr(drawing, "MOST_LINES", 20)
    with pytest.raises(DrawingError, match=r"m.dxf, layer hatching: more than 20 lines"):
        read_drawing(path)
    monkeypatch.setattr(drawing, "MOST_POINTS", 40)
    with pytest.raises(DrawingError, match=r"m.dxf, layer hatching: more than 40 points"):
        read_drawing(path)


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "1e400"])
def test_what_is_no_number_is_left_out_and_counted(tmp_path: Path, number: str) -> None:
    def draw(space: Any, _: Any) -> None:
        space.add_line((0, 0), (123.25, 0))
        space.add_line((0, 0), (50, 50))
        space.add_circle((0, 0), 123.25)

    path = dxf(tmp_path / "n.dxf", draw)
    path.write_text(path.read_text().replace("123.25", number))
    found = read_drawing(path)
    assert [x.points for x in found.lines] == [((0, 0), (50, 50))]
    assert found.told[0].startswith("Left out:")


@pytest.mark.parametrize(
    "content",
    [b"", b"   \n", b"hello", b"AC1027\0\0\0", b"\x00" * 400, b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\nabc\n"],
)
def test_what_is_no_dxf_is_refused_in_words(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "bad.dxf"
    path.write_bytes(content)
    with pytest.raises(DrawingError, match=r"bad\.dxf"):
        read_drawing(path)


def test_half_a_file_is_refused_or_read_but_never_a_traceback(tmp_path: Path) -> None:
    whole = lot_dxf(tmp_path / "lot.dxf").read_bytes()
    for cut in range(200, len(whole), len(whole) // 40):
        path = tmp_path / "half.dxf"
        path.write_bytes(whole[:cut])
        try:
            read_drawing(path)
        except DrawingError as fault:
            assert "half.dxf" in str(fault)


def test_a_file_far_too_large_a_folder_and_one_that_is_not_there(tmp_path: Path) -> None:
    big = tmp_path / "big.dxf"
    with big.open("wb") as file:
        file.truncate(40_000_000)
    with pytest.raises(DrawingError, match=r"big\.dxf: the file has 40 MB"):
        read_drawing(big)
    (tmp_path / "d.dxf").mkdir()
    with pytest.raises(DrawingError, match=r"d.dxf: this is no file"):
        read_drawing(tmp_path / "d.dxf")
    with pytest.raises(DrawingError, match=r"gone.dxf: this file cannot be read"):
        read_drawing(tmp_path / "gone.dxf")
    with pytest.raises(DrawingError, match=r"comes as .dxf or .geojson"):
        read_drawing(tmp_path / "plan.pdf")


def test_an_empty_drawing_says_what_was_left_out(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match=r"e.dxf: no lines are in it; Left out: 1 TEXT"):
        read_drawing(dxf(tmp_path / "e.dxf", lambda space, _: space.add_text("x")))


def test_where_it_is_put(tmp_path: Path) -> None:
    found = taken(lot_dxf(tmp_path / "far.dxf", off=(2_000_000.0, 600_000.0)))
    with pytest.raises(DrawingError, match=r"reach 2,000,110 ft from 0, 0.*lower left corner at 0, 0"):
        placed(found, "keep", Job())
    assert placed(found, "origin", Job())[0].points == tuple(LOT)
    middle = placed(found, "yard", Job())[0].points
    assert middle == tuple((x - 55, y - 42) for x, y in LOT)


def test_the_largest_closed_line_is_the_lot(tmp_path: Path) -> None:
    found = taken(lot_dxf(tmp_path / "lot.dxf"))
    assert largest_outline(found.lines, "lot.dxf") == tuple(LOT)
    open_ = taken(dxf(tmp_path / "open.dxf", lambda space, _: space.add_line((0, 0), (50, 0))))
    with pytest.raises(DrawingError, match=r"no line in it is closed; close the lot line there"):
        largest_outline(open_.lines, "open.dxf")


def test_a_line_too_long_for_a_job_comes_in_pieces_that_join(tmp_path: Path) -> None:
    def draw(space: Any, _: Any) -> None:
        space.add_lwpolyline([(i * 0.1, (i % 7) * 1.0) for i in range(12_001)])

    made = backdrop_of(read_drawing(dxf(tmp_path / "l.dxf", draw)).lines, "l.dxf")
    assert [len(x.points) for x in made.lines] == [5000, 5000, 2003]
    assert made.lines[0].points[-1] == made.lines[1].points[0]


def test_names_of_layers_are_made_plain(tmp_path: Path) -> None:
    def draw(space: Any, _: Any) -> None:
        space.add_line((0, 0), (9, 9), dxfattribs={"layer": "wide\u202ename " + "x" * 400})

    (line,) = lines(tmp_path / "n.dxf", draw)
    assert line.layer.startswith("widename x") and len(line.layer) <= 200


def test_without_the_library_it_says_how_to_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = lot_dxf(tmp_path / "lot.dxf")
    monkeypatch.setitem(__import__("sys").modules, "ezdxf", None)
    with pytest.raises(DrawingError, match="pip install ezdxf"):
        drawing_dxf.read_dxf(path, "lot.dxf")
