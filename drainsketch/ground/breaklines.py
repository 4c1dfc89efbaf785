"""Breaklines made edges of the triangles: they are cut into pieces so short that Delaunay's triangulation keeps every one.

A piece is kept whenever the circle on it as diameter holds no other point (the piece is then an edge of Gabriel's graph, a part
of Delaunay's). Pieces that share a corner are cut at powers of two from it, so that cutting one never asks for the other to be
cut again without end.
"""

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray

from drainsketch.ground.results import Floats, LevelledShot
from drainsketch.job.model import Breakline

Ints = NDArray[np.int64]
SNAP_FT = 0.25  # a shot this near a breakline is on it
ROUNDS = 30
SHORTEST_FT = 0.02
TOUCH = 1e-9


class LevelledLine(Struct, frozen=True):
    """A breakline with levels: places (n, 2) and elevations (n,), ft, from its first levelled place to its last."""

    id: str
    xy_ft: Floats
    z_ft: Floats


class Meeting(Struct, frozen=True):
    """Two breaklines that cross at different levels; their mean counts there."""

    ids: tuple[str, str]
    point: tuple[float, float]
    apart_ft: float


class Pieces(Struct, frozen=True):
    """Points that breaklines add to the shots, with their levels; and every piece as two numbers, shots first."""

    xy_ft: Floats
    z_ft: Floats
    pieces: Ints
    meetings: tuple[Meeting, ...] = ()


def levelled_line(line: Breakline, shots: tuple[LevelledShot, ...]) -> LevelledLine | None:
    """Return a breakline with the levels of the shots on it, linear between them; None with fewer than two.

    Shots within a quarter foot of the line are on it, and it is led through them. What lies before the first of them and after
    the last has no level and is left out. Check: tests/ground/test_breaklines.py.
    """
    path = shapely.LineString(line.points)
    if not shots or path.length == 0:
        return None
    at = np.array([s.point for s in shots], dtype=float)
    near = np.flatnonzero(shapely.dwithin(path, shapely.points(at), SNAP_FT))
    if len(near) < 2:
        return None
    station = shapely.line_locate_point(path, shapely.points(at[near]))
    station, first = np.unique(station, return_index=True)
    near = near[first]
    if len(near) < 2:
        return None
    level = np.array([shots[i].elevation_ft for i in near])
    corners = np.array(line.points, dtype=float)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    beside = np.abs(along[:, None] - station[None, :]).min(axis=1) > SNAP_FT
    own = beside & (along > station[0]) & (along < station[-1])
    places = np.concatenate([at[near], corners[own]])
    stations = np.concatenate([station, along[own]])
    order = np.argsort(stations, kind="stable")
    return LevelledLine(line.id, places[order], np.interp(stations[order], station, level))


def pieces_of(lines: tuple[LevelledLine, ...], shots_ft: Floats, levels_ft: Floats) -> Pieces:
    """Return breaklines as pieces that Delaunay's triangulation of shots and added points holds as edges.

    Parameters
    ----------
    shots_ft, levels_ft : places (n, 2) and elevations (n,) of the shots, no two places the same

    Notes
    -----
    Breaklines that cross are cut there; the mean of both levels counts. At most 30 rounds of cutting.

    Source: Gabriel edges are Delaunay edges (Matula and Sokal 1980), cutting in shells (Ruppert 1995), from memory.
    Check: tests/ground/test_breaklines.py.
    """
    chains, meetings = _crossed(lines)
    xy, z, pieces = _numbered(chains, shots_ft, levels_ft)
    corners = len(xy)
    for _ in range(ROUNDS):
        if not len(pieces):
            break
        cut = _crowded(xy, pieces)
        if not cut.any():
            break
        share = _shares(xy, pieces[cut], corners)
        a, b = pieces[cut].T
        new = len(xy) + np.arange(len(a))
        xy = np.concatenate([xy, xy[a] + share[:, None] * (xy[b] - xy[a])])
        z = np.concatenate([z, z[a] + share * (z[b] - z[a])])
        pieces = np.concatenate([pieces[~cut], np.column_stack([a, new]), np.column_stack([new, b])])
    return Pieces(xy[len(shots_ft) :], z[len(shots_ft) :], pieces, meetings)


