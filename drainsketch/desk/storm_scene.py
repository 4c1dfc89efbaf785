"""The storm made ready for the plan, once: water in low ground as pictures, pipe and ways of the water as lines in plan feet."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPolygonF

from drainsketch import look
from drainsketch.desk.overlay_shapes import SHADE_ALPHA, depth_shades
from drainsketch.desk.playing import Shown
from drainsketch.ground.hollows import Hollow
from drainsketch.ground.ponding import LEAST_DEPTH_FT, cell_at
from drainsketch.ground.results import Floats, Grid, GroundStudy
from drainsketch.job.ask import points_of, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.water.storm.results import Played

RUNS_CFS = 5e-4  # less water than that is not to be seen
STEPS_PER_FT = 200  # of depth that differ in shade
DEEPEST_FT = 1.0
FINER = ((4_000, 4), (16_000, 2), (np.inf, 1))  # cells of a hollow, and into how many each is parted each way
HIGH_FT = 1e6  # ground that no water comes to
Words32 = NDArray[np.uint32]


class Line(Struct, frozen=True):
    """The points of a run or way, in the direction of the water, plan feet."""

    id: str
    polygon: QPolygonF
    middle: Point
    end: Point


class Picture(Struct, frozen=True):
    """Water in one hollow at one level, and the ground that the picture covers, plan feet, y north."""

    image: QImage
    covers: QRectF


class Pool:
    """One hollow: it paints its water at any level, and keeps the picture of the last one.

    The ground is taken straight between the middles of its cells, so that the edge of the water runs smoothly. ``low`` are the cells of
    all hollows, (rows, columns): where water goes on into the one beside, there is no edge.
    """

    def __init__(self, hollow: Hollow, ground: GroundStudy, low: NDArray[np.bool_]) -> None:
        grid = ground.grid
        rows, columns = np.divmod(hollow.cells, grid.columns)
        south, west = int(rows.min()) - 1, int(columns.min()) - 1  # a cell more all round
        size = int(rows.max()) - south + 2, int(columns.max()) - west + 2
        mine = np.zeros(size, dtype=bool)
        mine[rows - south, columns - west] = True
        near = np.clip(np.arange(size[0]) + south, 0, grid.rows - 1)
        along = np.clip(np.arange(size[1]) + west, 0, grid.columns - 1)
        level = np.nan_to_num(ground.ground_ft[near[:, np.newaxis], along], nan=HIGH_FT)
        times = next(t for most, t in FINER if mine.size <= most)
        beside = low[near[:, np.newaxis], along] & ~mine
        inside = (grown(mine, south, west, grid) & ~beside).repeat(times, axis=0).repeat(times, axis=1)
        finer = finer_of(level, times)
        self._ground_ft = np.where(inside, finer, HIGH_FT)[::-1]  # the north row first
        self._around_ft = np.where(inside | beside.repeat(times, axis=0).repeat(times, axis=1), finer, HIGH_FT)[::-1]
        self._low_ft = hollow.low_ft
        self.covers = QRectF(
            grid.west_ft + west * grid.cell_ft,
            grid.south_ft + south * grid.cell_ft,
            size[1] * grid.cell_ft,
            size[0] * grid.cell_ft,
        )
        self._kept: tuple[float, Picture | None] = (hollow.low_ft, None)

    def picture(self, level_ft: float) -> Picture | None:
        """Return its water at a level; None where it is dry."""
        if level_ft == self._kept[0]:
            return self._kept[1]
        made = self._painted(level_ft) if level_ft - self._low_ft > LEAST_DEPTH_FT else None
        self._kept = level_ft, made
        return made

    def _painted(self, level_ft: float) -> Picture:
        deep = level_ft - self._ground_ft
        wet = deep > LEAST_DEPTH_FT
        words = np.zeros(deep.shape, dtype=np.uint32)
        words[wet] = _SHADES[np.minimum(deep[wet] * STEPS_PER_FT, len(_SHADES) - 1).astype(np.int64)]
        edge, all_wet = wet.copy(), level_ft - self._around_ft > LEAST_DEPTH_FT
        edge[1:-1, 1:-1] &= ~(all_wet[:-2, 1:-1] & all_wet[2:, 1:-1] & all_wet[1:-1, :-2] & all_wet[1:-1, 2:])
        words[edge] = _EDGE
        high, wide = deep.shape
        image = QImage(words.tobytes(), wide, high, 4 * wide, QImage.Format.Format_ARGB32_Premultiplied).copy()
        return Picture(image, self.covers)


def grown(mine: NDArray[np.bool_], south: int, west: int, grid: Grid) -> NDArray[np.bool_]:
    """Return the cells of a hollow and those beside them, as far as there is a grid; the first is at a row and column of it."""
    out = mine.copy()
    for axis in (0, 1):
        out |= np.roll(out, 1, axis) | np.roll(out, -1, axis)
    rows, columns = np.arange(mine.shape[0]) + south, np.arange(mine.shape[1]) + west
    out &= ((rows >= 0) & (rows < grid.rows))[:, np.newaxis] & (columns >= 0) & (columns < grid.columns)
    return out


def finer_of(level_ft: Floats, times: int) -> Floats:
    """Return levels at so many places a cell each way, straight between the middles of cells."""
    for axis in (0, 1):
        count = level_ft.shape[axis]
        at = np.clip((np.arange(count * times) + 0.5) / times - 0.5, 0, count - 1)
        low = np.minimum(at.astype(np.int64), count - 2)
        part = (at - low).reshape((-1, 1) if axis == 0 else (1, -1))
        level_ft = level_ft.take(low, axis) * (1 - part) + level_ft.take(low + 1, axis) * part
    return level_ft


class Course(Struct, frozen=True):
    """One playing made ready: its pools, the ways over their passes and past inlets, by their number."""

    played: Played
    pools: tuple[Pool, ...]
    spills: tuple[Line | None, ...]
    passes: tuple[Line | None, ...]


class Scene(Struct, frozen=True):
    """A storm made ready. ``spots`` go by structure; ``grated`` are those that ground and pipe meet at, out of any hollow."""

    shown: Shown
    before: Course | None
    after: Course
    runs: tuple[Line | None, ...]
    spots: dict[str, Point]
    grated: frozenset[str]

    def course(self, drained: bool) -> Course:
        """Return the playing that is shown."""
        return self.after if drained or self.before is None else self.before


def scene_of(shown: Shown) -> Scene:
    """Return a storm made ready for painting."""
    review, storm = shown.study.review, shown.storm
    ground = shown.study.ground
    structures = structures_by_id(review.job)
    ends = {f.id: (f.upstream, f.downstream) for f in review.network.runs}
    by_id = {r.id: r for r in review.job.runs}
    runs = []
    for name in storm.after.runs:
        points = points_of(by_id[name], structures) if name in by_id else ()
        if name in by_id and name in ends and by_id[name].start != ends[name][0]:
            points = points[::-1]
        runs.append(_line(name, points))
    spots = {name: s.point for name, s in structures.items()}
    return Scene(
        shown=shown,
        before=_course(storm.before, ground) if storm.before is not None else None,
        after=_course(storm.after, ground),
        runs=tuple(runs),
        spots=spots,
        grated=_grated(storm.after, ground, spots),
    )


def _course(played: Played, ground: GroundStudy | None) -> Course:
    low = low_cells(played, ground) if ground is not None else None
    return Course(
        played=played,
        pools=tuple(Pool(h, ground, low) for h in played.hollows) if ground is not None and low is not None else (),
        spills=tuple(_line("", h.way) for h in played.hollows),
        passes=tuple(_line(name, way) for name, way in zip(played.structures, played.onward, strict=True)),
    )


def _grated(played: Played, ground: GroundStudy | None, spots: dict[str, Point]) -> frozenset[str]:
    """Return the structures that water goes in or comes out at, but for those in a hollow: it is seen there."""
    moves = np.abs(played.takes_cfs).max(axis=0, initial=0.0) > RUNS_CFS
    found = {name for name, some in zip(played.structures, moves.tolist(), strict=True) if some and name in spots}
    if ground is None:
        return frozenset(found)
    low = low_cells(played, ground)

    def in_hollow(at: Point) -> bool:
        row, column = cell_at(ground.grid, at)
        return 0 <= row < ground.grid.rows and 0 <= column < ground.grid.columns and bool(low[row, column])

    return frozenset(name for name in found if not in_hollow(spots[name]))


def low_cells(played: Played, ground: GroundStudy) -> NDArray[np.bool_]:
    """Return the cells of all hollows, (rows, columns)."""
    low = np.zeros(ground.ground_ft.shape, dtype=np.bool_)
    for hollow in played.hollows:
        low.ravel()[hollow.cells] = True
    return low


def _line(its_id: str, points: tuple[Point, ...]) -> Line | None:
    if len(points) < 2:
        return None
    polygon = QPolygonF([QPointF(x, y) for x, y in points])
    return Line(its_id, polygon, _middle(points), points[-1])


def _middle(points: tuple[Point, ...]) -> Point:
    """Return the point half way along a line."""
    at = np.array(points)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(at, axis=0).T))])
    return float(np.interp(gone[-1] / 2, gone, at[:, 0])), float(np.interp(gone[-1] / 2, gone, at[:, 1]))


def _premultiplied(rgb: Words32) -> Words32:
    """Return colors with the alpha of standing water, as Qt blends them fastest."""
    out = np.full(rgb.shape, SHADE_ALPHA << 24, dtype=np.uint32)
    for shift in (16, 8, 0):
        out |= ((rgb >> shift & 0xFF) * SHADE_ALPHA // 255).astype(np.uint32) << shift
    return out


_SHADES = _premultiplied(depth_shades(np.arange(int(DEEPEST_FT * STEPS_PER_FT) + 1)[np.newaxis] / STEPS_PER_FT)[0])
_EDGE = _premultiplied(np.array([QColor(look.STYLES["standing water"].stroke or look.INK).rgb()], dtype=np.uint32))[0]
