"""A profile in the units of the device: structures and services made ready to paint, signs and words with their places.

Window and paper ask it alike: device units are pixels or points, and the axis of levels may run either way.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from drainsketch.look import INK, LEVEL_COLORS, PAPER, SERVICE_COLORS, STYLES, Style
from drainsketch.sheets.axes import Axis
from drainsketch.sheets.boxes import Rect, Spot, Taken, rect_box
from drainsketch.sheets.labels import PlacedLabel, PlacedSign, place_labels, place_signs
from drainsketch.sheets.marks import Label, Sign
from drainsketch.sheets.profile_marks import ProfileMarks, Section
from drainsketch.sheets.profile_stacks import Column

LEAST_COLUMN = 7.0  # all of these: pixels on screen
LEAST_SECTION = 6.0
LINE = 24.0  # the ground is kept clear of words in pieces of about this length
SLIM = 140.0  # in a picture no higher than this inverts are not written
SPARED = ("level", "run")  # words that are rather left out than written over pipe or ground


class Drawn(Struct, frozen=True):
    """A line or outline in device units."""

    points: tuple[Spot, ...]
    style: Style
    closed: bool = False


class Oval(Struct, frozen=True):
    """A pipe or service cut across, in device units."""

    center: Spot
    half_width: float
    half_height: float
    style: Style


class Picture(Struct, frozen=True):
    """Where a profile is drawn: both axes, the room for words, and the size of a screen pixel (1 there, 0.75 pt on paper)."""

    along: Axis
    up: Axis
    room: Rect
    dot: float = 1.0

    def at(self, spot: Spot) -> Spot:
        """Return the place of a (station, level)."""
        return self.along.px(spot[0]), self.up.px(spot[1])


class Lettered(Struct, frozen=True):
    """Flags and labels with their places."""

    flags: tuple[PlacedSign, ...]
    labels: tuple[PlacedLabel, ...]


def shapes(marks: ProfileMarks, picture: Picture) -> Iterator[Drawn | Oval]:
    """Yield the structures of a profile in painting order."""
    for column in marks.columns:
        yield from _column(column, picture)


def spots_seen(marks: ProfileMarks, picture: Picture) -> Iterator[Drawn | Oval]:
    """Yield services, pipe end on and readings on laid pipe: what is painted over the ground line."""
    for section in marks.sections:
        yield from _section(section, picture)
    for at_ft, level, ok in marks.laid:
        x, y = picture.at((at_ft, level))
        if ok:
            half = 3.5 * picture.dot
            yield Oval((x, y), half, half, Style(stroke=PAPER, width_pt=1.0, fill=STYLES["laid pipe"].stroke))
            continue
        d = 4.0 * picture.dot
        for style in (Style(stroke=PAPER, width_pt=4.0), Style(stroke=LEVEL_COLORS["stop"], width_pt=2.2)):
            yield Drawn(((x - d, y - d), (x + d, y + d)), style)
            yield Drawn(((x - d, y + d), (x + d, y - d)), style)


def letter(
    marks: ProfileMarks,
    picture: Picture,
    sign_size: Callable[[Sign], float],
    label_size: Callable[[Label], tuple[float, float]],
    clear: Sequence[Rect] = (),
) -> Lettered:
    """Return flags and labels with places where none covers another, nor a structure, a service or what is to be kept clear.

    Parameters
    ----------
    sign_size, label_size : full width of a sign; width and height of a label's words, device units
    clear : where no words may stand
    """
    x0, y0, x1, y1 = picture.room
    taken_by = [*clear, *(r for s in marks.sections if (r := _section_rect(s, picture)) is not None)]
    taken_by += [_column_rect(c, picture) for c in marks.columns]
    signs = [_lifted(s, sign_size(s), picture) for s in marks.flags if x0 <= picture.along.px(s.at[0]) <= x1]
    flags = place_signs(signs, picture.at, sign_size, keep_clear=taken_by, bounds=picture.room)
    taken = Taken()
    for rect in (*taken_by, *(_about(f.at, sign_size(f.sign) / 2) for f in flags)):
        taken.add(rect_box(rect))
    taken.add_lines(_lines(marks, picture), picture.room)
    slim = y1 - y0 < SLIM * picture.dot
    labels = [
        m
        for m in marks.labels
        if (m.along is None or _fits(m, label_size(m)[0], picture)) and not (slim and m.lettering == "level")
    ]
    placed = place_labels(labels, picture.at, label_size, bounds=picture.room, taken=taken)
    return Lettered(flags, tuple(p for p in placed if p.label.lettering not in SPARED or not taken.lines_under(p.box)))


def _lines(marks: ProfileMarks, picture: Picture) -> Iterator[tuple[Spot, Spot]]:
    """Yield the pipe and the ground in pieces: what words had better not cover."""
    step_ft = LINE * picture.dot / picture.along.px_per_ft
    for mark in (*marks.ground, *marks.lines):
        if mark.style in ("pipe wall", "ground line", "ground guess"):
            points = [mark.points[0]]
            for point in mark.points[1:-1]:
                if mark.style == "pipe wall" or point[0] - points[-1][0] >= step_ft:
                    points.append(point)
            yield from pairwise([picture.at(p) for p in (*points, mark.points[-1])])


def _lifted(sign: Sign, size: float, picture: Picture) -> Sign:
    """Return a sign that stands over the level it speaks of."""
    at = sign.at[0], sign.at[1] + (size / 2 + 4 * picture.dot) / picture.up.px_per_ft
    return Sign(at=at, symbol=sign.symbol, owner=sign.owner, text=sign.text)


def _fits(label: Label, width: float, picture: Picture) -> bool:
    """Return whether words along a stretch of pipe are shorter than it."""
    assert label.along is not None  # the caller looked
    (a, _), (b, _) = label.along
    return abs(b - a) * picture.along.px_per_ft > width + 24 * picture.dot


def _about(at: Spot, half: float) -> Rect:
    return at[0] - half, at[1] - half, at[0] + half, at[1] + half


def _column(column: Column, picture: Picture) -> Iterator[Drawn | Oval]:
    """Yield a structure; one no wider than a hair is drawn wide enough to see."""
    x, top = picture.at((column.at_ft, column.top_ft))
    if not column.layers:
        half = 3.5 * picture.dot
        yield Oval((x, top), half, half, Style(stroke=INK, width_pt=1.4, fill=PAPER))
        return
    wide = _wide(column, picture)
    for layer in column.layers:
        more = max(layer.wider_ft * picture.along.px_per_ft, 6.0 * picture.dot) if layer.wider_ft else 0.0
        low, high, half = picture.up.px(layer.bottom_ft), picture.up.px(layer.top_ft), (wide + more) / 2
        corners = ((x - half, low), (x + half, low), (x + half, high), (x - half, high))
        yield Drawn(corners, STYLES[layer.style], closed=True)
    if column.grate:
        over = wide / 2 + 3 * picture.dot
        yield Drawn(((x - over, top), (x + over, top)), Style(stroke=INK, width_pt=2.8))


def _wide(column: Column, picture: Picture) -> float:
    return max(LEAST_COLUMN * picture.dot, column.width_ft * picture.along.px_per_ft)


def _column_rect(column: Column, picture: Picture) -> Rect:
    half = _wide(column, picture) / 2 + picture.dot
    low = min((layer.bottom_ft for layer in column.layers), default=column.top_ft)
    x = picture.along.px(column.at_ft)
    y0, y1 = sorted((picture.up.px(column.top_ft), picture.up.px(low)))
    return x - half, y0 - 2 * picture.dot, x + half, y1 + 2 * picture.dot


def _oval(section: Section, picture: Picture) -> Oval | None:
    """Return a pipe cut across; None where its depth is not known."""
    if section.top_ft is None or section.bottom_ft is None:
        return None
    least = LEAST_SECTION * picture.dot / 2
    wide = max(least, section.width_ft * picture.along.px_per_ft / 2)
    high = max(least, (section.top_ft - section.bottom_ft) * picture.up.px_per_ft / 2)
    color = PAPER if section.kind in ("branch", "run") else SERVICE_COLORS.get(section.kind, INK)
    center = picture.at((section.at_ft, (section.top_ft + section.bottom_ft) / 2))
    return Oval(center, wide, high, Style(stroke=INK, width_pt=1.0, fill=color))


def _section_rect(section: Section, picture: Picture) -> Rect | None:
    oval = _oval(section, picture)
    if oval is None:
        return None
    (x, y), off = oval.center, section.error_ft * picture.up.px_per_ft + oval.half_height + 2 * picture.dot
    return x - oval.half_width - 2 * picture.dot, y - off, x + oval.half_width + 2 * picture.dot, y + off


def _section(section: Section, picture: Picture) -> Iterator[Drawn | Oval]:
    """Yield a pipe or service with the bar of how far it may be off; of unknown depth a broken line all the way down."""
    oval = _oval(section, picture)
    if oval is None:
        x, (_, y0, _, y1) = picture.along.px(section.at_ft), picture.room
        color = SERVICE_COLORS.get(section.kind, INK)
        yield Drawn(((x, y0), (x, y1)), Style(stroke=color, width_pt=1.8, dash_pt=(6, 3)))
        return
    (x, y), off = oval.center, section.error_ft * picture.up.px_per_ft
    if off > picture.dot:
        tick = 4 * picture.dot
        for end in (y - oval.half_height - off, y + oval.half_height + off):
            yield Drawn(((x, y), (x, end)), Style(stroke=INK, width_pt=1.2))
            yield Drawn(((x - tick, end), (x + tick, end)), Style(stroke=INK, width_pt=1.2))
    yield oval
