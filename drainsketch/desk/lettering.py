"""Words and flags of the plan on screen: placed by the rules of the sheets, in points, and handed on in pixels."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, pairwise
from math import floor

from msgspec.structs import replace
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QPainter

from drainsketch import look
from drainsketch.desk.fonts import PX_PER_PT, lettering_font, metrics, plan_metrics
from drainsketch.desk.painter import paint_sign, pen
from drainsketch.desk.view import View
from drainsketch.job.kinds import Point
from drainsketch.sheets.boxes import Box, Rect, Spot, Taken, rect_box
from drainsketch.sheets.labels import (
    KEEP_RANK,
    PIPE_WEIGHT,
    PlacedLabel,
    PlacedSign,
    ToDevice,
    lines_of,
    place_labels,
    place_signs,
)
from drainsketch.sheets.marks import Disc, Label, Mark, Sign, Stroke
from drainsketch.sheets.signs import TEXT_PT, sign_size

MOST_MOVED_FLAGS = 60
MOST_LEGS = 3_000
SOME_LEGS = 100  # noted in one step
TILE_PX = 160.0
CROWD = 6  # labels in a tile of a very full picture
MOST_WITH_LEADERS = 200  # labels in a picture; among more than that a leader helps nobody and costs long
HANDFUL = 4  # labels without a leader placed in one step
LIVE_REACH_PX = 140.0
HALO_PX = 1.6
LINE_SPACING = 0.98


def symbol_rects(marks: Iterable[Mark], view: View, bounds: Rect) -> list[Rect]:
    """Return the rectangles that symbols and tree trunks cover within bounds, pixels."""
    found = []
    for mark in marks:
        if isinstance(mark, Sign):
            rect = _about(view.to_px(mark.at), sign_size_px(mark))
        elif isinstance(mark, Disc) and mark.style == "trunk":
            rect = _about(view.to_px(mark.center), max(8.0, 2 * mark.radius_ft * view.px_per_ft))
        else:
            continue
        if _meet(rect, bounds):
            found.append(rect)
    return found


def placed_flags(flags: Iterable[Mark], view: View, clear: Sequence[Rect], bounds: Rect) -> list[PlacedSign]:
    """Return the flags with their places, pixels; very many stay where they are."""
    signs = [f for f in flags if isinstance(f, Sign) and _meet(_about(view.to_px(f.at), 0.0), bounds)]
    if len(signs) > MOST_MOVED_FLAGS:
        return [PlacedSign(f, view.to_px(f.at)) for f in signs]
    found = place_signs(
        signs, _points_of(view), _sign_size_pt, keep_clear=[_shrunk(r) for r in clear], bounds=_shrunk(bounds)
    )
    return [PlacedSign(f.sign, _grown(f.at), _leader(f.leader)) for f in found]


def flag_rects(flags: Iterable[PlacedSign]) -> list[Rect]:
    """Return the rectangles that placed flags cover, pixels."""
    return [_about(f.at, sign_size_px(f.sign)) for f in flags]


def placed_labels(labels: Sequence[Label], view: View, clear: Sequence[Rect], bounds: Rect) -> list[PlacedLabel]:
    """Return the labels that have a place, pixels."""
    found = place_labels(
        labels, _points_of(view), _label_size_pt, keep_clear=[_shrunk(r) for r in clear], bounds=_shrunk(bounds)
    )
    return [_in_pixels(one) for one in found]


def line_pieces(strokes: Iterable[Stroke], view: View) -> Iterator[tuple[Spot, Spot]]:
    """Yield the legs of lines that words had better not cover, pixels."""
    for stroke in strokes:
        yield from pairwise([view.to_px(q) for q in stroke.points])


def labels_in_tiles(
    labels: Iterable[Label], view: View, clear: Sequence[Rect], bounds: Rect, strokes: Iterable[Stroke], shown: Rect
) -> Iterator[list[PlacedLabel]]:
    """Yield placed labels a tile of the screen at a time, so that a picture may be painted between.

    Words of structures and runs come first everywhere. In a very full picture a tile keeps a few, without leaders.

    Parameters
    ----------
    clear : rectangles that no label may cover, pixels
    bounds : the picture, pixels
    strokes : pipe and services, better not covered; left out when there are very many
    shown : the part of the picture that is on the screen; its labels stay within it where they can
    """
    taken, room = Taken(), _shrunk(bounds)
    for rect in clear:
        taken.add(rect_box(_shrunk(rect)))
    legs = [(_down(a), _down(b)) for a, b in islice(line_pieces(strokes, view), MOST_LEGS + 1)]
    yield []
    for start in range(0, len(legs) if len(legs) <= MOST_LEGS else 0, SOME_LEGS):
        taken.add_lines(legs[start : start + SOME_LEGS], room, PIPE_WEIGHT)
        yield []
    for few in _handfuls(labels, view, bounds):
        found = place_labels(few, _points_of(view), _label_size_pt, bounds=_shrunk(shown), taken=taken)
        rest = _without_place(few, found)
        found += place_labels(rest, _points_of(view), _label_size_pt, bounds=room, taken=taken)
        yield [_in_pixels(one) for one in found]


def _handfuls(labels: Iterable[Label], view: View, bounds: Rect) -> Iterator[list[Label]]:
    """Yield the labels of each tile a handful at a time, those that are never left out first."""
    tiles: dict[tuple[int, int], list[Label]] = defaultdict(list)
    for label in labels:
        x, y = view.to_px(label.at)
        if bounds[0] <= x <= bounds[2] and bounds[1] <= y <= bounds[3]:
            tiles[floor(x / TILE_PX), floor(y / TILE_PX)].append(label)
    later = []
    # levels of contours come last and take no leader, so that however many there are they cost the drawing none
    many = sum(one.lettering != "contour" for found in tiles.values() for one in found) > MOST_WITH_LEADERS
    for found in tiles.values():
        kept = sorted(found, key=lambda one: one.rank)
        if many:
            kept = [without_leader(one) for one in kept[:CROWD]]
        first = [one for one in kept if one.rank <= KEEP_RANK]
        yield from ([one] for one in first)
        later.append([one for one in kept if one.rank > KEEP_RANK])
    for rest in later:
        yield from (rest[i : i + HANDFUL] for i in range(0, len(rest), HANDFUL))


def without_leader(label: Label) -> Label:
    """Return a label that is rather left out than put on a leader."""
    return label if label.rank > KEEP_RANK else replace(label, rank=KEEP_RANK + 1)


def _inside(rect: Rect, bounds: Rect) -> Rect:
    return max(rect[0], bounds[0]), max(rect[1], bounds[1]), min(rect[2], bounds[2]), min(rect[3], bounds[3])


def live_labels(
    labels: Sequence[Label], view: View, clear: Sequence[Rect], taken: Iterable[Rect], bounds: Rect
) -> list[PlacedLabel]:
    """Return the labels of a few things in motion with a place near them, quickly: over other words rather than far off."""
    spots = [view.to_px(label.at) for label in labels]
    near = [r for r in taken if any(_meet(_about(spot, 2 * LIVE_REACH_PX), r) for spot in spots)]
    quick = [without_leader(label) for label in labels]
    placed = placed_labels(quick, view, [*clear, *near], bounds)
    return placed + placed_labels(_without_place(quick, placed), view, (), bounds)


def _without_place(labels: Sequence[Label], placed: Iterable[PlacedLabel]) -> list[Label]:
    done = {(one.label.owner, one.label.at) for one in placed}
    return [one for one in labels if (one.owner, one.at) not in done]


def sign_size_px(sign: Sign) -> float:
    """Return the full width of a symbol close by, pixels."""
    return _sign_size_pt(sign) * PX_PER_PT


def _sign_size_pt(sign: Sign) -> float:
    width = plan_metrics(TEXT_PT, bold=True, condensed=True).horizontalAdvance(sign.text) if sign.text else 0.0
    return sign_size(sign, width / PX_PER_PT)


def _label_size_pt(label: Label) -> tuple[float, float]:
    lines = lines_of(label)
    width = max(metrics(lettering).horizontalAdvance(text) for text, lettering in lines)
    height = sum(metrics(lettering).height() * LINE_SPACING for _, lettering in lines)
    return width / PX_PER_PT, height / PX_PER_PT


def _points_of(view: View) -> ToDevice:
    def to_points(at: Point) -> Spot:
        return _down(view.to_px(at))

    return to_points


def _down(spot: Spot) -> Spot:
    return spot[0] / PX_PER_PT, spot[1] / PX_PER_PT


def _grown(spot: Spot) -> Spot:
    return spot[0] * PX_PER_PT, spot[1] * PX_PER_PT


def _shrunk(rect: Rect) -> Rect:
    return rect[0] / PX_PER_PT, rect[1] / PX_PER_PT, rect[2] / PX_PER_PT, rect[3] / PX_PER_PT


def _leader(leader: tuple[Spot, Spot] | None) -> tuple[Spot, Spot] | None:
    return None if leader is None else (_grown(leader[0]), _grown(leader[1]))


def _in_pixels(placed: PlacedLabel) -> PlacedLabel:
    b = placed.box
    box = Box(b.x * PX_PER_PT, b.y * PX_PER_PT, b.width * PX_PER_PT, b.height * PX_PER_PT, b.angle_deg)
    return replace(placed, box=box, leader=_leader(placed.leader))


def _about(at: Spot, side: float) -> Rect:
    half = side / 2
    return at[0] - half, at[1] - half, at[0] + half, at[1] + half


def _meet(a: Rect, b: Rect) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def paint_label(p: QPainter, placed: PlacedLabel) -> None:
    """Paint the words of a label at their place, with halo and leader."""
    box = placed.box
    if placed.leader is not None:
        _paint_leader(p, *placed.leader)
    p.save()
    p.translate(box.x, box.y)
    if box.angle_deg:
        p.rotate(box.angle_deg)
    top = -box.height / 2
    for text, lettering in lines_of(placed.label):
        size = metrics(lettering)
        middle = placed.label.along is not None
        left = -size.horizontalAdvance(text) / 2 if middle else -box.width / 2
        write(p, QPointF(left, top + size.ascent()), text, lettering)
        top += size.height() * LINE_SPACING
    p.restore()


def write(p: QPainter, at: QPointF, text: str, lettering: str) -> None:
    """Write a line of text from its baseline, with the halo of its lettering."""
    style = look.LETTERING[lettering]
    p.setFont(lettering_font(lettering))
    if style.halo:
        p.setPen(QColor(style.halo))
        for dx, dy in ((-1, -1), (-1, 1), (1, -1), (1, 1), (-1, 0), (1, 0), (0, -1), (0, 1)):
            p.drawText(QPointF(at.x() + dx * HALO_PX, at.y() + dy * HALO_PX), text)
    p.setPen(QColor(style.color))
    p.drawText(at, text)


def paint_flag(p: QPainter, placed: PlacedSign) -> None:
    """Paint a flag at its place, with a leader where it had to move aside."""
    if placed.leader is not None:
        _paint_leader(p, *placed.leader)
    scale = sign_size_px(placed.sign) / PX_PER_PT / look.SYMBOLS[placed.sign.symbol].size_pt
    paint_sign(p, placed.sign, *placed.at, scale)


def _paint_leader(p: QPainter, a: Point, b: Point) -> None:
    p.setPen(pen("leader"))
    p.drawLine(QPointF(*a), QPointF(*b))
