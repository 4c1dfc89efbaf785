"""Directions. Expected values follow from the definition of azimuth and quadrant bearing (elementary surveying)."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import LengthError
from drainsketch.job.bearings import along, azimuth_deg, format_bearing, parse_bearing_deg, unit_vector


@pytest.mark.parametrize(
    ("text", "azimuth"),
    [
        ("45", 45.0),
        ("45.5", 45.5),
        ("45°", 45.0),
        ("45 30", 45.5),
        ("360", 0.0),
        ("N45E", 45.0),
        ("n 45 30 e", 45.5),
        ("N 45°30' E", 45.5),
        ("S 45 E", 135.0),
        ("S10W", 190.0),
        ("N 10° W", 350.0),
        ("N 0 W", 0.0),
        ("S 36°52′12″ E", 180 - 36.87),
        ("n", 0.0),
        ("East", 90.0),
        ("due south", 180.0),
        ("W", 270.0),
        ("NE", 45.0),
        ("north west", 315.0),
        ("se", 135.0),
    ],
)
def test_a_typed_direction_becomes_an_azimuth(text: str, azimuth: float) -> None:
    assert parse_bearing_deg(text) == pytest.approx(azimuth, abs=1e-12)


@pytest.mark.parametrize(
    "text", ["", "x", "-45", "361", "N 91 E", "N 45 60 E", "E 45 N", "45 E", "nan", "1e2", "n" * 99]
)
def test_what_is_no_direction_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(LengthError, match="N 45 30 E"):
        parse_bearing_deg(text)


@given(st.integers(0, 3599))
def test_a_bearing_to_a_tenth_of_a_degree_reads_back(tenths: int) -> None:
    assert parse_bearing_deg(format_bearing(tenths / 10)) == pytest.approx(tenths / 10, abs=1e-9)


@given(st.floats(0, 359.999))
def test_a_direction_and_its_vector_agree(azimuth: float) -> None:
    east, north = unit_vector(azimuth)
    assert hypot(east, north) == pytest.approx(1)
    assert azimuth_deg(east, north) == pytest.approx(azimuth, abs=1e-9)


@given(st.text(max_size=12))
def test_any_text_is_a_direction_or_refused_in_words(text: str) -> None:
    try:
        assert 0 <= parse_bearing_deg(text) < 360
    except LengthError as fault:
        assert "write it like" in str(fault)


def test_vectors_along_the_axes_are_exact() -> None:
    assert [unit_vector(a) for a in (0, 90, 180, 270, 360)] == [(0, 1), (1, 0), (0, -1), (-1, 0), (0, 1)]
    assert format_bearing(270) == "W"
    assert format_bearing(359.999) == "N"
    assert along((1.0, 2.0), 90, 23.5) == (24.5, 2.0)


def test_a_bearing_is_written_with_the_letters_of_a_language() -> None:
    assert [format_bearing(a, "NESO") for a in (0, 90, 180, 270, 300, 190.5)] == [
        "N",
        "E",
        "S",
        "O",
        "N 60.0° O",
        "S 10.5° O",
    ]
