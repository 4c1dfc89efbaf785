"""Shots that stand out of line: far from the ground that the shots round them make, as a slip of a key does."""

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
NEIGHBORS = 6  # nearest other shots that a plane is laid through
LEAVE_OUT = 2  # of them, in case they are slips themselves or stand beyond a wall
OFF_FT = 3.0  # common practice, no source: walls and banks of a yard are lower
STEEP = 0.25  # common practice, no source: lawns and walks hardly break by more than 1 in 4


def out_of_line_ft(xy_ft: Floats, z_ft: Floats) -> dict[int, float]:
    """Return by number the shots that stand out of line, and how far above (below: negative) the ground of their neighbors, ft.

    That ground is a least-squares plane through the six nearest other shots, or through any four of them or more: the plane
    that comes nearest to the shot is taken, so that one wrong shot does not accuse its neighbors. Told above 3 ft, and more
    than 1 in 4 of the distance to the nearest of them.

    Parameters
    ----------
    xy_ft, z_ft : plan points (n, 2) and elevations (n,), no two points the same

    Limits: fewer than 7 shots make no such plane; there a shot is told that lies off every other one by as much as that.
    Source: least squares, definition; limits are common practice, no source. Check: tests/ground/test_outliers.py.
    """
    if len(xy_ft) <= NEIGHBORS:
        return _few_out_of_line_ft(xy_ft, z_ft)
    from scipy.spatial import cKDTree

    found = cKDTree(xy_ft).query(xy_ft, k=NEIGHBORS + 1)
    off, near = np.asarray(found[0])[:, 1:], np.asarray(found[1])[:, 1:]
    limit = np.maximum(OFF_FT, STEEP * off[:, 0])
    suspect = np.arange(len(xy_ft))
    least = np.full(len(xy_ft), np.inf)
    for left_out in range(LEAVE_OUT + 1):
        for kept in combinations(range(NEIGHBORS), NEIGHBORS - left_out):
            over = _over_plane(xy_ft, z_ft, suspect, near[suspect][:, kept])
            nearer = np.abs(over) < np.abs(least[suspect])
            least[suspect[nearer]] = over[nearer]
            suspect = suspect[np.abs(least[suspect]) > limit[suspect]]
            if not len(suspect):
                return {}
    return {int(i): float(least[i]) for i in suspect}


def _over_plane(xy: Floats, z: Floats, which: NDArray[np.intp], near: NDArray[np.intp]) -> Floats:
    """Return how far the shots stand above the planes through their neighbors (m, k), ft: (m,)."""
    leg = xy[near] - xy[which][:, None, :]
    size = np.maximum(np.abs(leg).max(axis=(1, 2)), 1e-9)
    terms = np.concatenate([leg / size[:, None, None], np.ones((*near.shape, 1))], axis=2)
    level = z[near].mean(axis=1)
    # pinv takes the flattest plane where the neighbors stand in one line
    plane = np.einsum("mij,mj->mi", np.linalg.pinv(terms, rcond=1e-3), z[near] - level[:, None])
    over: Floats = z[which] - level - plane[:, 2]
    return over


def _few_out_of_line_ft(xy: Floats, z: Floats) -> dict[int, float]:
    """Return the shots of a few that lie more than the limits off each of the others, by how much off the nearest."""
    if len(xy) < 2:
        return {}
    apart = np.hypot(*(xy[:, None, :] - xy[None, :, :]).transpose(2, 0, 1))
    np.fill_diagonal(apart, np.inf)
    off = z[:, None] - z[None, :]
    beyond = np.abs(off) > np.maximum(OFF_FT, STEEP * apart)
    np.fill_diagonal(beyond, True)
    return {int(i): float(off[i, apart[i].argmin()]) for i in np.flatnonzero(beyond.all(axis=1))}
