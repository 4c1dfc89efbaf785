"""What a surface sheds of the rain on it, and how rough it is to water: the catalogue, the mean of several, the rarer storm."""

from collections.abc import Iterable
from functools import cache
from math import isfinite
from typing import get_args

from msgspec import Struct, convert

from drainsketch.job.kinds import SurfaceKind
from drainsketch.resources import table

SURFACE_KINDS: tuple[SurfaceKind, ...] = get_args(SurfaceKind)
_RARER = ((10.0, 1.0), (25.0, 1.1), (50.0, 1.2), (100.0, 1.25))  # up to so many years, times so much


class Coefficient(Struct, frozen=True, forbid_unknown_fields=True):
    """A published range of the runoff coefficient, what is used of it, and where it stands; good up to ``to_slope`` (ft/ft)."""

    low: float
    high: float
    used: float
    source: str
    to_slope: float | None = None


class Surface(Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of surface: its coefficients from flat to steep, n of sheet flow, k of shallow concentrated flow."""

    c: tuple[Coefficient, ...]
    sheet_n: float
    shallow_k: float
    flow_source: str


@cache
def surface(kind: SurfaceKind) -> Surface:
    """Return a kind of surface from ``resources/catalogue/surfaces.toml``. Raises KeyError for a kind that is not in it."""
    return convert(table("catalogue/surfaces.toml")[kind], Surface)


def coefficient(kind: SurfaceKind, slope: float) -> Coefficient:
    """Return the runoff coefficient of a surface at its slope.

    Only lawns differ by slope: flat to 2 %, average to 7 %, steep above; a slope on the border takes the flatter row.

    Parameters
    ----------
    slope : of the ground, ft/ft, 0 or more; of either sign, since only how steep it is counts

    Raises
    ------
    ValueError : the slope is no number

    Source: ASCE/WPCF Manual 37 as reprinted; each row names its own. Check: tests/outside/test_runoff.py
    """
    if not isfinite(slope):
        raise ValueError("a slope has to be a number")
    rows = surface(kind).c
    return next((row for row in rows if row.to_slope is not None and abs(slope) <= row.to_slope + 1e-12), rows[-1])


def composite_c(parts: Iterable[tuple[float, float]]) -> float:
    """Return the mean coefficient of surfaces by their area: sum of C A over sum of A.

    Parameters
    ----------
    parts : (area_ft2, C) of each; areas in any one unit, 0 or more

    Returns
    -------
    the mean, or 0 where there is no area at all: nothing comes off nothing

    Source: HEC-22, 3rd ed., section 3.2 (from memory). Check: tests/outside/test_runoff.py
    """
    taken = tuple(parts)
    area = sum(a for a, _ in taken)
    return sum(a * c for a, c in taken) / area if area > 0 else 0.0


def frequency_factor(return_period_yr: float | None) -> float:
    """Return by how much C is raised for a rarer storm, since soil that is wet takes up less.

    1.0 up to 10 years, 1.1 up to 25, 1.2 up to 50, 1.25 above: between two of the list the rarer one holds, nothing is
    interpolated, and beyond 100 years its last value stays. 1.0 where no return period is known.

    Source: HEC-22 and the TxDOT Hydraulic Design Manual, older editions (from memory). Check: tests/outside/test_runoff.py
    """
    if return_period_yr is None:
        return 1.0
    return next((factor for years, factor in _RARER if return_period_yr <= years), _RARER[-1][1])


def storm_c(c: float, return_period_yr: float | None) -> float:
    """Return the coefficient for a storm: ``c`` times its frequency factor, at most 1: no more runs off than falls.

    Source: as ``frequency_factor``. Check: tests/outside/test_runoff.py
    """
    return min(1.0, c * frequency_factor(return_period_yr))
