"""How many truckloads carry a volume and a weight."""

from math import ceil


def loads(volume_yd3: float, weight_tons: float, truck_yd3: float, truck_tons: float) -> int:
    """Return how many loads carry a volume and a weight: whichever fills the truck first.

    n = max(volume / truck volume, weight / truck weight), rounded up

    Parameters
    ----------
    volume_yd3 : volume as it lies in the truck, loose, yd3 (0 or more)
    weight_tons : its weight, short tons (0 or more)
    truck_yd3, truck_tons : what a truck holds and may carry (above 0)

    Returns
    -------
    number of loads

    Raises
    ------
    ValueError : an argument is out of range

    Notes
    -----
    Limits: a hair over a whole number is no other load. Source: definition. Check: tests/takeoff/price/test_hauling.py

    Examples
    --------
    12 yd3 that weigh 20 tons, on a truck of 10 yd3 and 8 tons: two loads of room, three of weight.

    >>> loads(12.0, 20.0, 10.0, 8.0)
    3
    """
    if not (0 <= volume_yd3 < float("inf") and 0 <= weight_tons < float("inf")):
        raise ValueError(f"volume and weight must be 0 or more and finite, not {volume_yd3}, {weight_tons}")
    if not (truck_yd3 > 0 and truck_tons > 0):
        raise ValueError(f"what a truck takes must be above 0, not {truck_yd3}, {truck_tons}")
    return ceil(max(volume_yd3 / truck_yd3, weight_tons / truck_tons) - 1e-9)
