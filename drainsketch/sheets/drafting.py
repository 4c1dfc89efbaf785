"""The hand of the drawn details: dimensions with arrowheads, notes that never cover each other, panels in a grid.

Everything is data in points, y up, until a ``Board`` paints it.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import accumulate
from math import cos, hypot, pi, sin
from typing import Any

from msgspec import Struct
from msgspec.structs import replace
from reportlab.platypus import Flowable

from drainsketch.look import INK, PAPER, QUIET, Style
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, printable, width_of, wrapped
from drainsketch.sheets.labels import PlacedLabel, PlacedSign
from drainsketch.sheets.paint import paint_label, paint_line, paint_placed_sign
from drainsketch.sheets.plan_page import paint_item
from drainsketch.sheets.profile_picture import Drawn, Oval
from drainsketch.sheets.scale import ScaleBar
from drainsketch.sheets.strip import Bar, Print

TYPE_PT, LINE_PT = 9.0, 11.0
ARROW_PT, ARROW_HALF_PT = 5.0, 1.5
OVAL_CORNERS = 24
NOTE_GAP_PT = 2.5

OUTLINE = Style(stroke=INK, width_pt=1.2, fill=PAPER)
WALL = Style(stroke=INK, width_pt=1.2)
THIN = Style(stroke=INK, width_pt=0.5)
FAINT = Style(stroke=QUIET, width_pt=0.5)
HIDDEN = Style(stroke=INK, width_pt=0.6, dash_pt=(3, 2))
HEAVY = Style(stroke=INK, width_pt=1.8)
SOLID = Style(fill=INK)

Height = Callable[[float], float]  # from a level, ft, to the paper, pt
Piece = Drawn | Oval | Print | Bar | PlacedSign | PlacedLabel


class Panel(Struct, frozen=True):
    """A drawing with its lower left corner at (0, 0)."""

    pieces: tuple[Piece, ...]
    width: float
    height: float


class Note(Struct, frozen=True):
    """Words about a height of a drawing: the lines, the first one bold where ``strong``, and where its leader begins."""

    at: Spot
    lines: tuple[str, ...]
    strong: bool = False

    @property
    def height(self) -> float:
        """Return the room its lines take, pt."""
        return LINE_PT * len(self.lines)

    @property
    def width(self) -> float:
        """Return the width of its longest line, pt."""
        return max(width_of(line, self._font(i), TYPE_PT) for i, line in enumerate(self.lines))

    def _font(self, line: int) -> str:
        return NARROW_BOLD if self.strong and line == 0 else NARROW


def text(x: float, y: float, said: str, *, bold: bool = False, size_pt: float = TYPE_PT, place: str = "left") -> Print:
    """Return a line of words with its baseline at y; ``place`` says which end or middle of it stands at x."""
    said = printable(said)
    wide = width_of(said, NARROW_BOLD if bold else NARROW, size_pt)
    left = {"left": x, "middle": x - wide / 2, "right": x - wide}[place]
    return Print(left, y, said, size_pt, bold)


def lines_of_text(x: float, top: float, said: str, width: float, *, bold: bool = False, most: int = 6) -> list[Print]:
    """Return words broken into lines below ``top``."""
    font = NARROW_BOLD if bold else NARROW
    lines = wrapped(printable(said), font, TYPE_PT, width, most=most)
    return [Print(x, top - LINE_PT * (i + 1) + 2.5, line, TYPE_PT, bold) for i, line in enumerate(lines)]


def rect(x0: float, y0: float, x1: float, y1: float, style: Style) -> Drawn:
    """Return an upright rectangle."""
    return Drawn(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), style, closed=True)


def line(a: Spot, b: Spot, style: Style = THIN) -> Drawn:
    """Return a straight line."""
    return Drawn((a, b), style)


def arrow(tip: Spot, away: Spot) -> Drawn:
    """Return an arrowhead whose point is at ``tip``; it comes from the side of ``away``."""
    long = hypot(away[0] - tip[0], away[1] - tip[1]) or 1.0
    ux, uy = (away[0] - tip[0]) / long, (away[1] - tip[1]) / long
    bx, by = tip[0] + ux * ARROW_PT, tip[1] + uy * ARROW_PT
    px, py = -uy * ARROW_HALF_PT, ux * ARROW_HALF_PT
    return Drawn((tip, (bx + px, by + py), (bx - px, by - py)), SOLID, closed=True)


def dimension(a: Spot, b: Spot) -> list[Piece]:
    """Return a dimension line with an arrowhead at each end; outside the two ends where there is no room between them."""
    long = hypot(b[0] - a[0], b[1] - a[1])
    if long >= 2.5 * ARROW_PT:
        return [line(a, b), arrow(a, b), arrow(b, a)]
    ux, uy = ((b[0] - a[0]) / long, (b[1] - a[1]) / long) if long else (0.0, 1.0)
    out = ARROW_PT + 3.0
    before, after = (a[0] - ux * out, a[1] - uy * out), (b[0] + ux * out, b[1] + uy * out)
    return [line(before, a), line(b, after), arrow(a, before), arrow(b, after)]


def spread(wanted: Sequence[float], heights: Sequence[float], gap: float = NOTE_GAP_PT) -> list[float]:
    """Return centers of boxes in a column, none over another, as near to those wanted as least squares has them.

    Parameters
    ----------
    wanted : centers, from the lowest up
    heights : of the boxes
    gap : kept between them

    Source: pooling of neighbors that would overlap (isotonic regression). Check: tests/sheets/test_drafting.py

    Examples
    --------
    >>> spread([0.0, 0.0], [10.0, 10.0], gap=2.0)
    [-6.0, 6.0]
    """
    below = list(accumulate((h + gap for h in heights), initial=0.0))
    shift = [below[i] + heights[i] / 2 for i in range(len(heights))]
    pools: list[tuple[float, int]] = []
    for want, off in zip(wanted, shift, strict=True):
        pools.append((want - off, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (a, n), (b, m) = pools[-2:]
            pools[-2:] = [((a * n + b * m) / (n + m), n + m)]
    low = [at for at, count in pools for _ in range(count)]
    return [at + off for at, off in zip(low, shift, strict=True)]


def note_column(notes: Iterable[Note], x: float, *, right: bool) -> list[Piece]:
    """Return notes in a column with their leaders; none covers another.

    Parameters
    ----------
    x : left edge of the words of a column at the right, right edge of one at the left
    """
    ordered = sorted(notes, key=lambda n: n.at[1])
    centers = spread([n.at[1] for n in ordered], [n.height for n in ordered])
    pieces: list[Piece] = []
    elbow = x - 7.0 if right else x + 7.0
    for note, center in zip(ordered, centers, strict=True):
        knee = (elbow - 5.0 if right else elbow + 5.0, note.at[1])
        near = (x - 2.0 if right else x + 2.0, center)
        pieces.append(Drawn((note.at, knee, near), FAINT))
        top = center + note.height / 2
        for i, said in enumerate(note.lines):
            baseline = top - LINE_PT * (i + 1) + 2.7
            place = "left" if right else "right"
            pieces.append(text(x, baseline, said, bold=note.strong and i == 0, place=place))
    return pieces


def scale_rule(x: float, y: float, bar: ScaleBar, unit: str) -> list[Piece]:
    """Return a scale bar of two parts with its figures over it."""
    pieces: list[Piece] = [Bar(x, y, bar)]
    for i in range(3):
        said = f"{i * bar.part:g}"
        at = x + i * bar.part_pt - width_of(said, NARROW, TYPE_PT) / 2
        pieces.append(Print(at, y + 10.0, f"{said} {unit}" if i == 2 else said))
    return pieces


def bounds(pieces: Iterable[Piece]) -> Rect:
    """Return the rectangle round all pieces."""
    boxes = [_box(p) for p in pieces]
    return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)


def _box(piece: Piece) -> Rect:
    if isinstance(piece, Print):
        wide = width_of(piece.text, NARROW_BOLD if piece.bold else NARROW, piece.size_pt)
        return piece.x, piece.y - 0.24 * piece.size_pt, piece.x + wide, piece.y + 0.78 * piece.size_pt
    if isinstance(piece, Oval):
        (x, y), u, v = piece.center, piece.half_width, piece.half_height
        return x - u, y - v, x + u, y + v
    if isinstance(piece, PlacedLabel):
        return piece.box.hull()
    if isinstance(piece, PlacedSign):
        return *piece.at, *piece.at
    if isinstance(piece, Bar):
        return piece.x, piece.y, piece.x + 2 * piece.bar.part_pt, piece.y + 7.0
    xs, ys = zip(*piece.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def moved(pieces: Iterable[Piece], dx: float, dy: float) -> tuple[Piece, ...]:
    """Return pieces moved on the paper."""
    return tuple(_moved(p, dx, dy) for p in pieces)


def _moved(piece: Piece, dx: float, dy: float) -> Piece:
    if isinstance(piece, Drawn):
        return Drawn(tuple((x + dx, y + dy) for x, y in piece.points), piece.style, piece.closed)
    if isinstance(piece, Oval):
        return replace(piece, center=(piece.center[0] + dx, piece.center[1] + dy))
    if isinstance(piece, PlacedSign | PlacedLabel):
        leader = piece.leader and tuple((x + dx, y + dy) for x, y in piece.leader)
        if isinstance(piece, PlacedSign):
            return replace(piece, at=(piece.at[0] + dx, piece.at[1] + dy), leader=leader)
        return replace(piece, box=replace(piece.box, x=piece.box.x + dx, y=piece.box.y + dy), leader=leader)
    return replace(piece, x=piece.x + dx, y=piece.y + dy)


def panel(pieces: Sequence[Piece]) -> Panel:
    """Return pieces as a panel that holds them all."""
    x0, y0, x1, y1 = bounds(pieces)
    return Panel(moved(pieces, -x0, -y0), x1 - x0, y1 - y0)


def titled(title: str, about: str, body: Panel, width: float) -> Panel:
    """Return a panel with a title and a line about it over it, in the middle of a width."""
    head: list[Piece] = [*lines_of_text(0.0, 0.0, title, width, bold=True, most=2)]
    y = -LINE_PT * len(head)
    if about:
        said = lines_of_text(0.0, y, about, width, most=4)
        head += said
        y -= LINE_PT * len(said)
    y -= 5.0
    tall = body.height - y
    placed = moved(body.pieces, max(0.0, (width - body.width) / 2), 0.0)
    return Panel((*moved(head, 0.0, tall), *placed), width, tall)


class Board(Flowable):  # type: ignore[misc]
    """A panel on a page."""

    def __init__(self, drawn: Panel, below: float = 12.0) -> None:
        super().__init__()
        self.panel, self._below = drawn, below
        self.width, self.height = drawn.width, drawn.height + below

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Return the room it takes, pt."""
        return self.width, self.height

    def draw(self) -> None:
        """Paint it."""
        for piece in moved(self.panel.pieces, 0.0, self._below):
            paint_piece(self.canv, piece)


