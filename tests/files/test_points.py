"""Points of a data collector as shots."""

from math import isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import EditError
from drainsketch.files.points import Columns, guessed_columns, read_points, shots_from
from drainsketch.job.edits.add import add_shots
from drainsketch.job.model import Job, Shot
from drainsketch.job.rules import job_faults
from tests.yards import drawn, shot


def taken(text: str, columns: Columns | None = None) -> list[tuple[tuple[float, float], float | None, str]]:
    read = read_points(text, columns or guessed_columns(text))
    assert read.faults == ()
    return [(s.point, s.elevation_ft, s.name) for s in shots_from(read)]


def test_north_comes_before_east_in_the_file_and_after_it_on_the_plan() -> None:
    assert taken("101,20.5,10.25,99.37,TOP BANK\n102,30,12,98.1,\n") == [
        ((10.25, 20.5), 99.37, "101 TOP BANK"),
        ((12.0, 30.0), 98.1, "102"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "Easting;Northing;Elev;Point\n10;20;99;7\n",
        "Z\tE\tN\tP\n99\t10\t20\t7\n",
        "Description,Point ID,Northing,Easting,Elevation\n,7,20,10,99\n",
        "\ufeffpoint,y,x,z\r\n\r\n7,20,10,99\r\n\r\n",
    ],
)
def test_headings_say_which_column_is_which(text: str) -> None:
    assert taken(text) == [((10.0, 20.0), 99.0, "7")]


def test_three_columns_without_a_heading_are_north_east_and_level() -> None:
    assert taken("20,10,99\n") == [((10.0, 20.0), 99.0, "")]


def test_columns_and_units_are_the_users_choice() -> None:
    columns = Columns(point=3, north=1, east=0, level=2, note=None, units="m")
    ((at, level, name),) = taken("3.048,6.096,30.48,A\n", columns)
    assert (at, level, name) == (pytest.approx((10.0, 20.0)), pytest.approx(100.0), "A")
    with pytest.raises(EditError, match="chosen twice"):
        read_points("1,2,3", Columns(north=1, east=1))


def test_every_faulty_line_is_named_and_the_others_come_in() -> None:
    text = (
        "1,20,10,99,a\n2,2x,10,99\n1,50,60,99\n\n4,20.004,10.003,98\n5,20,,99\n6,1,1,99999\n7,30,10,nan\n8,40,10,97\n"
    )
    read = read_points(text, Columns())
    assert [p.name for p in read.points] == ["1", "8"]
    assert read.faults == (
        "line 2: 2x is no northing; write a plain number like 512.25",
        "line 3: point 1 stands in line 1 already; delete one of the two",
        "line 5: it lies on the point of line 1; delete one of the two",
        "line 6: the easting is missing; write a plain number like 512.25",
        "line 7: an elevation of 99999 ft is out of reach; check the column and the units",
        "line 8: nan is no elevation; write a plain number like 512.25",
    )


def test_state_plane_figures_are_brought_onto_the_plan_and_it_is_said_by_how_much() -> None:
    read = read_points("1,612345.5,1204567.25,99\n2,612355.5,1204577.25,98\n3,12,15,98\n", Columns())
    assert (read.off_north_ft, read.off_east_ft) == (610_000, 1_200_000)
    assert [s.point for s in shots_from(read)] == [(4567.25, 2345.5), (4577.25, 2355.5)]
    assert read.faults == ("line 3: it lies more than 9 miles from the others; check the columns",)


def test_shots_come_into_a_job_with_fresh_ids() -> None:
    job = drawn(shot(0, 0, 99))
    after = add_shots(job, shots_from(read_points("1,20,10,99\n2,30,10,98", Columns())))
    assert [s.id for s in after.shots] == ["S1", "S2", "S3"]
    assert after.shots[1] == Shot(id="S2", point=(10.0, 20.0), elevation_ft=99.0, name="1")
    assert add_shots(job, ()) is job


@given(st.text(max_size=200) | st.text(alphabet='0123456789.,-;\t\neEnN"', max_size=200))
def test_any_text_gives_shots_that_a_job_holds_or_sentences(text: str) -> None:
    try:
        read = read_points(text, guessed_columns(text))
    except EditError as fault:
        assert str(fault)
        return
    job = add_shots(Job(), shots_from(read))
    assert list(job_faults(job)) == []
    assert all(isfinite(v) and abs(v) <= 50_000 for s in job.shots for v in s.point)
