"""GeoJSON, read back by shapely. Rules: RFC 7946 sections 3.1.6 (rings), 4 (coordinates), 6.1 (foreign members)."""

import json
from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from shapely.geometry import shape

from drainsketch.exports.geojson import geojson_text, plan_geojson, write_geojson
from drainsketch.job.ask import area_ft2, is_closed, things
from drainsketch.job.model import Job
from drainsketch.review import analyse
from tests.exports.yards import SAMPLES, hostile, sample
from tests.strategies import jobs


@pytest.mark.parametrize("name", SAMPLES)
def test_every_thing_is_a_feature_of_its_true_size(name: str, tmp_path: Path) -> None:
    job, review = sample(name)
    write_geojson(job, review, tmp_path / "plan.geojson")
    read = json.loads((tmp_path / "plan.geojson").read_text(encoding="utf-8"))
    assert read["type"] == "FeatureCollection"
    assert "NOT longitude" in read["drainsketch"]["frame"]["coordinates"]
    assert "crs" not in read
    features = {f["id"]: f for f in read["features"] if "id" in f}
    assert set(features) == {t.id for t in things(job)}
    for thing in things(job):
        drawn = shape(features[thing.id]["geometry"])
        if is_closed(thing):
            assert drawn.geom_type == "Polygon"
            assert shapely.is_ccw(drawn.exterior)
            assert drawn.area == pytest.approx(area_ft2(thing.points), rel=1e-12)  # type: ignore[union-attr]


def test_levels_and_slopes_go_with_their_things() -> None:
    job, review = sample("corner-lot.drainjob")
    features = {f["id"]: f["properties"] for f in plan_geojson(job, review)["features"] if "id" in f}
    assert features["R1"]["slope"] == review.grades["R1"].slope
    assert features["B1"]["rim_ft"] == review.levels["B1"].rim_ft
    assert len([f for f in plan_geojson(job, review)["features"] if "id" not in f]) == len(review.crossings)


def test_bad_texts_stay_texts() -> None:
    job, review = hostile()
    text = json.dumps(plan_geojson(job, review), allow_nan=False)
    assert json.loads(text)["drainsketch"]["title"] == job.header.title


@settings(max_examples=30)
@given(jobs())
def test_any_job_is_written_and_every_geometry_is_one(job: Job) -> None:
    for feature in json.loads(geojson_text(job, analyse(job)))["features"]:
        drawn = shape(feature["geometry"])
        if drawn.geom_type == "Polygon" and drawn.is_valid:
            assert shapely.is_ccw(drawn.exterior)
