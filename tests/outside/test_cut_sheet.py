"""The arithmetic of cut sheets against published examples."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.levelling import LaidReading, Laying
from drainsketch.job.units import format_length, format_reading
from drainsketch.network.cutsheet import cut_sheet
from drainsketch.network.laid import invert_read
from drainsketch.network.results import FlowRun, Grade, Profile


def grade_of(invert_down_ft: float, slope: float, length_ft: float, bed_ft: float = 0.0, top_ft: float = 0.0) -> Grade:
    return Grade(
        run_id="R1",
        length_ft=length_ft,
        slope=slope,
        invert_up_ft=invert_down_ft + slope * length_ft,
        invert_down_ft=invert_down_ft,
        inside_in=4.0,
        outside_in=4.2,
        top_above_invert_ft=top_ft,
        bottom_below_invert_ft=bed_ft,
        least_cover_ft=1.0,
        least_cover_station_ft=0.0,
        greatest_cover_ft=2.0,
        least_cut_ft=1.0,
        greatest_cut_ft=2.0,
        greatest_cut_station_ft=0.0,
    )


def flow_of(length_ft: float) -> FlowRun:
    return FlowRun("R1", "B1", "O1", ((length_ft, 0.0), (0.0, 0.0)), length_ft, True)


def profile_of(*ground: tuple[float, float]) -> Profile:
    s, z = (np.array(column) for column in zip(*ground, strict=True))
    return Profile("R1", s, s, 0 * s, z, np.zeros(len(s), dtype=bool))


def test_a_published_sewer_stakeout_gives_the_same_inverts_and_cuts() -> None:
    """NAVEDTRA 14070, Engineering Aid 1, chapter 10, sewer stakeout (figure 10-19).

    The invert out of the inlet at station 9+00 is 122.87 and the pipe falls at 2.18 percent, so at 8+50 it is
    122.87 - 1.09 = 121.78. Hub tops of 126.94 and 127.33 are marked C 4.07 and C 5.55 to the invert.
    """
    grade = grade_of(invert_down_ft=121.78, slope=0.0218, length_ft=50.0)
    sheet = cut_sheet(Laying(interval_ft=50.0), "ft", flow_of(50.0), profile_of((0.0, 127.33), (50.0, 126.94)), grade)
    down, up = sheet.rows
    assert (down.station_ft, up.station_ft) == (0.0, 50.0)
    assert up.invert_ft == pytest.approx(122.87)
    assert (round(up.cut_ft, 2), round(down.cut_ft, 2)) == (4.07, 5.55)


def test_a_published_levelling_example_gives_the_reading_for_a_level() -> None:
    """Differential-levelling course notes: BM 820.00, backsight 8.42, HI 828.42, foresight 1.20 on the point at 827.22."""
    grade = grade_of(invert_down_ft=827.22, slope=0.01, length_ft=50.0)
    laying = Laying(height_ft=820.00 + 8.42)
    row = cut_sheet(laying, "ft", flow_of(50.0), profile_of((0.0, 830.0), (50.0, 830.0)), grade).rows[0]
    assert row.reading_ft is not None
    assert format_reading(row.reading_ft, "ft") == "1.20 ft"
    read = LaidReading(id="laid-1", run="R1", station_ft=0.0, reading_ft=1.20, height_ft=828.42)
    assert invert_read(read, grade) == pytest.approx(827.22)


# hundredths of a foot as eighths of an inch, as carpenters' and surveyors' tables print it; from memory
TABLE = {
    "0.01": "0' 0 1/8\"",
    "0.02": "0' 0 1/4\"",
    "0.03": "0' 0 3/8\"",
    "0.04": "0' 0 1/2\"",
    "0.05": "0' 0 5/8\"",
    "0.06": "0' 0 3/4\"",
    "0.07": "0' 0 7/8\"",
    "0.08": "0' 1\"",
    "0.17": "0' 2\"",
    "0.25": "0' 3\"",
    "0.50": "0' 6\"",
    "0.75": "0' 9\"",
    "0.99": "0' 11 7/8\"",
    "1.00": "1' 0\"",
    "4.07": "4' 0 7/8\"",
    "5.55": "5' 6 5/8\"",
}


@pytest.mark.parametrize("feet", TABLE)
def test_hundredths_of_a_foot_are_written_as_the_printed_table_has_them(feet: str) -> None:
    assert format_length(float(feet), "ft-in") == TABLE[feet]


@given(st.floats(min_value=-300, max_value=300))
def test_feet_inches_and_eighths_carry_over_and_are_never_more_than_a_sixteenth_off(feet: float) -> None:
    text = format_length(feet, "ft-in")
    sign = -1 if text.startswith("-") else 1
    whole, inches = text.lstrip("-").removesuffix('"').split("' ")
    parts = inches.split(" ")
    value = sum((Fraction(p) for p in parts), Fraction(0))
    assert value < 12
    assert all("/" not in p or (0 < Fraction(p) < 1 and Fraction(p).denominator in (2, 4, 8)) for p in parts)
    assert abs(sign * (12 * int(whole) + value) - 12 * Fraction(feet)) <= Fraction(1, 16)
