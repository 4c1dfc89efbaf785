import pytest

from drainsketch.job.edits.expose import expose
from drainsketch.review import analyse
from drainsketch.sheets.schedules import (
    crossing_schedule,
    cut_at,
    path_schedule,
    run_schedule,
    structure_schedule,
    takeoff_schedule,
)
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.wording import Words
from tests.sheets import yards
from tests.yards import basin, drawn, outfall, plane, run, service

JOB = yards.rich()
REVIEW = analyse(JOB)
WORDS = Words.of(JOB)


def test_every_structure_run_crossing_and_inlet_has_its_row() -> None:
    assert [r[0] for r in structure_schedule(JOB, REVIEW, WORDS).rows] == [s.id for s in JOB.structures]
    assert [r[0] for r in run_schedule(JOB, REVIEW, WORDS).rows] == [r.id for r in JOB.runs]
    assert [r[0] for r in crossing_schedule(REVIEW, WORDS).rows] == [str(c.number) for c in REVIEW.crossings]
    assert [r[0] for r in path_schedule(REVIEW, WORDS).rows] == [p.inlet for p in REVIEW.paths]


def test_rows_are_as_wide_as_their_heads() -> None:
    for schedule in (
        structure_schedule(JOB, REVIEW, WORDS),
        run_schedule(JOB, REVIEW, WORDS),
        crossing_schedule(REVIEW, WORDS),
        path_schedule(REVIEW, WORDS),
        takeoff_schedule(REVIEW, WORDS),
    ):
        assert {len(row) for row in schedule.rows} <= {1, len(schedule.columns)}


def test_runs_are_listed_the_way_the_water_runs() -> None:
    rows = {row[0]: row[1] for row in run_schedule(JOB, REVIEW, WORDS).rows}
    assert rows["R6"] == "J1 → O1"  # drawn from the outfall


def test_a_service_of_unknown_depth_is_to_be_exposed_first() -> None:
    rows = [row for row in crossing_schedule(REVIEW, WORDS).rows if "E1" in row[3]]
    assert rows
    assert all("expose it first" in row for row in rows)


def test_a_crossing_says_how_far_its_depth_may_be_off_and_at_which_depths_the_pipe_clears_it() -> None:
    """Pipe from 96.59 to 96.94 under ground at 100.00; gas 2 in thick, 1 ft kept: clear with its top deeper than 4.41 ft or shallower
    than 100 - 96.941 - 1 - 0.167 = 1.89 ft."""
    ground = plane(lambda x, y: 100.0)
    pipe = (basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=97.0, end_invert_ft=96.4))
    line = service("gas", (40, -30), (40, 30), size_in=2.0, depth_top_ft=1.5, known_by="marked", depth_error_ft=0.25)
    job = drawn(*ground, *pipe, line)
    words = Words.of(job, "en")
    words.units = "ft"
    (row,) = crossing_schedule(analyse(job), words).rows
    assert row[4:8] == ("1.50 ft ±0.25 ft", "marked", "3.06 ft", "1.39 ft under it; expose it first")
    assert row[8] == "over 4.41 ft or under 1.89 ft deep"
    (row,) = crossing_schedule(analyse(expose(job, "gas-1", (40, 0), 98.6)), words).rows
    assert row[4:6] == ("1.40 ft ±0.10 ft", "exposed")
    assert row[7] == "1.49 ft under it"
    (row,) = crossing_schedule(analyse(expose(job, "gas-1", (40, 20), 98.6)), words).rows
    assert row[5] == "not exposed here"
    assert row[7].endswith("under it; expose it first")


def test_the_hole_of_a_basin_reaches_under_its_sump_and_bed() -> None:
    basin = JOB.structures[0]
    levels = REVIEW.levels["B1"]
    assert levels.invert_out_ft is not None
    # 4 in sump and 2 in bed below the invert: half a foot
    assert cut_at(basin, JOB, REVIEW) == pytest.approx(levels.ground_ft - levels.invert_out_ft + 0.5)


def test_takeoff_quantities_turn_metric_with_the_job() -> None:
    def line(quantity: float, unit: str) -> TakeoffLine:
        return TakeoffLine(item="", group="pipe", quantity=quantity, unit=unit, rule="", arithmetic="")

    metric = Words("en", "m")
    # 1 ft = 0.3048 m, 1 yd3 = 0.764 554 9 m3, 1 short ton = 0.907 184 7 t (NIST SP 811 app. B.8, from memory)
    assert metric.counted(line(100, "ft")) == ("30.48", "m")
    assert metric.counted(line(100, "yd3")) == ("76.46", "m³")
    assert metric.counted(line(10, "ton")) == ("9.07", "tonnes")
    assert metric.counted(line(3, "each")) == ("3", "each")
    assert WORDS.counted(line(12.5, "ft")) == ("12.50", "ft")


def test_without_shots_schedules_show_a_dash() -> None:
    from msgspec.structs import replace

    job = replace(JOB, shots=())
    review = analyse(job)
    assert structure_schedule(job, review, WORDS).rows[0][2:] == ("–",) * 5
    assert run_schedule(job, review, WORDS).rows[0][4:] == ("–",) * 5


def test_the_cut_of_a_structure_says_to_where_it_goes_in_both_languages() -> None:
    for lang, head in (("en", "Cut to trench bottom"), ("es", "Corte al fondo de zanja")):
        words = Words.of(JOB, lang)
        assert structure_schedule(JOB, REVIEW, words).columns[-1].head == head
