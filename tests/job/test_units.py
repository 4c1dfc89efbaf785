"""Typed lengths: read exactly, written exactly.

Sources of the expected values: inch 0.0254 m and foot 0.3048 m exactly (yard and pound agreement of 1959; NIST Special
Publication 811, appendix B). The rest is arithmetic on the text itself with Fractions.
"""

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import LengthError
from drainsketch.job.units import (
    format_area,
    format_inches,
    format_length,
    format_level,
    format_slope,
    parse_inches,
    parse_length_ft,
)

lengths = st.floats(-49_000, 49_000)


@pytest.mark.parametrize(
    ("text", "feet"),
    [
        ("12' 6 1/2\"", Fraction(301, 24)),
        ("12'6.5\"", Fraction(301, 24)),
        ("12'-6 1/2\"", Fraction(301, 24)),
        ("12' - 6-1/2\"", Fraction(301, 24)),
        ("12′ 6½″", Fraction(301, 24)),
        ("12’ 6 ½”", Fraction(301, 24)),
        ("12' 6 1⁄2''", Fraction(301, 24)),
        ("12ft 6.5in", Fraction(301, 24)),
        ("12 feet 6 1/2 inches", Fraction(301, 24)),
        ("12 FT. 6 1/2 IN.", Fraction(301, 24)),
        ("12' 6", Fraction(25, 2)),
        ("12'", Fraction(12)),
        ("12' 0\"", Fraction(12)),
        ("12.54", Fraction("12.54")),
        ("12.54 ft", Fraction("12.54")),
        ("12.54'", Fraction("12.54")),
        (".5", Fraction(1, 2)),
        ("12.", Fraction(12)),
        ("+12", Fraction(12)),
        ('150 1/2"', Fraction(301, 24)),
        ("6 1/2 in", Fraction(13, 24)),
        ('1/2"', Fraction(1, 24)),
        ('⅛"', Fraction(1, 96)),
        ("6⅞ in", Fraction(55, 96)),
        ("-1' 6\"", Fraction(-3, 2)),
        ("− 1' 6\"", Fraction(-3, 2)),
        ("3.82 m", Fraction("3.82") / Fraction("0.3048")),
        ("382 cm", Fraction("3.82") / Fraction("0.3048")),
        ("3820mm", Fraction("3.82") / Fraction("0.3048")),
        ("1 meter", 1 / Fraction("0.3048")),
        ("  12' 6\"\t", Fraction(25, 2)),
    ],
)
def test_a_typed_length_is_read_exactly(text: str, feet: Fraction) -> None:
    assert parse_length_ft(text) == float(feet)


def test_a_bare_number_is_in_the_unit_of_the_job() -> None:
    assert parse_length_ft("3.048", "m") == 10.0
    assert parse_length_ft("12' 6\"", "m") == 12.5
    assert parse_length_ft("3.048", "ft") == 3.048
    assert parse_inches("4") == 4.0
    assert parse_inches("6 1/2") == 6.5
    assert parse_inches("1' 2\"") == 14.0
    assert parse_inches("25.4", "m") == 1.0
    assert parse_inches("2.54 cm", "ft") == 1.0


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "nothing"),
        ("   ", "missing"),
        ("12' 14\"", "under 12"),
        ("12' 12", "under 12"),
        ("12.5' 6\"", "no inches"),
        ("12' -6\"", "negative"),
        ("--12", "not a length"),
        ("-", "not a length"),
        ("1,200", "comma"),
        ("3,82 m", "comma"),
        ("5 1/2", "needs its unit"),
        ('1/0"', "divided by 0"),
        ('6 9/8"', "under 1"),
        ("nan", "not a length"),
        ("inf", "not a length"),
        ("1e5", "not a length"),
        ("12 6", "not a length"),
        ("twelve", "not a length"),
        ("12\" 6'", "not a length"),
        ("50001", "50,000"),
        ("20 km", "not a length"),
        ("٣", "not a length"),
        ("²", "not a length"),
        ("9" * 5000, "too long"),
    ],
)
def test_a_slip_is_refused_with_what_was_typed_and_an_example(text: str, reason: str) -> None:
    with pytest.raises(LengthError) as caught:
        parse_length_ft(text)
    sentence = str(caught.value)
    assert reason in sentence
    assert "12' 6 1/2\"" in sentence
    assert text.strip()[:20] in sentence
    assert len(sentence) < 250


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    for read in (parse_length_ft, parse_inches):
        for units in ("ft-in", "ft", "m"):
            try:
                read(text, units)
            except LengthError as fault:
                assert "\n" not in str(fault)


@given(st.integers(-4_000_000, 4_000_000))
def test_every_eighth_of_an_inch_survives_writing_and_reading(eighths: int) -> None:
    assert parse_length_ft(format_length(eighths / 96, "ft-in")) == eighths / 96


