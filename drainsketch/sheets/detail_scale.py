"""Scales of drawn details: so many inches of paper to a foot, as an architect's rule has them, or 1:n."""

from fractions import Fraction

from drainsketch.job.kinds import Units
from drainsketch.sheets.scale import Scale, ScaleBar
from drainsketch.wording import Words

# 1 in to 1/16 in = 1 ft: the divisions of an architect's rule (common practice, from memory)
PARTS = tuple(Fraction(n, 16) for n in (16, 12, 8, 6, 4, 3, 2, 1))
METRIC = (10, 20, 25, 50, 100, 200)  # 1:n
PARTS_M = (0.25, 0.5, 1.0, 2.0, 5.0)  # of a metric scale bar
MOST_PART_PT = 80.0


def detail_scales(units: Units) -> tuple[Scale, ...]:
    """Return the scales to pick from, the largest drawing first."""
    if units == "m":
        return tuple(Scale(n / 12, metric=True) for n in METRIC)
    return tuple(Scale(float(1 / part)) for part in PARTS)


def scale_words(scale: Scale, words: Words) -> str:
    """Return a scale as it is written: ``3/4 in = 1 ft`` or ``1:20``.

    Examples
    --------
    >>> scale_words(detail_scales("ft")[1], Words("en", "ft"))
    '3/4 in = 1 ft'
    """
    if scale.metric:
        return scale.text()
    part = Fraction(1 / scale.ft_per_in).limit_denominator(16)
    return words.word("details.scale.feet", inches=str(part))


def detail_bar(scale: Scale) -> ScaleBar:
    """Return a scale bar of two parts, each a round number of feet or meters, about an inch long."""
    if scale.metric:
        n = round(scale.ft_per_in * 12)
        pt_per_m = 72 / 0.0254 / n
        part_m = max(m for m in PARTS_M if m == PARTS_M[0] or m * pt_per_m <= MOST_PART_PT)
        return ScaleBar(part_pt=part_m * pt_per_m, part=part_m, unit="m", check=f"{2 * part_m * 1000 / n:g} mm")
    feet = max(1, round(scale.ft_per_in))
    part_pt = feet * scale.pt_per_ft
    return ScaleBar(part_pt=part_pt, part=feet, unit="ft", check=f"{_mixed(Fraction(2 * part_pt / 72))} in")


def _mixed(number: Fraction) -> str:
    """Return a number with its fraction: ``1 1/2``."""
    whole, rest = divmod(number.limit_denominator(16), 1)
    return " ".join(str(n) for n in (whole, rest) if n) or "0"
