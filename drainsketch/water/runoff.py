"""The rational method: how much water a piece of ground sends to its inlet at the peak."""

from drainsketch.water.constants import CFS_PER_ACRE_IN_H, FT2_PER_ACRE


def peak_cfs(c: float, intensity_in_h: float, area_ft2: float) -> float:
    """Return the peak flow C i A of an area, cfs.

    The unit factor of 1.00833 is kept, which many printed examples drop. Good for yards: published limits are 20 acres
    (APWA, 1974) to 200 acres (HEC-22, from memory).

    Parameters
    ----------
    c : runoff coefficient for the storm, 0 to 1
    intensity_in_h : rain over the time of concentration
    area_ft2 : in plan view

    Source: rational method. Check: tests/outside/test_runoff.py
    """
    return CFS_PER_ACRE_IN_H * c * intensity_in_h * area_ft2 / FT2_PER_ACRE
