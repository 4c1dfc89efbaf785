"""A rainfall table in a text: the service's layout, plain tables, and everything that is not one, told with its place."""

import random
from time import monotonic

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import EditError
from drainsketch.files.rainfall import TAKEN_AS_INCHES, read_rain, read_rain_table
from drainsketch.job.rain import RainTable
from drainsketch.job.rain_rules import rain_faults
from drainsketch.resources import resource
from tests.water.rains import SERVED

PLAIN = (
    "Depth, in\nduration,2,10,25\n5 min,0.40,0.57,0.66\n15 min,0.81,1.16,1.34\n2 hr,1.80,2.56,2.94\n1 day,3.2,4.6,5.3\n"
)


def rows(table: RainTable) -> list[tuple[float, tuple[float | None, ...]]]:
    return [(r.duration_min, r.values) for r in table.rows]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_plain_table_however_it_is_parted(mark, end):
    read = read_rain("\ufeff" + PLAIN.replace(",", mark).replace("\n", end))
    assert (read.table.measure, read.table.return_periods_yr, read.told) == ("depth", (2, 10, 25), ())
    assert rows(read.table) == [
        (5, (0.40, 0.57, 0.66)),
        (15, (0.81, 1.16, 1.34)),
        (120, (1.80, 2.56, 2.94)),
        (1_440, (3.2, 4.6, 5.3)),
    ]


@pytest.mark.parametrize(
    ("heading", "periods"),
    [
        ("duration,2-yr,10-year,25 years", (2, 10, 25)),
        (",2,10.0,25", (2, 10, 25)),
        ("AEP,1/2,1/10,1/25", (2, 10, 25)),
        ("by duration for AEP:,'1/2,'1/10,'1/25", (2, 10, 25)),
        ("AEP,50%,10 %,4%", (2, 10, 25)),
        ("duration,2,10,25,,", (2, 10, 25)),
    ],
)
def test_return_periods_as_they_are_written(heading, periods):
    assert read_rain_table(PLAIN.replace("duration,2,10,25", heading)).return_periods_yr == periods


@pytest.mark.parametrize(
    ("written", "minutes"),
    [("5-min:", 5), ("5m", 5), ("5 minutes", 5), ("0.1 hr", 6), (".1h", 6), ("5 mins.", 5)],
)
def test_durations_as_they_are_written(written, minutes):
    assert read_rain_table(PLAIN.replace("5 min,0.40", f"{written},0.40")).rows[0].duration_min == minutes


@pytest.mark.parametrize(
    ("unit", "minutes"), [("min", [5, 60, 120]), ("hours", [300, 3_600, 7_200]), ("days", [7_200, 86_400, 90_720])]
)
def test_the_heading_may_name_the_unit_of_the_durations(unit, minutes):
    last = {"min": "2 hr", "hours": "5 day", "days": "63 d"}[unit]
    text = f"Intensity (in/hr)\nDuration ({unit}),2,10\n5,4.8,6.8\n60,1.5,2.1\n{last},1.45,2.05\n"
    assert [r.duration_min for r in read_rain_table(text).rows] == minutes


def test_gaps_stay_gaps():
    table = read_rain_table(PLAIN.replace("0.81,1.16", ",--").replace("5.3", "n/a"))
    assert rows(table)[1] == (15, (None, None, 1.34))
    assert rows(table)[3] == (1_440, (3.2, 4.6, None))


def test_what_nobody_wrote_shows_in_the_figures_and_is_told():
    bare = PLAIN.removeprefix("Depth, in\n")
    read = read_rain(bare)
    assert read.table.measure == "depth"
    assert read.told == (
        TAKEN_AS_INCHES,
        "the lines do not settle depth or intensity; the figures run as those of depth do",
    )
    hard = read_rain("duration,2,10\n5 min,4.8,6.8\n60 min,1.5,2.1\n")
    assert hard.table.measure == "intensity"


def test_millimeters_are_turned_into_inches_and_told():
    text = "Point precipitation frequency estimates (millimeters/hour)\nby duration for ARI (years):, 2,10\n5-min:, 127,254\n60-min:, 51,76.2\n"
    read = read_rain(text)
    assert rows(read.table) == [(5, (5.0, 10.0)), (60, (pytest.approx(2.00787, abs=1e-5), 3.0))]
    assert (read.table.measure, read.told) == ("intensity", ("millimeters were turned into inches",))


def test_a_place_in_indiana_is_no_inch():
    text = "Millbrook, IN\nDepth (mm)\nd,2\n5 min,25.4\n60 min,50.8\n"
    assert rows(read_rain_table(text)) == [(5, (1.0,)), (60, (2.0,))]


def test_bounds_below_the_estimates_are_left_out_and_told():
    block = SERVED[SERVED.index("by duration") : SERVED.index("Date/time")]
    title = "PRECIPITATION FREQUENCY ESTIMATES AT UPPER BOUND OF 90% CONFIDENCE INTERVAL\n"
    read = read_rain(SERVED.replace("Date/time", title + block.replace("0.553", "0.99") + "Date/time"))
    assert read.table == read_rain_table(SERVED)
    assert read.told == ("from line 35 on, bounds of the estimates are left out; the estimates above are used",)