def grid(panels: Sequence[Panel], columns: int, width: float, gap: float) -> list[Board]:
    """Return panels side by side in rows, their heads at one height."""
    cell = (width - gap * (columns - 1)) / columns
    boards = []
    for start in range(0, len(panels), columns):
        row = panels[start : start + columns]
        tall = max(p.height for p in row)
        pieces = [q for i, p in enumerate(row) for q in moved(p.pieces, i * (cell + gap), tall - p.height)]
        boards.append(Board(Panel(tuple(pieces), width, tall)))
    return boards


def scale_head(said: str, bar: ScaleBar, unit: str, width: float) -> Board:
    """Return the scale in words with its bar at the right."""
    rule = panel(scale_rule(0.0, 0.0, bar, unit))
    words = lines_of_text(0.0, 0.0, said, width - rule.width - 16.0, bold=True)
    head = Panel(tuple(moved(words, 0.0, LINE_PT * len(words))), width, LINE_PT * len(words))
    tall = max(rule.height, head.height)
    pieces = (
        *moved(head.pieces, 0.0, (tall - head.height) / 2),
        *moved(rule.pieces, width - rule.width, (tall - rule.height) / 2),
    )
    return Board(Panel(pieces, width, tall), below=5.0)


def paint_piece(canvas: Any, piece: Piece) -> None:
    """Paint one piece."""
    if isinstance(piece, Drawn):
        paint_line(canvas, list(piece.points), piece.style, closed=piece.closed)
    elif isinstance(piece, Oval):
        paint_line(canvas, _corners(piece), piece.style, closed=True)
    elif isinstance(piece, PlacedLabel):
        paint_label(canvas, piece)
    elif isinstance(piece, PlacedSign):
        paint_placed_sign(canvas, piece)
    else:
        paint_item(canvas, piece)


def _corners(oval: Oval) -> list[Spot]:
    (x, y), turns = oval.center, [2 * pi * i / OVAL_CORNERS for i in range(OVAL_CORNERS)]
    return [(x + oval.half_width * cos(t), y + oval.half_height * sin(t)) for t in turns]
