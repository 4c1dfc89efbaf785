"""The water review in ``check --json``: it holds against its schema, and every number is the engine's."""

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from msgspec.structs import replace

from drainsketch.exports.report import check_report, json_text, report_schema
from drainsketch.files.jobfile import read_job
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.study import Study, study
from tests.test_review import SAMPLES
from tests.water.test_trench_wells import yard as dry_yard
from tests.water.wet_yards import ROOT, funnel, looked_at, with_structure

OLD = Path(__file__).parents[1] / "old_jobs" / "v3_corner_lot.drainjob"
SCHEMA = json.loads(json.dumps(report_schema("check")))


def printed(closer: Study) -> dict:
    report = json.loads(json_text(check_report(closer.whole, closer=closer)))
    jsonschema.Draft202012Validator(SCHEMA).validate(report)
    return report["water"]


def jobs() -> dict[str, Job]:
    found = {name: read_job(sample_jobs().joinpath(f"{name}.drainjob")) for name in SAMPLES}
    wet = {name: replace(job, rain=Rain(table=ROOT, return_period_yr=10.0)) for name, job in found.items()}
    return wet | {"old": read_job(OLD), "funnel": with_structure(funnel(), "B1", area_ft2=60_000.0)}


@pytest.mark.parametrize("name", [*SAMPLES, "old", "funnel"])
def test_numbers_are_those_of_the_engine(name: str) -> None:
    closer = study(analyse(jobs()[name]))
    water, told = closer.water, printed(closer)
    assert [row["inlet"] for row in told["arrivals"]] == list(water.arrivals)
    for row in told["arrivals"]:
        a = water.arrivals[row["inlet"]]
        assert [row[key] for key in ("area_ft2", "c", "storm_c", "flow_cfs")] == [
            a.area_ft2,
            a.c,
            a.storm_c,
            a.flow_cfs,
        ]
        assert (row["rain"]["minutes"], row["rain"]["intensity_in_h"]) == (a.minutes, a.rain.value)
        assert sum(share["area_ft2"] for share in row["shares"]) == pytest.approx(row["area_ft2"])
        assert sum(s["area_ft2"] * s["c"] for s in row["shares"]) == pytest.approx(row["c"] * row["area_ft2"])
        if row["way"]:
            assert sum(leg["minutes"] for leg in row["way"]) <= row["rain"]["minutes"] + 1e-9
        # rational method, 1 in/h on 1 ft2 is 1 / 43,200 cfs
        assert row["flow_cfs"] == pytest.approx(
            row["storm_c"] * row["rain"]["intensity_in_h"] * row["area_ft2"] / 43_200
        )
    assert [row["run"] for row in told["runs"]] == list(water.pipes)
    for row in told["runs"]:
        p, line = water.pipes[row["run"]], water.lines.get(row["run"])
        same = ("area_ft2", "ca_ft2", "flow_cfs", "n", "slope", "full_cfs", "depth_ft", "velocity_ft_s", "needs_in")
        assert [row[key] for key in same] == [getattr(p, key) for key in same]
        assert row["carries"] == (None if p.full_cfs is None else p.carries)
        assert row["inside_in"] == pytest.approx(12 * p.diameter_ft)
        assert (row["hgl_up_ft"], row["hgl_down_ft"]) == ((line.hgl_ft[-1], line.hgl_ft[0]) if line else (None, None))
    assert [row["inlet"] for row in told["grates"]] == list(water.grates)
    for row in told["grates"]:
        g = water.grates[row["inlet"]]
        assert row == {key: getattr(g, key) for key in g.__struct_fields__}
    assert [(e["structure"], e["flow_cfs"], e["ends"], e["at"]) for e in told["escapes"]] == [
        (e.structure, e.flow_cfs, e.ends, e.at) for e in water.escapes.values()
    ]
    assert [row["structure"] for row in told["heads"]] == list(water.heads)
    for row in told["heads"]:
        h = water.heads[row["structure"]]
        assert (row["level_ft"], row["rim_ft"], row["k"]) == (h.level_ft, h.rim_ft, h.k)
        assert row["freeboard_ft"] == pytest.approx(row["rim_ft"] - row["level_ft"])
    assert told["unmeasured"] == list(water.unmeasured)
    assert [row["outfall"] for row in told["wells"]] == list(water.wells)
    assert [row["id"] for row in told["stores"]] == list(water.stores)
    for row in told["stores"]:
        assert row["holds_ft3"] == pytest.approx(row["pipe_ft3"] + row["stone_ft3"] + row["basin_ft3"])