def test_lines_round_the_table_say_where_it_comes_from():
    table = read_rain_table("Town manual; table 4\n" + PLAIN + '"Read by hand, 2020"\n')
    assert table.source == "Town manual; table 4; Read by hand, 2020"


@pytest.mark.parametrize("name", ["depth", "intensity"])
def test_the_shipped_examples_read_and_say_that_they_are_invented(name):
    read = read_rain(resource(f"rainfall/invented-{name}.csv").read_text(encoding="utf-8"))
    assert (read.table.measure, read.told) == (name, ())
    assert read.table.source.startswith("Invented example")
    assert "no real place" in read.table.source


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "there is no text"),
        ("\n ,, \n", "there is no text"),
        ("hello", "line 1: no row begins with a duration; write rows like"),
        ("5 min  0.4  0.5\n", "line 1: no row begins with a duration"),
        ("5 min,0.4\n", "line 1: there is no heading above the durations; write one like"),
        ("Depth\n5 min,0.4\n", "line 1: there are no return periods; write a heading"),
        (PLAIN.replace("10,25", "ten,25"), "line 2, column 3: ten is no return period; write years like 10"),
        (PLAIN.replace("10,25", "0,25"), "line 2, column 3: 0 is no return period"),
        (PLAIN.replace("10,25", "0%,25"), "line 2, column 3: 0% is no return period"),
        (PLAIN.replace("10,25", "10,10"), "line 2, 10-year: stands twice; delete one of the two"),
        (PLAIN.replace("10,25", "25,10"), "line 2, 10-year: stands after 25-year; put the rarer storms to the right"),
        (PLAIN.replace("0.57", "nan"), "line 3, column 3: nan is no amount of rain; write a plain number like 0.48"),
        (PLAIN.replace("0.57", "-0.57"), "line 3, column 3: -0.57 is no amount of rain"),
        (PLAIN.replace("0.57", "inf"), "line 3, column 3: inf is no amount of rain"),
        (PLAIN.replace("0.57", "0"), "line 3, column 3: 0 is no amount of rain"),
        (PLAIN.replace("0.57", "1e2"), "line 3, column 3: 1e2 is no amount of rain"),
        (PLAIN.replace("0.57", "1_0"), "line 3, column 3: 1_0 is no amount of rain"),
        (PLAIN.replace("0.57", "٣"), "line 3, column 3: ٣ is no amount of rain"),
        (PLAIN.replace(",", ";").replace("0.57", "0,57"), "line 3, column 3: 0,57 is no amount of rain"),
        (PLAIN.replace("5.3", "530"), "line 6, 25-year: 530 rains harder than 2.94 of 2-hr; check the two cells"),
        ("Depth, in\nd,2\n1 day,300\n2 days,310\n", "line 3, 2-year: 300 in is more than ever fell; check the figure"),
        (PLAIN.replace("15 min,0.81,", "15 min,"), "line 4: values for 2 of 3 return periods; give each a cell"),
        (PLAIN.replace("1.34", "1.34,1.5"), "line 4: values for 4 of 3 return periods"),
        (PLAIN.replace("15 min", "5 min"), "line 4: 5-min stands twice; delete one of the two"),
        (PLAIN.replace("15 min", "180 min"), "line 5: it stands below 3-hr; put the longer durations below"),
        (PLAIN.replace("15 min", "15"), "line 4, column 1: 15 has no unit; write 15 min, hr or days"),
        (PLAIN.replace("15 min", "0 min"), "line 4, column 1: 0 min is no duration of a rain"),
        (PLAIN.replace("1 day", "900 days"), "line 6, column 1: 900 days is no duration of a rain"),
        (PLAIN.replace("15 min", "soon"), "line 4, column 1: soon is no duration; write 15 min, 2 hr or 3 days"),
        (PLAIN.replace("15 min", "-15 min"), "line 4, column 1: -15 min is no duration"),
        (PLAIN.replace("0.81", "0.31"), "line 4, 2-year: 0.31 is less than 0.4 of 5-min; a longer rain brings no less"),
        (
            PLAIN.replace("0.81", "1.31"),
            "line 4, 10-year: 1.16 is less than 1.31 of 2-year; a rarer storm brings no less",
        ),
        (
            PLAIN.replace("Depth, in", "Intensity, in/h"),
            "line 2: the lines above say intensity, but the figures run as depth",
        ),
        (
            "Intensity, in/h\nd,2\n5 min,4\n60 min,5\n2 hr,1\n",
            "line 4, 2-year: 5 is more than 4 of 5-min; a longer rain is no harder",
        ),
        (
            "Intensity, in/h\nd,2\n5 min,4\n60 min,0.2\n2 hr,0.15\n",
            "line 4, 2-year: 0.2 gives less depth than 4 of 5-min",
        ),
        (
            "Rain, in\nd,2,10\n5 min,0.4,0.5\n",
            "line 2: nothing says whether this is depth or intensity; write 'depth, in'",
        ),
        ("Depth in mm and inches\nd,2\n5 min,4\n60 min,5\n", "line 1: the lines above the table name both"),
        (PLAIN + "duration,2,10,25\n5 min,1,2,3\n", "line 7, column 1: duration is no duration"),
        (SERVED + SERVED, "line 49, column 1: by duration for ARI (years): is no duration; paste one table at a time"),
        ("AEP,5 min,10 min\n2,0.4,0.6\n10,0.6,0.9\n", "line 1, column 2: 5 min is no return period; turn the table"),
        ("Depth, in\nd,2\n5 min,\n15 min,-\n", "line 2: the table has no values"),
        (PLAIN.replace("0.57", '"0.57'), "line 3: a cell goes on in the next line; look for a quote mark too many"),
        ("x" * 2_000_000, "the text has 2,000,000 characters; a rainfall table is a page of text"),
        ("PK\x03\x04\x00\x00stuff", "line 1: this is not text; save the table as CSV"),
        ("d,2\n5 min,0.4\n\x00\n", "line 3: this is not text"),
        ("d," + ",".join(str(n) for n in range(1, 40)) + "\n5 min,1\n", "line 1: 39 return periods; 20 are the most"),
        ("Depth\nd,2\n" + "".join(f"{n} min,{n}\n" for n in range(1, 80)), "line 63: more than 60 durations"),
    ],
)
def test_what_is_no_table_is_one_sentence_with_its_place_and_the_remedy(text, said):
    with pytest.raises(EditError) as fault:
        read_rain(text)
    assert said in str(fault.value)
    assert "\n" not in str(fault.value)
    assert len(str(fault.value)) < 250


