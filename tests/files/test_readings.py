"""Rows of a level book pasted from a spreadsheet."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import EditError
from drainsketch.files.readings import parse_rows, setups_of
from drainsketch.job.units import parse_length_ft


def sights(text: str) -> list[list[tuple[str, str, float]]]:
    """Return (kind, point, reading) of the sights by setup."""
    return [[(s.kind, s.at, s.reading_ft) for s in one.sights] for one in setups_of(parse_rows(text))]


LOOP = [
    [("backsight", "BM1", 4.0), ("intermediate", "a", 5.0), ("foresight", "TP1", 6.0)],
    [("backsight", "TP1", 3.0), ("foresight", "BM1", 1.0)],
]


@pytest.mark.parametrize(
    "text",
    [
        "BM1\t4\t\t\na\t\t5\t\nTP1\t3\t\t6\nBM1\t\t\t1\n",
        "BM1,4\na,,5\nTP1,3,,6\nBM1,,,1",
        "BM1;4;;\r\na;;5;\r\nTP1;3;;6\r\n\r\nBM1;;;1\r\n",
        "Point\tBS\tIS\tFS\nBM1\t4\t\t\na\t\t5\t\nTP1\t3\t\t6\nBM1\t\t\t1\n",
        "FS,Remarks,Elevation,Station,Backsight,HI,Int.\n,nail,100,BM1,4,104,\n,,99,a,,,5\n6,,98,TP1,3,101,\n1,,100,BM1,,,",
        "Point,BS,FS,IS\nBM1,4,,\na,,,5\nTP1,,6,\nTP1,3,,\nBM1,,1,",
    ],
)
def test_columns_go_by_heading_or_by_the_usual_order_and_any_mark_parts_them(text: str) -> None:
    assert sights(text) == LOOP


def test_readings_of_all_kinds_stand_side_by_side() -> None:
    text = 'Point\tBS\tIS\tFS\nBM1\t4.37\na\t\t"4\' 4 7/16"""\nb\t\t52 3/8"\nc\t\t1.332 m\n'
    read = [r for one in sights(text) for _, _, r in one]
    # the inch is 1/12 ft, the foot 0.3048 m (NIST SP 811)
    assert read == pytest.approx([4.37, 4 + (4 + 7 / 16) / 12, (52 + 3 / 8) / 12, 1.332 / 0.3048])


def test_a_bare_number_is_meters_in_a_metric_job() -> None:
    (row,) = parse_rows("BM1,1.332", "m")
    assert row.readings["BS"] == pytest.approx(1.332 / 0.3048)


def test_distance_and_note_go_with_the_foresight_of_a_turning_point() -> None:
    (first, second) = setups_of(parse_rows("point,BS,IS,FS,dist,note\nBM1,4,,,30,nail\nTP1,3,,6,45,rock\n"))
    assert [(s.distance_ft, s.note) for s in first.sights] == [(30.0, "nail"), (45.0, "rock")]
    assert [(s.distance_ft, s.note) for s in second.sights] == [(None, "")]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "nothing to paste"),
        ("  \n\t\n", "nothing to paste"),
        ("Point,BS,IS,FS\n", "headings but no rows"),
        ("BM1,4\na,,x5\n", "row 2, column IS: x5: that is not a length"),
        ("Point,FS,BS\nBM1,,4\na,4' 14\",\n", "row 3, column FS: 4' 14\": after feet the inches stay under 12"),
        ("BM1;4,37\n", "row 1, column BS: 4,37: a comma can mean two things"),
        ("BM1,4\na,,5,6\n", "row 2, columns IS and FS: a point is read once"),
        ("BM1,4\nlost,,,\n", "row 2: lost has no reading"),
        ("Point,BS,Color\nBM1,4,red\n", "row 1, column 3: Color is no column of a level book"),
        ("Point,BS,FS,Backsight\nBM1,4\n", "row 1, column 4: BS stands twice"),
        ("BM1,4,,,30,note,more\n", "row 1, column 7: more stands beyond the last column"),
        ("BM1,4\n" + "a,,x\n" * 9, "and 6 more"),
    ],
)
def test_a_slip_names_row_and_column_and_nothing_is_taken(text: str, told: str) -> None:
    with pytest.raises(EditError) as caught:
        parse_rows(text)
    assert told in str(caught.value)


@given(st.text(max_size=300) | st.text(alphabet="BMISFS\t,;\n\"'1234567890./ -", max_size=300))
def test_any_text_is_understood_or_refused_with_a_sentence(text: str) -> None:
    try:
        rows = parse_rows(text)
    except EditError as fault:
        assert str(fault)
    else:
        assert sum(len(s.sights) for s in setups_of(rows)) == sum(len(r.readings) for r in rows)


@given(st.lists(st.integers(0, 2_500), min_size=1, max_size=20))
def test_what_a_book_writes_as_rows_is_read_back(hundredths: list[int]) -> None:
    text = "\n".join(f"p{i}\t\t{n / 100}" for i, n in enumerate(hundredths))
    assert [r.readings["IS"] for r in parse_rows(text)] == [parse_length_ft(f"{n / 100}") for n in hundredths]
