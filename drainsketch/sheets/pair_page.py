"""The page of the owner's before and after: both plans at one true scale, what the shades mean, and the words below."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from msgspec import Struct
from reportlab.platypus import Flowable

from drainsketch.look import STYLES, WATER_SHADES, Style
from drainsketch.sheets.arrange import FOOT_PT, MARGIN
from drainsketch.sheets.boxes import Rect
from drainsketch.sheets.fonts import LINE_FEED, NARROW, NARROW_BOLD, width_of, wrapped
from drainsketch.sheets.layout import PlanSheet, spread
from drainsketch.sheets.paint import paint_line
from drainsketch.sheets.para import HEADING, SMALL, STRONG, para
from drainsketch.sheets.parts import Extent
from drainsketch.sheets.plan_page import Scene, paint_item, paint_yard, scene_of
from drainsketch.sheets.scale import Scale, fits, largest_fit, paper_size
from drainsketch.sheets.storm_pair import Pair, Pool, Side
from drainsketch.sheets.strip import (
    LINE_PT,
    PAD,
    ROW_PT,
    SWATCH_PT,
    TYPE_PT,
    Block,
    Item,
    Print,
    legend_block,
    legend_entries,
    scale_block,
)
from drainsketch.wording import Words

GAP_PT = 14.0  # between the plans
INSET_PT = 10.0  # from the frame of a plan to the yard
TITLE_PT = 11.0  # type of a plan's title
TOP_PT = 36.0  # head of the page and heading
LONGEST_LINE_PT = 640.0  # of the words below
SHADE_OPACITY = 0.75  # lines under the water stay to be seen
LEAST_ROOM_PT = 72.0


class PairSheet(Struct, frozen=True):
    """The page as data. ``below`` is how far down plans and legend reach; ``words`` stand under that.

    ``points`` is what has to be settled before this can be built.
    """

    pair: Pair
    points: tuple[str, ...]
    size: tuple[float, float]
    scenes: tuple[Scene, Scene]
    items: tuple[Item, ...]
    swatches: tuple[tuple[float, float, int], ...]  # x, y of the middle, shade
    below: float

    @property
    def words(self) -> list[Flowable]:
        """The words below the plans."""
        return _told(self.pair, self.points)

    @property
    def words_room(self) -> Rect:
        """Where they stand."""
        return MARGIN, MARGIN + FOOT_PT, MARGIN + _text_width(self.size), self.below


class _Way(Struct, frozen=True):
    """One way of holding the paper, with the plans side by side or one above the other; rooms for the yard, pt."""

    size: tuple[float, float]
    room: tuple[float, float]
    beside: bool


def pair_sheet(pair: Pair, points: tuple[str, ...], extent: Extent, words: Words, *, paper: str) -> PairSheet | None:
    """Return the page on which both yards are drawn largest, at one scale; None where they fit at no scale."""
    legend = _Legend(pair, words)
    width, height = spread(extent)
    best: tuple[float, _Way, Scale] | None = None
    for way in _ways(paper_size(paper), pair, points, legend):
        if min(way.room) < LEAST_ROOM_PT:
            continue
        scale = largest_fit(width, height, way.room, words.units)
        if fits(width, height, way.room, scale) and (best is None or scale.ft_per_in < best[0]):
            best = scale.ft_per_in, way, scale
    return _placed(pair, points, best[1], best[2], extent, legend) if best is not None else None


def _told(pair: Pair, points: tuple[str, ...]) -> list[Flowable]:
    said = [*(para(text, STRONG) for text in points), *(para(text) for text in pair.said)]
    return [*said, para(pair.caution, SMALL)]


def _text_width(size: tuple[float, float]) -> float:
    return min(size[0] - 2 * MARGIN, LONGEST_LINE_PT)


def _ways(size: tuple[float, float], pair: Pair, points: tuple[str, ...], legend: "_Legend") -> Iterator[_Way]:
    for held in (size, (size[1], size[0])):
        inner = held[0] - 2 * MARGIN
        told = sum(p.wrap(_text_width(held), 1e6)[1] + p.getSpaceAfter() for p in _told(pair, points))
        height = held[1] - 2 * MARGIN - FOOT_PT - TOP_PT - told - legend.height(inner) - 4 * PAD
        half = (inner - GAP_PT) / 2
        yield _Way(held, (half - 2 * INSET_PT, height - _title_pt(pair, half) - 2 * INSET_PT), True)
        above = (height - GAP_PT) / 2 - _title_pt(pair, inner)
        yield _Way(held, (inner - 2 * INSET_PT, above - 2 * INSET_PT), False)


def _title_lines(side: Side, width: float) -> list[str]:
    return wrapped(side.title, NARROW_BOLD, TITLE_PT, width)


def _title_pt(pair: Pair, width: float) -> float:
    """Return how tall the titles of the plans are, with the gap below them, pt."""
    most = max(len(_title_lines(side, width)) for side in (pair.today, pair.drained))
    return TITLE_PT * (1 + (most - 1) * LINE_FEED) + PAD


def _placed(
    pair: Pair, points: tuple[str, ...], way: _Way, scale: Scale, extent: Extent, legend: "_Legend"
) -> PairSheet:
    size, left, right = way.size, MARGIN, way.size[0] - MARGIN
    top = size[1] - MARGIN - TOP_PT
    tall = spread(extent)[1] * scale.pt_per_ft + 2 * INSET_PT
    wide = (right - left - GAP_PT) / 2 if way.beside else right - left
    center = (extent[0] + extent[2]) / 2, (extent[1] + extent[3]) / 2
    heading = Print(left, top + PAD, pair.title, HEADING.fontSize, bold=True)
    items: list[Item] = []
    scenes = []
    title = _title_pt(pair, wide)
    for i, side in enumerate((pair.today, pair.drained)):
        x = left + i * (wide + GAP_PT) if way.beside else left
        y = top if way.beside else top - i * (title + tall + GAP_PT)
        for n, line in enumerate(_title_lines(side, wide)):
            items.append(Print(x, y - TITLE_PT * (1 + n * LINE_FEED), line, TITLE_PT, bold=True))
        frame: Rect = (x, y - title - tall, x + wide, y - title)
        scenes.append(scene_of(side.marks, PlanSheet("", size, frame, frame, scale, center, (), ())))
    low = scenes[-1].sheet.frame[1] - 2 * PAD
    more, swatches = legend.at(left, low, right - left, scale)
    return PairSheet(
        pair=pair,
        points=points,
        size=size,
        scenes=(scenes[0], scenes[1]),
        items=(heading, *items, *more),
        swatches=swatches,
        below=low - legend.height(right - left) - PAD,
    )


class _Legend:
    """What stands under the plans: scale and bar, the shades of the water, the signs of the new pipe."""

    def __init__(self, pair: Pair, words: Words) -> None:
        self._words = words
        self._shades = tuple((shade, _shade_text(shade, words)) for shade in pair.shades)
        drawn = pair.drained.marks
        known = {id(m) for m in pair.today.marks.drains}
        new = tuple(m for m in drawn.drains if id(m) not in known)
        self._entries = legend_entries(type(drawn)((), new, (), ()), words)
        self._title = words.word("sheets.style.standing water")

    def height(self, width: float) -> float:
        """Return how tall it is at a width, pt."""
        return max(self._scale(Scale(10, self._words.units == "m")).height, self._tall(), self._drains(width).height)

    def at(
        self, left: float, top: float, width: float, scale: Scale
    ) -> tuple[tuple[Item, ...], tuple[tuple[float, float, int], ...]]:
        """Return its items, and its samples of water, with its upper left corner at a spot."""
        block = self._scale(scale)
        items = [*block.at(left, top)]
        x = left + block.width + 2 * PAD
        items.append(Print(x, top - TYPE_PT, self._title, bold=True))
        y = top - LINE_PT - 2 - ROW_PT / 2
        samples = []
        for shade, text in self._shades:
            samples.append((x + SWATCH_PT / 2, y, shade))
            items.append(Print(x + SWATCH_PT + 5, y - 0.36 * TYPE_PT, text))
            y -= ROW_PT
        items += self._drains(width).at(x + self._wide() + 2 * PAD, top)
        return tuple(items), tuple(samples)

    def _scale(self, scale: Scale) -> Block:
        return scale_block(scale, self._words)

    def _wide(self) -> float:
        texts = [width_of(text, NARROW, TYPE_PT) for _, text in self._shades]
        return max(SWATCH_PT + 5 + max(texts, default=0.0), width_of(self._title, NARROW_BOLD, TYPE_PT))

    def _tall(self) -> float:
        return LINE_PT + 2 + ROW_PT * len(self._shades)

    def _drains(self, width: float) -> Block:
        rest = width - self._scale(Scale(10, self._words.units == "m")).width - self._wide() - 4 * PAD
        return legend_block(self._entries, rest, self._words)


def _shade_text(shade: int, words: Words) -> str:
    """Return the depths that a shade stands for."""
    low = 12 * WATER_SHADES[shade][0]
    if shade + 1 == len(WATER_SHADES):
        return words.word("sheets.pair.shade_last", low=low)
    high = 12 * WATER_SHADES[shade + 1][0]
    return words.word("sheets.pair.shade" if shade else "sheets.pair.shade_first", low=low, high=high)


def paint_pair(canvas: Any, sheet: PairSheet) -> None:
    """Paint both plans and what stands under them."""
    for scene, side in zip(sheet.scenes, (sheet.pair.today, sheet.pair.drained), strict=True):
        paint_yard(canvas, scene, partial(_paint_pools, canvas, scene, side.pools))
        left, low, right, high = scene.sheet.frame
        paint_line(canvas, [(left, low), (right, low), (right, high), (left, high)], STYLES["frame"], closed=True)
    for x, y, shade in sheet.swatches:
        half = SWATCH_PT / 2
        corners = [(x - half, y - 4.5), (x + half, y - 4.5), (x + half, y + 4.5), (x - half, y + 4.5)]
        paint_line(canvas, corners, _shade(shade), closed=True)
    for item in sheet.items:
        paint_item(canvas, item)


def _paint_pools(canvas: Any, scene: Scene, pools: tuple[Pool, ...]) -> None:
    """Paint water shade by shade, then its waterlines."""
    to_paper = scene.sheet.to_paper
    for pool in pools:
        first, *others = [[to_paper(p) for p in ring] for ring in pool.rings]
        paint_line(canvas, first, _shade(pool.shade), closed=True, holes=others)
    for pool in pools:
        for ring in pool.outer:
            paint_line(canvas, [to_paper(p) for p in ring], WATERLINE, closed=True)


WATERLINE = Style(stroke=STYLES["standing water"].stroke, width_pt=0.8)


def _shade(shade: int) -> Style:
    return Style(fill=WATER_SHADES[shade][1], opacity=SHADE_OPACITY)