def test_rounding_of_long_durations_is_no_fault():
    # 0.013 in/h for 45 days is 14.0 in, 0.009 for 60 days 13.0 in: the thousandths leave that open
    table = read_rain_table("Intensity (in/hr)\nd,2\n24-hr,0.150\n45-day,0.013\n60-day,0.009\n")
    assert len(table.rows) == 3


@given(st.integers(0, 2**32))
def test_a_torn_or_mangled_file_reads_or_says_why(seed):
    dice = random.Random(seed)
    text = list(SERVED if dice.random() < 0.5 else PLAIN)
    for _ in range(dice.randint(1, 12)):
        at = dice.randrange(len(text))
        text[at : at + dice.randint(0, 30)] = dice.choice(
            ["", ",", ";", "\t", "\n", '"', "9", "-", "nan", "\ud800", "é", "1/"]
        )
        if len(text) < 5:
            break
    try:
        table = read_rain_table("".join(text))
    except EditError as fault:
        assert "\n" not in str(fault)
    else:
        assert next(rain_faults(table), None) is None
        assert all(v is None or 0 < v <= 200 for r in table.rows for v in r.values)


@given(st.text(max_size=300))
def test_any_text_reads_or_says_why(text):
    try:
        read_rain(text)
    except EditError as fault:
        assert str(fault)


@pytest.mark.parametrize("filler", ["\t", " ", ",", "-", "(", '"', "in ", "5 ", "5", "\n", "a,1\n"])
def test_a_long_run_of_anything_is_answered_at_once(filler):
    started = monotonic()
    for before in ("", "Depth, in\nd,2\n5 min", "mm", "5"):
        with pytest.raises(EditError):
            read_rain(before + filler * (99_000 // len(filler)) + "x")
    assert monotonic() - started < 5


@pytest.mark.parametrize("heading", ["depth, in", "intensity, in/h", "Rainfall depth (inches)"])
def test_a_line_of_measure_and_unit_is_no_source(heading: str) -> None:
    table = read_rain_table(
        f"{heading}\nduration, 2, 10\n5 min, 0.4, 0.6\n"
        if "depth" in heading.lower()
        else f"{heading}\nduration, 2, 10\n5 min, 4, 6\n"
    )
    assert table.source == ""


# ---- the unit, where the head does not name it


@pytest.mark.parametrize("note", ["all figures in mm", "Figures are millimeters; invented"])
def test_a_note_below_the_table_may_name_the_unit(note: str) -> None:
    read = read_rain(f"d,2\n5 min,25.4\n60 min,50.8\n{note}\n")
    assert [row.values for row in read.table.rows] == [(1.0,), (2.0,)]  # an inch is 25.4 mm
    assert "millimeters were turned into inches" in read.told


def test_the_head_goes_before_a_note_and_a_note_that_names_both_settles_nothing() -> None:
    read = read_rain("Depth (mm)\nd,2\n5 min,25.4\n60 min,50.8\ninches were asked for\n")
    assert read.table.rows[0].values == (1.0,)
    read = read_rain("d,2\n5 min,0.4\n60 min,0.8\nturned from mm to inches, maybe\n")
    assert read.table.rows[0].values == (0.4,)
    assert read.told[0] == TAKEN_AS_INCHES


def test_a_table_without_a_unit_says_first_what_it_was_taken_as_and_what_to_write() -> None:
    read = read_rain("d,2\n5 min,0.4\n60 min,0.8\n")
    assert read.told[0] == TAKEN_AS_INCHES
    assert "write mm in the line above" in TAKEN_AS_INCHES