def _crossed(lines: tuple[LevelledLine, ...]) -> tuple[list[tuple[Floats, Floats]], tuple[Meeting, ...]]:
    """Return lines as places and levels with a common place wherever two of them cross."""
    paths = [shapely.LineString(line.xy_ft) for line in lines]
    stations = [shapely.line_locate_point(p, shapely.points(line.xy_ft)) for p, line in zip(paths, lines, strict=True)]
    added: list[list[tuple[float, Floats, float]]] = [[] for _ in lines]
    meetings = []
    pairs = shapely.STRtree(paths).query(paths, predicate="intersects").T.tolist() if paths else []
    for i, j in sorted(pairs):
        if i >= j:
            continue
        both = shapely.get_parts(shapely.intersection(paths[i], paths[j]))
        for x, y in shapely.get_coordinates(both).tolist():
            place, point = np.array([x, y]), shapely.Point(x, y)
            at = [shapely.line_locate_point(paths[k], point) for k in (i, j)]
            level = [float(np.interp(at[n], stations[k], lines[k].z_ft)) for n, k in enumerate((i, j))]
            meetings.append(Meeting((lines[i].id, lines[j].id), (x, y), abs(level[0] - level[1])))
            for n, k in enumerate((i, j)):
                added[k].append((at[n], place, sum(level) / 2))
    chains = []
    for line, station, more in zip(lines, stations, added, strict=True):
        extra = [m for m in more if np.hypot(*(line.xy_ft - m[1]).T).min() > SHORTEST_FT]
        places = np.concatenate([line.xy_ft, *[m[1][None] for m in extra]])
        levels = np.concatenate([line.z_ft, [m[2] for m in extra]])
        order = np.argsort(np.concatenate([station, [m[0] for m in extra]]), kind="stable")
        chains.append((places[order], levels[order]))
    return chains, tuple(meetings)


def _numbered(chains: list[tuple[Floats, Floats]], shots: Floats, levels: Floats) -> tuple[Floats, Floats, Ints]:
    """Return all places and levels, shots first and each place once, and the chains as pairs of numbers."""
    number = {tuple(p): n for n, p in enumerate(shots.tolist())}
    xy, z = shots.tolist(), levels.tolist()
    pairs: dict[tuple[int, int], None] = {}
    for places, heights in chains:
        before = -1
        for place, height in zip(places.tolist(), heights.tolist(), strict=True):
            at = number.setdefault(tuple(place), len(xy))
            if at == len(xy):
                xy.append(place)
                z.append(height)
            if before >= 0 and before != at:
                pairs.setdefault((min(before, at), max(before, at)))
            before = at
    return np.array(xy), np.array(z), np.array(list(pairs), dtype=np.int64).reshape(-1, 2)


def _crowded(xy: Floats, pieces: Ints) -> NDArray[np.bool_]:
    """Return which pieces have a third point in or on the circle on them; those too short to cut are let be."""
    from scipy.spatial import cKDTree

    a, b = xy[pieces[:, 0]], xy[pieces[:, 1]]
    half = np.hypot(*(b - a).T) / 2
    within = cKDTree(xy).query_ball_point((a + b) / 2, half * (1 + TOUCH), return_length=True)
    return np.asarray((within > 2) & (half > SHORTEST_FT))


def _shares(xy: Floats, pieces: Ints, corners: int) -> Floats:
    """Return where to cut: at the middle, or at a power of two from the one end that is a corner."""
    length = np.hypot(*(xy[pieces[:, 1]] - xy[pieces[:, 0]]).T)
    shell = 2.0 ** np.round(np.log2(length / 2)) / length
    first, second = pieces[:, 0] < corners, pieces[:, 1] < corners
    return np.where(first & ~second, shell, np.where(second & ~first, 1 - shell, 0.5))
