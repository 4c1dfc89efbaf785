"""The drawing, read back with ezdxf and audited by it; sizes by hand.

Source of the unit code: $INSUNITS 2 is feet (DXF reference, header variables; from memory).
"""

import builtins
import io
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
from shapely import LineString

from drainsketch.errors import SheetError
from drainsketch.exports.dxf import plain_for_dxf, plan_dxf, write_dxf
from drainsketch.job.ask import length_ft, run_points, structures_by_id
from tests.exports.yards import BAD_TEXTS, SAMPLES, hostile, sample
from tests.ponds import bowl_study


def drawing_of(data: bytes) -> Any:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_drawing_is_sound_and_in_feet(name: str, tmp_path: Path) -> None:
    job, review = sample(name)
    write_dxf(job, review, tmp_path / "plan.dxf")
    drawing = ezdxf.readfile(tmp_path / "plan.dxf")  # type: ignore[attr-defined]
    audit = drawing.audit()
    assert not audit.errors and not audit.fixes
    assert drawing.header["$INSUNITS"] == 2
    assert drawing.dxfversion == "AC1024"


@pytest.mark.parametrize("name", SAMPLES)
def test_lines_keep_their_length_and_outlines_are_closed(name: str) -> None:
    job, review = sample(name)
    space = drawing_of(plan_dxf(job, review)).modelspace()
    by_id = structures_by_id(job)
    drawn = [line for line in space.query("LWPOLYLINE") if line.dxf.layer.startswith("run ")]
    for line, run in zip(drawn, job.runs, strict=True):
        assert line.dxf.layer == f"run {run.use}"
        assert not line.closed
        measured = LineString([p[:2] for p in line.get_points()]).length
        assert measured == pytest.approx(length_ft(run_points(run, by_id)), abs=1e-6)
    (lot,) = space.query('LWPOLYLINE[layer=="lot line"]')
    assert job.boundary is not None
    assert lot.closed
    np.testing.assert_allclose([p[:2] for p in lot.get_points()], job.boundary.points, atol=1e-6)
    shots = [tuple(p.dxf.location) for p in space.query("POINT")]
    np.testing.assert_allclose(shots, [(*s.point, s.elevation_ft) for s in review.shots], atol=1e-6)


def test_every_kind_has_its_layer_and_only_layers_in_use_are_made() -> None:
    job, review = sample("corner-lot.drainjob")
    drawing = drawing_of(plan_dxf(job, review))
    used = {entity.dxf.layer for entity in drawing.modelspace()}
    assert {"lot line", "run drain", "run solid", "basin", "outfall", "shot", "lettering drains"} <= used
    assert {f"service {s.kind}" for s in job.services} <= used
    assert used == {layer.dxf.name for layer in drawing.layers} - {"0", "Defpoints"}


def test_a_twelve_inch_basin_is_a_foot_square() -> None:
    job, review = sample("corner-lot.drainjob")
    space = drawing_of(plan_dxf(job, review)).modelspace()
    sides = []
    for square in space.query('LWPOLYLINE[layer=="basin"]'):
        xs = [p[0] for p in square.get_points()]
        sides.append(max(xs) - min(xs))
    expected = [(s.size_in or 12) / 12 for s in job.structures if s.kind == "basin"]
    assert sides == pytest.approx(expected)


@pytest.mark.parametrize("text", BAD_TEXTS)
def test_no_text_is_taken_for_a_control_code(text: str) -> None:
    plain = plain_for_dxf(text)
    assert "%%" not in plain and plain.isprintable()
    assert "^J" not in plain


def test_a_drawing_full_of_bad_texts_is_sound() -> None:
    drawing = drawing_of(plan_dxf(*hostile()))
    audit = drawing.audit()
    assert not audit.errors and not audit.fixes


def test_without_the_extra_package_the_command_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def without(name: str, *args: Any, **kwargs: Any) -> Any:
        if name == "ezdxf":
            raise ModuleNotFoundError(name)
        return real(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(SheetError, match="pip install ezdxf"):
        plan_dxf(*sample("corner-lot.drainjob"))


def test_contours_stand_at_their_levels_on_a_layer_of_their_own() -> None:
    job, review = sample("corner-lot.drainjob")
    drawing = drawing_of(plan_dxf(job, review, bowl_study()))
    lines = drawing.modelspace().query('LWPOLYLINE[layer=="contour"]')
    assert [line.dxf.elevation for line in lines] == [97.5, 98.0, 98.5, 99.0]
    (pond,) = drawing.modelspace().query('LWPOLYLINE[layer=="standing water"]')
    assert pond.closed
    assert pond.dxf.elevation == pytest.approx(97.48)