def test_a_trench_without_an_outlet_tells_what_it_holds_and_what_it_lacks() -> None:
    closer = looked_at(dry_yard())
    well, (row,) = closer.water.wells["O1"], printed(closer)["wells"]
    same = (
        "room_ft3",
        "pit_ft3",
        "floor_ft2",
        "spill_ft",
        "wet_ft",
        "drawdown_h",
        "needs_length_ft",
        "needs_trench_ft",
    )
    assert [row[key] for key in same] == [getattr(well, key) for key in same]
    assert (row["stone"], row["pit_ft3"], row["needs_length_ft"]) == (["R1"], 0.0, None)
    assert row["holds_ft3"] > row["room_ft3"] and row["needs_trench_ft"] >= 1


def test_the_storm_says_what_it_is_and_where_it_comes_from() -> None:
    told = printed(study(analyse(read_job(OLD))))
    assert told["storm"] == {
        "lacking": "",
        "return_period_yr": 10.0,
        "intensity_in_h": None,
        "source": "",
        "table_source": "Invented for this yard",
    }
    (b1,) = (row for row in told["arrivals"] if row["inlet"] == "B1")
    # 2,400 ft2 of 0.35 in 8 min, as typed; depth straight in logarithms between 0.57 in (5 min) and 0.90 in (10 min):
    # 0.57 x (8/5)^0.65896 = 0.7769 in, 5.827 in/h
    assert b1["rain"] == {
        "minutes": 8.0,
        "intensity_in_h": pytest.approx(5.827, abs=0.002),
        "beyond": "",
        "nearest_min": None,
    }
    assert b1["shares"][0] == {"surface": "typed", "area_ft2": 2_400.0, "c": 0.35, "source": "typed for this inlet"}
    assert b1["way"] == []
    assert told["runs"][0]["n"] == 0.016  # the job's own, for perforated corrugated pipe
    levels = {row["run"]: row["hgl_down_ft"] for row in told["runs"]}
    assert levels["R8"] >= 95.0  # water stands at the outfall


def test_without_rain_only_what_is_lacking_is_told() -> None:
    told = printed(looked_at(funnel(Rain())))
    assert told["storm"]["lacking"] == "rain"
    assert [told[key] for key in ("arrivals", "runs", "grates", "heads", "escapes", "wells", "unmeasured")] == [[]] * 7
    assert printed(looked_at(funnel(Rain(table=ROOT))))["storm"]["lacking"] == "return period"


def test_a_review_without_the_closer_look_has_no_water() -> None:
    report = json.loads(json_text(check_report(analyse(funnel()))))
    jsonschema.Draft202012Validator(SCHEMA).validate(report)
    assert report["water"] is None


def test_the_command_line_prints_it() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "drainsketch", "check", str(OLD), "--json"], capture_output=True, text=True, check=False
    )
    assert done.stderr == ""
    report = json.loads(done.stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(report)
    assert {row["structure"] for row in report["water"]["heads"]} >= {"B1", "D1", "F2"}


def test_ground_past_every_inlet_and_what_the_largest_pipe_leaves_are_told() -> None:
    closer = looked_at(with_structure(funnel(), "B1", area_ft2=1_000_000.0, runoff_c=1.0))
    told = printed(closer)
    assert told["past_inlets_ft2"] == closer.water.past_ft2
    (row,) = told["runs"]
    assert row["needs_in"] == 0 and 0 < row["most_cfs"] < row["flow_cfs"]
    assert printed(looked_at(funnel()))["runs"][0]["most_cfs"] is None
    assert printed(looked_at(funnel(Rain())))["past_inlets_ft2"] is None
