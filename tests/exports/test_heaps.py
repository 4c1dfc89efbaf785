"""Spoil heaps and fill areas in files for others, read back."""

import io
from itertools import pairwise

import ezdxf
import pytest
from msgspec.structs import replace

from drainsketch.exports.dxf import plan_dxf
from drainsketch.exports.geojson import plan_geojson
from drainsketch.exports.report import check_report, takeoff_report
from drainsketch.job.model import Heap
from drainsketch.review import analyse
from drainsketch.study import study
from tests.exports.yards import sample

PILE = Heap(id="spoil-heap-1", kind="spoil heap", points=((40, 8), (52, 8), (52, 20), (40, 20)))
FILL = Heap(
    id="fill-area-1", kind="fill area", points=((4, 50), (4, 64), (20, 64), (20, 50)), fill_in=4.0, name="Side yard"
)


def test_the_drawing_has_a_layer_for_each() -> None:
    job = replace(sample("corner-lot.drainjob")[0], heaps=(PILE, FILL))
    space = ezdxf.read(io.StringIO(plan_dxf(job, analyse(job)).decode())).modelspace()  # type: ignore[attr-defined]
    for heap in job.heaps:
        (line,) = space.query(f'LWPOLYLINE[layer=="{heap.kind}"]')
        assert line.closed and [p[:2] for p in line.get_points()] == [pytest.approx(p) for p in heap.points]
    assert "Side yard, 4 in deep" in {text.dxf.text for text in space.query("TEXT")}


def test_geojson_has_them_as_polygons_counterclockwise() -> None:
    job = replace(sample("corner-lot.drainjob")[0], heaps=(PILE, FILL))
    features = {f["id"]: f for f in plan_geojson(job, analyse(job))["features"] if "id" in f}
    assert features["fill-area-1"]["properties"] == {
        **{"what": "heap", "id": "fill-area-1", "kind": "fill area", "fill_in": 4.0, "name": "Side yard"}
    }
    ring = features["fill-area-1"]["geometry"]["coordinates"][0]
    assert ring[0] == ring[-1]
    assert sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise(ring)) == 2 * 16 * 14


@pytest.mark.parametrize("lang", ["en", "es"])
def test_check_and_takeoff_speak_of_them(lang: str) -> None:
    job = replace(sample("corner-lot.drainjob")[0], heaps=(PILE, FILL))
    closer = study(analyse(job))
    kinds = {f.kind for f in check_report(closer.whole, lang, closer, None).findings}
    assert {"heap_over_service", "heaps_too_small"} & kinds
    rows = {line.key: line for line in takeoff_report(closer.whole, lang).lines}
    left, spread, off = (rows[item].quantity for item in ("spoil_left", "spoil_spread", "spoil_bank"))
    assert left == pytest.approx(spread + off)
    assert spread == pytest.approx(16 * 14 / 3 / 27)
