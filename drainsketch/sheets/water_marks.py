"""Marks and words of the ground study: contours with their levels, standing water, the ground that reaches an inlet.

Window and paper draw the same ones. Levels of contours are set for a scale, since they follow the line that is drawn.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import hypot

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from drainsketch.ground.results import Catchment, Contour, GroundStudy, Pond
from drainsketch.job.ask import area_ft2
from drainsketch.job.kinds import Point
from drainsketch.job.rates import LITERS_PER_GALLON
from drainsketch.look import LETTERING, STYLES
from drainsketch.sheets.ground_marks import RANK_PLACE, RANK_SERVICE, RANK_SHOT, inside_point
from drainsketch.sheets.marks import Label, Mark, PlanMarks, Stroke
from drainsketch.wording import Words

Floats = NDArray[np.float64]
RANK_CONTOUR = RANK_SHOT + 1
INDEX_EVERY = 5
LEAST_GALLONS = 5.0
LEAST_DEPTH_FT = 0.5 / 12  # a pond less deep gets no words: half an inch dries by itself
STRAIGHT = 0.9  # chord to length of line under a level; a line that bends more carries no level there
LEVEL_EVERY = 7.0  # widths of its words from one level of a contour to the next


class Water(Struct, frozen=True):
    """What of the ground study goes on paper: standing water, and contours when they are asked for."""

    ground: GroundStudy
    contours: bool = False


def with_water(marks: PlanMarks, water: Water, words: Words, *, reader: str) -> PlanMarks:
    """Return the marks of a plan with standing water over its areas and under its lines.

    The owner sees water where it stands now, the crew where it stands once the plan is built, and contours if asked.
    """
    standing = water.ground.ponds_now if reader == "owner" else water.ground.ponds
    ponds = [p for p in standing if p.depth_ft >= LEAST_DEPTH_FT]
    lines = contour_marks(water.ground.contours) if water.contours and reader == "crew" else ()
    labels = [label for p in ponds if (label := pond_label(p, water.ground, words)) is not None]
    if reader == "owner":
        said = [words.word("sheets.water.today", pond=label.text.split("\n")[0]) for label in labels]
        labels = [replace(label, text=text) for label, text in zip(labels, said, strict=True)]
    areas = tuple(m for m in marks.ground if is_filled(m))
    rest = tuple(m for m in marks.ground if not is_filled(m))
    return replace(marks, ground=(*areas, *pond_marks(ponds), *lines, *rest), labels=(*marks.labels, *labels))


def with_contour_levels(marks: PlanMarks, water: Water, words: Words, pt_per_ft: float) -> PlanMarks:
    """Return the marks of a plan with the levels of its contours, for the scale it is drawn at."""
    if not water.contours:
        return marks
    from drainsketch.sheets.fonts import font_of, width_of

    found: list[Label] = []
    for contour in water.ground.contours:
        how = LETTERING["contour"]
        width_pt = width_of(words.level(contour.level_ft), font_of(how), how.size_pt)
        found += contour_labels(contour, words, width_pt / pt_per_ft)
    return replace(marks, labels=(*marks.labels, *found))


def is_filled(mark: Mark) -> bool:
    """Return whether a mark is an area that water may stand on: a building is none."""
    return (
        isinstance(mark, Stroke)
        and mark.closed
        and mark.style not in ("building", "boundary")
        and STYLES[mark.style].fill is not None
    )


def contour_style(level_ft: float, interval_ft: float) -> str:
    """Return the style of a contour: every fifth is heavier."""
    fifth = level_ft / (INDEX_EVERY * interval_ft)
    return "contour.index" if abs(fifth - round(fifth)) < 1e-6 else "contour"


def interval_of(contours: Sequence[Contour]) -> float:
    """Return the least gap between contours, ft; 1 when there are fewer than two."""
    levels = sorted({c.level_ft for c in contours})
    return min((b - a for a, b in pairwise(levels)), default=1.0)


def contour_marks(contours: Sequence[Contour]) -> tuple[Mark, ...]:
    """Return the lines of contours."""
    interval_ft = interval_of(contours)
    return tuple(
        Stroke(points=tuple((float(x), float(y)) for x, y in line), style=contour_style(c.level_ft, interval_ft))
        for c in contours
        for line in c.lines
        if len(line) > 1
    )


def contour_labels(contour: Contour, words: Words, width_ft: float) -> Iterator[Label]:
    """Yield the level of a contour at places along it where the line is nearly straight.

    Parameters
    ----------
    width_ft : how wide the words are on the ground at the scale they are written at
    """
    text = words.level(contour.level_ft)
    for line in contour.lines:
        for at, along in _straight_places(line, width_ft):
            yield Label(at=at, text=text, lettering="contour", along=along, rank=RANK_CONTOUR, clear_pt=0.0)


def _straight_places(line: Floats, width_ft: float) -> Iterator[tuple[Point, tuple[Point, Point]]]:
    """Yield places on a line, each with a leg along it that is long enough for words of this width to stand on."""
    steps = np.hypot(*np.diff(line, axis=0).T)
    gone = np.concatenate([[0.0], np.cumsum(steps)])
    length, half = float(gone[-1]), 0.6 * width_ft
    if length < 4 * half:
        return
    count = max(1, int(length / (LEVEL_EVERY * width_ft)))
    for k in range(count):
        for shift in (0.0, 0.12, -0.12, 0.25, -0.25):
            s = (k + 0.5 + shift) * length / count
            if not half < s < length - half:
                continue
            ends = np.array([s - half, s, s + half])
            (ax, mx, bx), (ay, my, by) = np.interp(ends, gone, line[:, 0]), np.interp(ends, gone, line[:, 1])
            chord = hypot(bx - ax, by - ay)
            if chord < STRAIGHT * 2 * half:
                continue
            x, y = float(ax + bx + 2 * mx) / 4, float(ay + by + 2 * my) / 4
            ux, uy = (bx - ax) / chord * 2 * width_ft, (by - ay) / chord * 2 * width_ft
            yield (x, y), ((float(x - ux), float(y - uy)), (float(x + ux), float(y + uy)))
            break


def pond_marks(ponds: Iterable[Pond]) -> tuple[Mark, ...]:
    """Return the outlines of standing water."""
    return tuple(
        Stroke(points=p.outline[0], style="standing water", closed=True, holes=p.outline[1:])
        for p in ponds
        if p.outline
    )


def pond_label(pond: Pond, ground: GroundStudy, words: Words) -> Label | None:
    """Return what is said of standing water: depth, volume, and how high it rises; None of what is hardly a puddle."""
    if pond.depth_ft < LEAST_DEPTH_FT:
        return None
    text = words.word("sheets.water.pond", depth=12 * pond.said_depth_ft, volume=volume_text(pond.volume_gal, words))
    drained = {i.id for i in ground.inlets}.intersection(pond.inlets)
    if drained:
        text += "\n" + words.word("sheets.water.drains", inlets=tuple(i for i in pond.inlets if i in drained))
    else:
        text += "\n" + words.word("sheets.water.spills", level=pond.level_ft)
    return Label(at=pond.low_point, text=text, lettering="water", rank=RANK_SERVICE, clear_pt=0.0)


def volume_text(gallons: float, words: Words) -> str:
    """Return a volume of water to two figures: more would be feigned."""
    value, unit = (gallons * LITERS_PER_GALLON, "L") if words.units == "m" else (gallons, "gal")
    if gallons < LEAST_GALLONS:
        least = LEAST_GALLONS * LITERS_PER_GALLON if words.units == "m" else LEAST_GALLONS
        return words.word("sheets.water.under", volume=f"{least:.0f} {unit}")
    return f"{float(f'{value:.2g}'):,.0f} {unit}"


def area_label(area: Catchment, words: Words) -> Label | None:
    """Return the words of the ground that reaches an inlet."""
    if not area.outline:
        return None
    largest = max(area.outline, key=area_ft2)
    text = words.word("sheets.water.area", area=round(area.area_ft2), inlet=area.inlet)
    return Label(at=inside_point(largest), text=text, lettering="place", rank=RANK_PLACE, clear_pt=0.0)