@given(lengths)
def test_writing_in_feet_and_inches_rounds_to_the_eighth_and_no_further(feet: float) -> None:
    text = format_length(feet, "ft-in")
    again = parse_length_ft(text)
    assert again == float(Fraction(round(Fraction(feet) * 96), 96))
    assert format_length(again, "ft-in") == text


@given(lengths)
def test_writing_in_decimals_rounds_once_and_no_further(feet: float) -> None:
    hundredth = Decimal(feet).quantize(Decimal("0.01"), ROUND_HALF_EVEN)
    text = format_length(feet, "ft")
    assert parse_length_ft(text, "ft") == float(hundredth)
    assert format_length(parse_length_ft(text, "ft"), "ft") == text
    meters = (Decimal(feet) * Decimal("0.3048")).quantize(Decimal("0.01"))
    text = format_length(feet, "m")
    assert abs(Decimal(text.removesuffix(" m")) - meters) <= Decimal("0.01")
    assert format_length(parse_length_ft(text, "m"), "m") == text
    assert abs(parse_length_ft(text, "m") - feet) <= 0.005 / 0.3048 + 1e-9


@given(st.integers(-1_500_000, 1_500_000))
def test_every_centimeter_survives_writing_and_reading(centimeters: int) -> None:
    feet = parse_length_ft(f"{centimeters} cm")
    assert feet == float(Fraction(centimeters, 100) / Fraction("0.3048"))
    assert parse_length_ft(format_length(feet, "m"), "ft-in") == feet


@given(st.floats(-200, 240), st.sampled_from(["ft-in", "ft", "m"]))
def test_a_size_written_and_read_is_written_alike(inches: float, units: str) -> None:
    text = format_inches(inches, units)  # type: ignore[arg-type]
    assert format_inches(parse_inches(text, "ft-in"), units) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("feet", "foot_inch", "decimal", "metric"),
    [
        (12 + 6.5 / 12, "12' 6 1/2\"", "12.54 ft", "3.82 m"),
        (7.125 / 12, "0' 7 1/8\"", "0.59 ft", "0.18 m"),
        (-1.5, "-1' 6\"", "-1.50 ft", "-0.46 m"),
        (11.95 / 12, "1' 0\"", "1.00 ft", "0.30 m"),
        (12 + 11.9376 / 12, "13' 0\"", "12.99 ft", "3.96 m"),
        (0.25 / 12, "0' 0 1/4\"", "0.02 ft", "0.01 m"),
        (12 + 0.5 / 12, "12' 0 1/2\"", "12.04 ft", "3.67 m"),
        (-5 / 12, "-0' 5\"", "-0.42 ft", "-0.13 m"),
        (0.0, "0' 0\"", "0.00 ft", "0.00 m"),
        (-0.001, "0' 0\"", "0.00 ft", "0.00 m"),
        (1234.5, "1234' 6\"", "1234.50 ft", "376.28 m"),
    ],
)
def test_lengths_are_written_as_the_trade_writes_them(feet: float, foot_inch: str, decimal: str, metric: str) -> None:
    assert format_length(feet, "ft-in") == foot_inch
    assert format_length(feet, "ft") == decimal
    assert format_length(feet, "m") == metric


@pytest.mark.parametrize("text", ["12' 0 1/2\"", "12' 1/2\"", "12'-0 1/2\"", "12' 0.5\""])
def test_a_fraction_of_an_inch_after_feet_is_read_with_and_without_its_zero(text: str) -> None:
    # 12 ft and half an inch are 144.5 in
    assert parse_length_ft(text) == pytest.approx(144.5 / 12, abs=1e-12)
    assert format_length(parse_length_ft(text), "ft-in") == "12' 0 1/2\""


def test_levels_sizes_slopes_and_areas_are_written_in_the_units_of_the_job() -> None:
    assert format_level(99.42, "ft-in") == format_level(99.42, "ft") == "99.42"
    assert format_level(99.42, "m") == "30.303"
    assert [format_inches(4.0, u) for u in ("ft-in", "ft", "m")] == ["4 in", "4 in", "102 mm"]
    assert [format_inches(4.5, u) for u in ("ft-in", "ft", "m")] == ["4 1/2 in", "4.5 in", "114 mm"]
    assert format_slope(0.0104) == "1.04%"
    assert format_area(1250.0, "ft-in") == "1250 sq ft"
    assert format_area(1250.0, "m") == "116.1 m²"


def test_a_number_that_is_none_is_written_as_a_question() -> None:
    for bad in (nan, inf, -inf):
        assert {format_length(bad, "ft-in"), format_level(bad, "m"), format_inches(bad, "ft"), format_slope(bad)} == {
            "?"
        }
