"""From longitude and latitude to feet on a plane about one place."""

from math import cos, radians, sin, sqrt

SEMI_MAJOR_M = 6_378_137.0  # WGS 84
FLATTENING = 1 / 298.257223563
FOOT_M = 0.3048
MOST_LATITUDE = 89.0


def feet_per_degree(latitude_deg: float) -> tuple[float, float]:
    """Return how long a degree of longitude and a degree of latitude are on the ground at a latitude, ft.

    M = a (1 - e2) / (1 - e2 sin2 p)^(3/2) along the meridian, N = a / (1 - e2 sin2 p)^(1/2) across it;
    a degree of longitude = N cos p pi / 180, a degree of latitude = M pi / 180

    Parameters
    ----------
    latitude_deg : from -89 to 89

    Returns
    -------
    east, north : ft per degree

    Raises
    ------
    ValueError : the latitude is beyond 89 degrees

    Notes
    -----
    Limits: the ellipsoid WGS 84, at its surface; at 5,000 ft above it the ground is 1 in 4,000 longer. Source: radii of curvature of
    the ellipsoid, as in any handbook of geodesy. Check: tests/outside/test_globe.py

    Examples
    --------
    At 45 degrees north a degree of longitude is 78.85 km long and one of latitude 111.13 km.

    >>> [round(ft * 0.3048 / 1000, 2) for ft in feet_per_degree(45.0)]
    [78.85, 111.13]
    """
    if not -MOST_LATITUDE <= latitude_deg <= MOST_LATITUDE:
        raise ValueError(f"latitude_deg must be from -89 to 89, not {latitude_deg}")
    p, e2 = radians(latitude_deg), FLATTENING * (2 - FLATTENING)
    w = sqrt(1 - e2 * sin(p) ** 2)
    along, across = SEMI_MAJOR_M * (1 - e2) / w**3, SEMI_MAJOR_M / w
    return across * cos(p) * radians(1) / FOOT_M, along * radians(1) / FOOT_M


class Plane:
    """A plane in feet about a place; x east, y north.

    x = (longitude - that of the place) x feet per degree of longitude, y likewise, both degrees as long as at one latitude: straight
    lines stay straight. Within a yard this is good to a hundredth of a foot; a mile from the place it is off by about a foot.

    Parameters
    ----------
    longitude_deg, latitude_deg : the place, which becomes (0, 0)
    middle_deg : the latitude at which a degree of longitude is taken, the middle of the drawing
    """

    def __init__(self, longitude_deg: float, latitude_deg: float, middle_deg: float) -> None:
        self._at = longitude_deg, latitude_deg
        self._per_deg = feet_per_degree(middle_deg)

    def xy_ft(self, longitude_deg: float, latitude_deg: float) -> tuple[float, float]:
        """Return the place of a longitude and latitude on the plane, ft."""
        east = (longitude_deg - self._at[0] + 180.0) % 360.0 - 180.0
        return east * self._per_deg[0], (latitude_deg - self._at[1]) * self._per_deg[1]
