"""The ground as a surface through the shots: plane triangles inside, a marked guess outside.

Triangles are Delaunay's (scipy), and none crosses a breakline. Outside the shots the level of the nearest place on their
outline is taken, and said to be a guess; so are levels inside buildings. One or two shots, or shots in one line, give guesses only.
"""

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from drainsketch.ground.breaklines import Meeting, levelled_line, pieces_of
from drainsketch.ground.merging import merged, same_places
from drainsketch.ground.outliers import out_of_line_ft
from drainsketch.ground.results import Bools, Ints, LevelledShot
from drainsketch.job.model import Breakline, Obstacle

Floats = NDArray[np.float64]
WALL_FT = 0.5  # a shot at the foot of a wall may be drawn so far inside it
AT_ONCE = 1_000_000  # pairs of place and outline edge held at a time


class Surface:
    """Ground levels from shots. Read-only after it is built; one value for one tuple of shots, breaklines and buildings.

    ``places`` are the shots by spot; ``unlevelled`` the ids of breaklines with fewer than two levels, ``meetings`` where
    breaklines cross.
    """

    def __init__(
        self,
        shots: tuple[LevelledShot, ...],
        breaklines: tuple[Breakline, ...] = (),
        buildings: tuple[Obstacle, ...] = (),
    ) -> None:
        if not shots:
            raise ValueError("a surface needs at least one shot")
        self.places = same_places(shots)
        xy, z = merged(self.places)
        self._origin = xy.mean(axis=0)  # keeps the triangulation well conditioned far from 0, 0
        self._shots, self._shots_z = xy - self._origin, z
        self.unlevelled: tuple[str, ...] = ()
        self.meetings: tuple[Meeting, ...] = ()
        self._xy: Floats
        self._z: Floats
        self._xy, self._z = self._with_breaklines(xy, z, breaklines) if breaklines else (self._shots, z)
        self._triangles = _triangles(self._xy)
        self._outline = _outline(self._triangles, self._xy)
        self._known_pairs: Ints | None = None
        self._edges: tuple[Floats, Floats] | None = None
        self._out_of_line: dict[int, float] | None = None
        self._buildings = shapely.union_all([shapely.make_valid(shapely.Polygon(b.points)) for b in buildings])
        shapely.prepare(self._buildings)

    def _with_breaklines(self, xy: Floats, z: Floats, breaklines: tuple[Breakline, ...]) -> tuple[Floats, Floats]:
        """Return places and levels of the shots and of what the breaklines add."""
        kept = tuple(LevelledShot(p[0].id, p[0].point, level) for p, level in zip(self.places, z.tolist(), strict=True))
        lines = {b.id: levelled_line(b, kept) for b in breaklines}
        self.unlevelled = tuple(name for name, line in lines.items() if line is None)
        cut = pieces_of(tuple(line for line in lines.values() if line is not None), xy, z)
        self.meetings = cut.meetings
        return np.concatenate([xy, cut.xy_ft]) - self._origin, np.concatenate([z, cut.z_ft])

    @property
    def is_guess_only(self) -> bool:
        """Whether there is no triangle, so that every level is a guess."""
        return self._triangles is None

    def level_at(self, x_ft: float, y_ft: float) -> tuple[float, bool]:
        """Return (elevation ft, whether it is a guess) of one plan point."""
        z, guess = self.levels_at(np.array([[x_ft, y_ft]], dtype=float))
        return float(z[0]), bool(guess[0])

    @property
    def extent_ft(self) -> tuple[float, float, float, float]:
        """West, south, east and north of the shots, ft."""
        (west, south), (east, north) = self._shots.min(axis=0) + self._origin, self._shots.max(axis=0) + self._origin
        return float(west), float(south), float(east), float(north)

    def levels_at(self, xy_ft: Floats) -> tuple[Floats, Bools]:
        """Return elevations (n,), ft, and where they are guesses (n,), of plan points (n, 2), ft: outside, and in buildings.

        Check: tests/ground/test_surface.py.
        """
        z, guess = self.bare_levels_at(xy_ft)
        if not self._buildings.is_empty:
            points = np.asarray(xy_ft, dtype=float)
            guess |= shapely.contains_xy(self._buildings, points[:, 0], points[:, 1])
        return z, guess

    def bare_levels_at(self, xy_ft: Floats) -> tuple[Floats, Bools]:
        """Return elevations (n,), ft, and where they are guesses (n,), as if no building stood there.

        Linear in each triangle by barycentric weights; outside, the level of the nearest place on the outline.

        Limits: plan points within the model's bounds. Source: linear interpolation on a triangulated network, definition.
        Check: tests/outside/test_surface.py, scipy's LinearNDInterpolator.
        """
        points = np.asarray(xy_ft, dtype=float) - self._origin
        guess = np.ones(len(points), dtype=bool)
        z = np.empty(len(points))
        if self._triangles is not None:
            where = self._triangles.find_simplex(points, tol=1e-9)
            inside = where >= 0
            guess = ~inside
            z[inside] = self._inside(points[inside], where[inside])
        if guess.any():
            outside = points[guess]
            few = max(1, AT_ONCE // len(self._outline))
            z[guess] = np.concatenate([self._nearest(outside[i : i + few]) for i in range(0, len(outside), few)])
        return z, guess

    def breaks_between(self, a_ft: Floats, b_ft: Floats) -> Floats:
        """Return where the straight line between two plan points crosses edges of the triangles: shares of its length (n,), unordered.

        Between two of them, and between them and the ends, the ground is straight. An edge that lies along the line counts by its ends.

        Check: tests/ground/test_surface.py.
        """
        if self._triangles is None:
            return np.empty(0)
        if self._edges is None:
            pairs = self._pairs()
            self._edges = (self._xy[pairs[:, 0]], self._xy[pairs[:, 1]])
        start, end = self._edges
        a, along = (
            np.asarray(a_ft, dtype=float) - self._origin,
            np.asarray(b_ft, dtype=float) - np.asarray(a_ft, dtype=float),
        )
        square = float(along @ along)
        if square == 0:
            return np.empty(0)
        off = [
            along[0] * (p[:, 1] - a[1]) - along[1] * (p[:, 0] - a[0]) for p in (start, end)
        ]  # from the line, times its length
        on = 1e-9 * square
        touches = [np.abs(o) <= on for o in off]
        across = (off[0] > on) & (off[1] < -on) | (off[0] < -on) & (off[1] > on)
        u = off[0][across] / (off[0][across] - off[1][across])
        places = [start[across] + u[:, None] * (end[across] - start[across]), start[touches[0]], end[touches[1]]]
        t: Floats = (np.concatenate(places) - a) @ along / square
        return t[(t >= 0) & (t <= 1)]

    def spans_building(self, xy_ft: Floats) -> Bools:
        """Return which plan points (n, 2) lie in a triangle that reaches through a building: no shot stands at its wall there.

        Check: tests/ground/test_surface.py.
        """
        spans = np.zeros(len(xy_ft), dtype=bool)
        if self._triangles is None or self._buildings.is_empty:
            return spans
        where = self._triangles.find_simplex(np.asarray(xy_ft, dtype=float) - self._origin, tol=1e-9)
        inside = np.unique(where[where >= 0])
        corners = self._xy[self._triangles.simplices[inside]] + self._origin
        core = shapely.buffer(self._buildings, -WALL_FT, join_style="mitre")
        through = inside[shapely.intersects(shapely.polygons(corners), core)]
        spans[:] = np.isin(where, through)
        return spans

    def to_nearest_shot_ft(self, xy_ft: Floats) -> Floats:
        """Return how far the nearest shot is from each plan point (n, 2), ft: (n,)."""
        from scipy.spatial import cKDTree

        off, _ = cKDTree(self._shots).query(np.asarray(xy_ft, dtype=float) - self._origin)
        return np.asarray(off)

    def corners_at(self, xy_ft: Floats) -> Floats:
        """Return the corners of the triangles that plan points (n, 2) lie in: (n, 3, 2), ft; NaN outside the shots."""
        found = np.full((len(xy_ft), 3, 2), np.nan)
        if self._triangles is not None:
            where = self._triangles.find_simplex(np.asarray(xy_ft, dtype=float) - self._origin, tol=1e-9)
            inside = where >= 0
            found[inside] = self._xy[self._triangles.simplices[where[inside]]] + self._origin
        return found

    def steps(self) -> tuple[Ints, Floats, Floats]:
        """Return which shots neighbor each other, as two numbers of ``places`` (n, 2), how far apart they are (n,) and differ (n,), ft."""
        pairs = self._pairs()
        pairs = pairs[(pairs < len(self.places)).all(axis=1)]
        one, other = pairs.T
        leg = self._xy[one] - self._xy[other]
        return pairs, np.hypot(leg[:, 0], leg[:, 1]), np.abs(self._z[one] - self._z[other])

    def _pairs(self) -> Ints:
        """Return the edges of the triangles as pairs of numbers (n, 2)."""
        if self._known_pairs is None:
            s = np.empty((0, 3), dtype=np.int64) if self._triangles is None else self._triangles.simplices
            ends = np.sort(np.concatenate([s[:, [0, 1]], s[:, [1, 2]], s[:, [2, 0]]]), axis=1)
            self._known_pairs = np.unique(ends, axis=0).astype(np.int64)
        return self._known_pairs

    def out_of_line_ft(self) -> dict[int, float]:
        """Return the shots out of line and by how much, ft (below: negative), by number; shots at one place count as one."""
        if self._out_of_line is None:
            self._out_of_line = out_of_line_ft(self._shots, self._shots_z)
        return self._out_of_line

    def _inside(self, points: Floats, simplex: NDArray[np.int32]) -> Floats:
        t = self._triangles.transform[simplex]
        two = np.einsum("nij,nj->ni", t[:, :2], points - t[:, 2])
        weights = np.column_stack([two, 1.0 - two.sum(axis=1)])
        levels: Floats = np.einsum("ni,ni->n", weights, self._z[self._triangles.simplices[simplex]])
        return levels

    def _nearest(self, points: Floats) -> Floats:
        """Return the level of the nearest place on the outline's edges."""
        a, b = self._outline[:, 0], self._outline[:, 1]
        start, leg = self._xy[a], self._xy[b] - self._xy[a]
        square = np.maximum((leg**2).sum(axis=1), 1e-12)
        along = np.clip(np.einsum("nej,ej->ne", points[:, None, :] - start[None], leg) / square, 0.0, 1.0)
        off = ((points[:, None, :] - (start[None] + along[..., None] * leg[None])) ** 2).sum(axis=2)
        edge = off.argmin(axis=1)
        t = along[np.arange(len(points)), edge]
        levels: Floats = self._z[a[edge]] * (1 - t) + self._z[b[edge]] * t
        return levels


def _triangles(xy: Floats) -> Any:
    """Return scipy's Delaunay of the places, or None when they make no triangle."""
    if len(xy) < 3:
        return None
    from scipy.spatial import Delaunay, QhullError

    spread = np.linalg.svd(xy - xy.mean(axis=0), compute_uv=False)
    if spread[1] < 1e-6 * max(1.0, spread[0]):
        return None
    try:
        return Delaunay(xy)
    except QhullError:
        return None


def _outline(triangles: Any, xy: Floats) -> NDArray[np.int64]:
    """Return the outline's edges as pairs of shots (m, 2): the hull, or a chain through shots in one line."""
    if triangles is not None:
        return np.asarray(triangles.convex_hull, dtype=np.int64)
    if len(xy) == 1:
        return np.array([[0, 0]])
    direction = np.linalg.svd(xy - xy.mean(axis=0))[2][0]
    order = np.argsort(xy @ direction)
    return np.column_stack([order[:-1], order[1:]])
