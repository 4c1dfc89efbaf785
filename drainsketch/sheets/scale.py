"""Papers and drawing scales: which scale lets a yard fill the sheet."""

from math import isfinite

from msgspec import Struct

from drainsketch.errors import SheetError
from drainsketch.job.kinds import Units

PAPERS: dict[str, tuple[float, float]] = {  # portrait, pt
    "letter": (612.0, 792.0),
    "tabloid": (792.0, 1224.0),
    "arch-c": (1296.0, 1728.0),
    "arch-d": (1728.0, 2592.0),
    "a4": (210 / 25.4 * 72, 297 / 25.4 * 72),
    "a3": (297 / 25.4 * 72, 420 / 25.4 * 72),
}
# a 10-60 engineer's rule reads all of these by whole divisions (common practice, from memory)
ENGINEERS = tuple(n * 10.0**decade for decade in range(5) for n in (1, 2, 3, 4, 5, 6))
METRIC = tuple(n * 10.0**decade for decade in range(1, 6) for n in (1, 1.25, 2, 2.5, 5, 7.5))  # 1:n


class Scale(Struct, frozen=True):
    """A drawing scale, feet on the ground per inch of paper."""

    ft_per_in: float
    metric: bool = False

    @property
    def pt_per_ft(self) -> float:
        """Points of paper per foot of ground."""
        return 72.0 / self.ft_per_in

    def text(self) -> str:
        """Return the scale as it is written: ``1 in = 20 ft`` or ``1:200``."""
        return f"1:{self.ft_per_in * 12:.6g}" if self.metric else f"1 in = {self.ft_per_in:g} ft"


def scales(units: Units) -> tuple[Scale, ...]:
    """Return the scales to pick from, the largest drawing first."""
    if units == "m":
        return tuple(Scale(n / 12, metric=True) for n in METRIC)
    return tuple(Scale(n) for n in ENGINEERS)


def largest_fit(width_ft: float, height_ft: float, room_pt: tuple[float, float], units: Units) -> Scale:
    """Return the largest scale at which an extent fits into a room on the paper."""
    return next(
        (s for s in scales(units) if fits(width_ft, height_ft, room_pt, s)),
        scales(units)[-1],
    )


def fits(width_ft: float, height_ft: float, room_pt: tuple[float, float], scale: Scale) -> bool:
    """Return whether an extent fits into a room at a scale."""
    slack = 1e-6
    return width_ft * scale.pt_per_ft <= room_pt[0] + slack and height_ft * scale.pt_per_ft <= room_pt[1] + slack


def asked_scale(ft_per_in: float, units: Units) -> Scale:
    """Return the scale a user asked for.

    Raises
    ------
    SheetError : it is not a number of feet above 0
    """
    if not (isfinite(ft_per_in) and 0.01 <= ft_per_in <= 1_000_000):
        raise SheetError(f"Scale {ft_per_in:g}: give the feet of ground per inch of paper, for example 10.")
    return Scale(ft_per_in, metric=units == "m")


def paper_size(paper: str) -> tuple[float, float]:
    """Return width and height of a paper held upright, pt.

    Raises
    ------
    SheetError : the paper is not known
    """
    if paper not in PAPERS:
        raise SheetError(f"Paper {paper[:40]!r} is not one of {', '.join(PAPERS)}.")
    return PAPERS[paper]


class ScaleBar(Struct, frozen=True):
    """A bar of two equal parts: ``part_pt`` on paper is ``part`` of ``unit`` on the ground; ``check`` is its whole paper length."""

    part_pt: float
    part: float
    unit: str
    check: str


def scale_bar(scale: Scale) -> ScaleBar:
    """Return the scale bar: two whole inches, or 4 cm on a metric sheet, so that a tape can check the print."""
    if scale.metric:
        part_pt = 20 / 25.4 * 72
        return ScaleBar(part_pt=part_pt, part=scale.ft_per_in * 12 * 0.02, unit="m", check="4 cm")
    return ScaleBar(part_pt=72.0, part=scale.ft_per_in, unit="ft", check="2 in")
