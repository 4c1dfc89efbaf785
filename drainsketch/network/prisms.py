"""Volumes by stationing: the area between two lines, and the part of a pipe that lies in a layer."""

import numpy as np

from drainsketch.network.results import Floats


def dug_ft(length_ft: Floats, first_ft: Floats, last_ft: Floats) -> Floats:
    """Return the part of each interval over which a height is above zero, ft.

    The height runs straight from first to last; where it crosses zero the interval is split there.

    Parameters
    ----------
    length_ft : lengths of the intervals, ft (n,), 0 or more
    first_ft, last_ft : heights at their ends, ft (n,)

    Returns
    -------
    lengths, ft (n,)

    Raises
    ------
    ValueError : the arrays do not share one shape

    Notes
    -----
    Limits: height linear within an interval. Source: similar triangles. Check: tests/outside/test_trench_volume.py
    """
    above = np.maximum(first_ft, 0.0) + np.maximum(last_ft, 0.0)
    total = np.abs(first_ft) + np.abs(last_ft)
    dug: Floats = length_ft * above / np.where(total > 0.0, total, 1.0)
    return dug


def cut_area_ft2(length_ft: Floats, first_ft: Floats, last_ft: Floats) -> Floats:
    """Return the area under a height that runs straight from first to last, counting only what is above zero, ft2.

    A = dug length x (max(first, 0) + max(last, 0)) / 2: a trapezoid, or a triangle where the height crosses zero. Exact.

    Parameters
    ----------
    length_ft : lengths of the intervals, ft (n,), 0 or more
    first_ft, last_ft : heights at their ends, ft (n,)

    Returns
    -------
    areas, ft2 (n,)

    Raises
    ------
    ValueError : the arrays do not share one shape

    Notes
    -----
    Limits: height linear within an interval. Source: plane geometry. Check: tests/outside/test_trench_volume.py
    """
    area: Floats = dug_ft(length_ft, first_ft, last_ft) * (np.maximum(first_ft, 0.0) + np.maximum(last_ft, 0.0)) / 2
    return area


def segment_area_ft2(depth_ft: Floats, diameter_ft: Floats) -> Floats:
    """Return the area of a circle below a level, ft2.

    A = r^2 acos((r - d) / r) - (r - d) sqrt(2 r d - d^2), with r = D / 2 and d held between 0 and D.

    Parameters
    ----------
    depth_ft : level above the bottom of the circle, ft (n,)
    diameter_ft : diameters, ft (n,), above 0

    Returns
    -------
    areas, ft2 (n,): 0 below the bottom, the whole circle above the top

    Raises
    ------
    ValueError : a diameter is not above 0

    Notes
    -----
    Limits: round section. Source: circular segment, plane geometry.
    Check: tests/outside/test_earthwork.py, table of partly full pipe.
    """
    if not (diameter_ft > 0).all():
        raise ValueError("diameter_ft must be above 0")
    r = diameter_ft / 2
    d = np.clip(depth_ft, 0.0, diameter_ft)
    area: Floats = r**2 * np.arccos(np.clip((r - d) / r, -1.0, 1.0)) - (r - d) * np.sqrt(
        np.maximum(2 * r * d - d**2, 0.0)
    )
    return area


def pipe_in_layer_ft3(length_ft: Floats, first_ft: Floats, last_ft: Floats, diameter_ft: Floats) -> Floats:
    """Return the volume of pipe that lies in a layer, interval by interval, ft3.

    The layer's top stands at a height above the bottom of the pipe that runs straight from first to last. The mean segment
    area over an interval is (F(last) - F(first)) / (last - first), with F the integral of the segment area over height:
    F(d) = -r^3 (c acos c - s + s^3 / 3), c = (r - d) / r, s = sqrt(1 - c^2), and the whole circle for each foot above the pipe.

    Parameters
    ----------
    length_ft : lengths of the intervals, ft (n,), 0 or more
    first_ft, last_ft : height of the layer's top above the outside bottom of the pipe at their ends, ft (n,)
    diameter_ft : outside diameters, ft (n,), above 0

    Returns
    -------
    volumes, ft3 (n,); on a slope times the length along it over the length in plan

    Raises
    ------
    ValueError : a diameter is not above 0

    Notes
    -----
    Limits: round pipe, ends cut plumb; exact. Source: circular segment, plane geometry.
    Check: tests/outside/test_earthwork.py
    """
    if not (diameter_ft > 0).all():
        raise ValueError("diameter_ft must be above 0")
    area = np.pi / 4 * diameter_ft**2
    partly = np.flatnonzero(np.minimum(first_ft, last_ft) < diameter_ft)
    if len(partly):
        area[partly] = _mean_segment_ft2(first_ft[partly], last_ft[partly], diameter_ft[partly])
    volume: Floats = length_ft * area
    return volume


def _mean_segment_ft2(first_ft: Floats, last_ft: Floats, diameter_ft: Floats) -> Floats:
    rise = last_ft - first_ft
    level = np.abs(rise) < 1e-3 * diameter_ft  # the quotient would lose its digits; the middle is as good
    quotient = _piled_up_ft3(last_ft, diameter_ft) - _piled_up_ft3(first_ft, diameter_ft)
    middle = segment_area_ft2((first_ft + last_ft) / 2, diameter_ft)
    mean: Floats = np.where(level, middle, quotient / np.where(level, 1.0, rise))
    return mean


def _piled_up_ft3(depth_ft: Floats, diameter_ft: Floats) -> Floats:
    """Return the integral of the segment area from the bottom of the circle up to a height."""
    r = diameter_ft / 2
    c = np.clip((r - depth_ft) / r, -1.0, 1.0)
    s = np.sqrt(1.0 - c**2)
    piled: Floats = np.pi * r**2 * np.maximum(depth_ft - diameter_ft, 0.0) - r**3 * (c * np.arccos(c) - s + s**3 / 3)
    return piled
