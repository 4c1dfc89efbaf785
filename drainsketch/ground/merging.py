"""Shots that stand on one spot, as near as a rod is held twice."""

import numpy as np

from drainsketch.ground.results import Floats, LevelledShot

SAME_PLACE_FT = 0.1  # common practice, no source: nearer than a rod is set down twice on one spot


def same_places(shots: tuple[LevelledShot, ...]) -> tuple[tuple[LevelledShot, ...], ...]:
    """Return the shots by place: each joins the first earlier shot that keeps a place within a tenth of a foot of it.

    Check: tests/ground/test_surface.py.
    """
    from scipy.spatial import cKDTree

    xy = np.array([s.point for s in shots], dtype=float)
    keeper = list(range(len(shots)))
    pairs = cKDTree(xy).query_pairs(SAME_PLACE_FT * (1 + 1e-9), output_type="ndarray")
    for one, other in sorted(np.sort(pairs, axis=1).tolist()):
        if keeper[one] == one and keeper[other] == other:
            keeper[other] = one
    places: dict[int, list[LevelledShot]] = {}
    for at, shot in zip(keeper, shots, strict=True):
        places.setdefault(at, []).append(shot)
    return tuple(tuple(place) for place in places.values())


def merged(places: tuple[tuple[LevelledShot, ...], ...]) -> tuple[Floats, Floats]:
    """Return places (n, 2) and levels (n,), ft: where the first shot of each stands, at the mean of their levels."""
    xy = np.array([place[0].point for place in places], dtype=float)
    z = np.array([sum(s.elevation_ft for s in place) / len(place) for place in places])
    return xy, z
