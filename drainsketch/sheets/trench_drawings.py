"""Every kind of trench of a job drawn in section to a true scale, with its hatches named."""

from collections.abc import Sequence
from math import cos, radians, sin

from msgspec.structs import replace
from reportlab.platypus import CondPageBreak, Flowable
from shapely import Point, box

from drainsketch.job.model import Job
from drainsketch.review import Review
from drainsketch.sheets.detail_head import detail_head
from drainsketch.sheets.detail_scale import detail_bar, detail_scales, scale_words
from drainsketch.sheets.drafting import (
    FAINT,
    HEAVY,
    HIDDEN,
    OUTLINE,
    THIN,
    TYPE_PT,
    WALL,
    Board,
    Note,
    Panel,
    Piece,
    dimension,
    grid,
    line,
    note_column,
    panel,
    rect,
    text,
    titled,
)
from drainsketch.sheets.fonts import NARROW, width_of
from drainsketch.sheets.hatches import hatched, region_of
from drainsketch.sheets.para import SMALL_STRONG, para
from drainsketch.sheets.profile_picture import Drawn, Oval
from drainsketch.sheets.scale import Scale
from drainsketch.takeoff.trench_sections import Layer, TrenchSection, layers, tape_in, trench_sections
from drainsketch.wording import Words

BESIDE_PT = 22.0  # of ground drawn beside the trench
EARTH_PT = 12.0
GUTTER_PT = 16.0
MOST_HIGH_PT = 250.0
SMALLEST_BESIDE = 2.0  # ft per in: two beside each other are drawn no smaller than this
TIER_PT = 11.0
LEGEND = ("earth", "native", "stone", "topsoil", "base", "sand", "asphalt", "concrete", "pavers", "paving", "gravel")
SWATCH = (22.0, 13.0)
Names = dict[int, list[str]]


def trench_drawings(job: Job, review: Review, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return a section of each kind of trench, each drawn at its deepest cut, all at one scale; [] while there are no grades.

    Runs that cannot be laid as drawn have no trench to be dug and are left out.
    """
    workable = review.workable
    works = review.works
    dug = tuple(w for w in works.runs if w.run.id in workable)
    found = trench_sections(replace(works, runs=dug))
    if not found:
        return []
    scale, columns, panels = _laid_out(found, job, words, width)
    bar = detail_bar(scale)
    said = words.word("details.scale.said", scale=scale_words(scale, words), length=words.measure(bar.check))
    first, *rest = grid(panels, columns, width, GUTTER_PT)
    key = Board(_legend(_materials(found, job), words, width), below=10.0)
    return [
        CondPageBreak(min(first.height + 150.0, 560.0)),
        *detail_head("trench", said, bar, words, names, width, taper=job.criteria.outfall_taper_ft),
        para(words.word("details.trench.caution"), SMALL_STRONG),
        key,
        first,
        *rest,
    ]


def _laid_out(found: Sequence[TrenchSection], job: Job, words: Words, width: float) -> tuple[Scale, int, list[Panel]]:
    """Return the largest scale at which every section fits two beside each other, and the panels."""
    heads = [_head(s, words) for s in found]
    fitting = [
        s for s in detail_scales(words.units) if max(t.greatest_cut_ft for t in found) * s.pt_per_ft <= MOST_HIGH_PT
    ]
    for columns, scales in ((2, [s for s in fitting if s.ft_per_in <= SMALLEST_BESIDE]), (1, fitting)):
        cell = (width - GUTTER_PT * (columns - 1)) / columns
        for scale in scales if columns <= len(found) else ():
            drawn = [section_of(s, job, words, scale) for s in found]
            if all(p.width <= cell + 1e-6 for p in drawn):
                return scale, columns, [titled(*h, p, cell) for h, p in zip(heads, drawn, strict=True)]
    scale = detail_scales(words.units)[-1]
    return scale, 1, [titled(*h, section_of(s, job, words, scale), width) for h, s in zip(heads, found, strict=True)]


def _head(section: TrenchSection, words: Words) -> tuple[str, str]:
    """Return the runs of a section, and what pipe lies in it under what."""
    pipe = words.word(f"takeoff.word.pipe.{section.pipe}")
    about = words.word(
        "details.trench.about",
        size=section.diameter_in,
        pipe=pipe,
        use=words.word(f"sheets.use.{section.use}"),
        surface=words.word(f"details.surface.{section.surface}"),
    )
    return ", ".join(section.runs), about


def layers_of(section: TrenchSection, job: Job) -> tuple[Layer, ...]:
    """Return the layers of a section at its greatest cut."""
    return layers(
        section.use,
        section.surface,
        job.sections,
        job.criteria,
        cut_in=section.greatest_cut_ft * 12,
        bed_in=section.bed_in,
        outside_in=section.outside_in,
    )


def section_of(section: TrenchSection, job: Job, words: Words, scale: Scale) -> Panel:
    """Return one kind of trench in section at its greatest cut."""
    k = scale.pt_per_ft / 12  # pt per inch
    half, top = section.width_in / 2 * k, section.greatest_cut_ft * 12 * k
    found = layers_of(section, job)
    pipe_low, pipe_high = section.bed_in * k, (section.bed_in + section.outside_in) * k
    middle, radius = (pipe_low + pipe_high) / 2, section.outside_in / 2 * k
    beyond = max((layer.beyond_in for layer in found), default=0.0) * k
    edge = half + max(BESIDE_PT, beyond + 8.0)
    ring = Point(0.0, middle).buffer(radius)
    dug = [box(-half, 0.0, half, top + 1.0)]
    dug += [
        box(-half - y.beyond_in * k, y.bottom_in * k, half + y.beyond_in * k, top + 1.0) for y in found if y.beyond_in
    ]
    pieces: list[Piece] = hatched("earth", region_of(-half - EARTH_PT, -8.0, half + EARTH_PT, top, *dug))
    for layer in found:
        low, high, wide = layer.bottom_in * k, layer.top_in * k, half + layer.beyond_in * k
        pieces += hatched(
            "backfill" if layer.material == "native" else layer.material, region_of(-wide, low, wide, high, ring)
        )
        if layer.beyond_in:
            pieces.append(rect(-wide, low, wide, high, WALL))
        elif layer.bottom_in:
            pieces.append(line((-wide, low), (wide, low)))
    wall = min([layer.bottom_in * k for layer in found if layer.beyond_in], default=top)
    pieces.append(Drawn(((-half, wall), (-half, 0.0), (half, 0.0), (half, wall)), WALL))
    pieces += _ground_line(section, found, half, top, edge, k)
    pieces.append(Oval((0.0, middle), radius, radius, OUTLINE))
    pieces.append(Oval((0.0, middle), section.inside_in / 2 * k, section.inside_in / 2 * k, THIN))
    if section.use == "drain":
        pieces += _holes(middle, section.inside_in / 2 * k, radius)
    pieces += _fabric(section, job, found, half, k)
    tape = tape_in(found, job.sections, pipe_top_in=section.bed_in + section.outside_in)
    if tape is not None:
        pieces.append(Drawn(((-half * 0.6, tape * k), (half * 0.6, tape * k)), HEAVY))
    pieces += _names(section, job, found, words, half, tape, k)
    pieces += _sizes(section, words, half, top, pipe_low, pipe_high, edge, k)
    return panel(pieces)


def _ground_line(
    section: TrenchSection, found: Sequence[Layer], half: float, top: float, edge: float, k: float
) -> list[Piece]:
    wide = max((layer.beyond_in * k for layer in found), default=0.0) + half
    sides: list[Piece] = [line((side * wide, top), (side * edge, top), HEAVY) for side in (-1, 1)]
    return sides if section.surface != "lawn" else [*sides, line((-half, top), (half, top), HEAVY)]


def _holes(middle: float, inside: float, outside: float) -> list[Piece]:
    """Return the perforations of a drain pipe as short ticks through its wall, in the lower half."""
    turns = [radians(a) for a in (210.0, 240.0, 300.0, 330.0)]
    return [
        line((inside * cos(t), middle + inside * sin(t)), (outside * cos(t), middle + outside * sin(t)), WALL)
        for t in turns
    ]


def _stone_top(found: Sequence[Layer]) -> float:
    return max((layer.top_in for layer in found if layer.material == "stone"), default=0.0)


def _fabric(section: TrenchSection, job: Job, found: Sequence[Layer], half: float, k: float) -> list[Piece]:
    """Return filter fabric, a broken line: over the stone of a drain, or round it with its lap on top."""
    stone = _stone_top(found) * k
    if job.sections.fabric == "none" or section.use != "drain" or not stone:
        return []
    inset = 1.5
    over = Drawn(((-half + inset, stone - inset), (half - inset, stone - inset)), HIDDEN)
    if job.sections.fabric == "over the stone":
        return [over]
    lap = min(job.sections.fabric_lap_in * k, 2 * half - 2 * inset) / 2
    round_it = (
        (lap, stone + inset),
        (-half + inset, stone + inset),
        (-half + inset, inset),
        (half - inset, inset),
        (half - inset, stone - inset),
        (-lap, stone - inset),
    )
    return [Drawn(round_it, HIDDEN)]


def _names(
    section: TrenchSection,
    job: Job,
    found: Sequence[Layer],
    words: Words,
    half: float,
    tape: float | None,
    k: float,
) -> list[Piece]:
    """Return what everything is, in a column at the left."""
    notes = []
    for layer in found:
        high = (layer.bottom_in + layer.top_in) / 2 * k
        thick = words.inches(layer.top_in - layer.bottom_in)
        fixed = layer.material in ("topsoil", "base", "sand", "asphalt", "concrete", "pavers", "paving", "gravel")
        name = words.word(f"details.material.{layer.material}")
        said = words.word("details.trench.thick", name=name, thick=thick) if fixed else name
        at = -half - layer.beyond_in * k if layer.beyond_in else -half
        if layer.material == "stone" and not fixed:
            high = (
                max(high, (section.bed_in + section.outside_in) * k + 3.0)
                if layer.top_in > section.bed_in + section.outside_in + 1
                else high
            )
        notes.append(Note((at + 2.0, high), (said,)))
    if section.surface == "lawn":
        lawn = words.word(f"details.lawn.{job.sections.lawn}")
        notes.append(Note((-half + 2.0, section.greatest_cut_ft * 12 * k), (lawn,)))
    if section.use == "drain" and job.sections.fabric != "none":
        said = words.word(f"details.fabric.{job.sections.fabric}")
        notes.append(Note((-half + 3.0, _stone_top(found) * k), (said,)))
    if tape is not None:
        notes.append(Note((-half * 0.6, tape * k), (words.word("details.trench.tape"),)))
    pipe = words.word("details.trench.pipe", outside=section.outside_in)
    notes.append(Note((-section.outside_in / 2 * k, (section.bed_in + section.outside_in / 2) * k), (pipe,)))
    edge = half + max(BESIDE_PT, max((layer.beyond_in for layer in found), default=0.0) * k + 8.0)
    return note_column(notes, -edge - 4.0, right=False)


def _sizes(
    section: TrenchSection,
    words: Words,
    half: float,
    top: float,
    pipe_low: float,
    pipe_high: float,
    edge: float,
    k: float,
) -> list[Piece]:
    """Return cover, pipe, bed and cut at the right, and the width below."""
    x1, x2 = edge - 8.0, edge - 8.0 + TIER_PT
    found: list[Piece] = []
    notes = []
    for low, high, said, x in (
        (pipe_high, top, _range("cover", section.least_cover_ft, section.greatest_cover_ft, words), x1),
        (0.0, pipe_low, (words.word("details.trench.bed", by=section.bed_in),), x1),
        (0.0, top, _range("cut", section.least_cut_ft, section.greatest_cut_ft, words), x2),
    ):
        if high - low < 0.2:
            continue
        found += dimension((x, low), (x, high))
        notes.append(Note((x, low + (high - low) * (0.62 if x == x1 else 0.42)), said))
    for level in (0.0, pipe_low, pipe_high):
        start = half if level not in (pipe_high, pipe_low) else half * 0.2
        found.append(line((start, level), (x2 + 3.0 if level == 0.0 else x1 + 3.0, level), FAINT))
    found += note_column(notes, x2 + 14.0, right=True)
    low = -17.0
    found += dimension((-half, low), (half, low))
    found += [line((side * half, -1.0), (side * half, low - 3.0), FAINT) for side in (-1, 1)]
    found.append(text(0.0, low - 11.0, words.word("details.trench.width", by=section.width_in), place="middle"))
    return found


def _range(key: str, least_ft: float, greatest_ft: float, words: Words) -> tuple[str, ...]:
    """Return what a height is, drawn at its greatest, and the least it comes to where that differs."""
    most = words.word(f"details.trench.{key}", by=greatest_ft)
    least = words.length(least_ft)
    return (most,) if least == words.length(greatest_ft) else (most, words.word("details.trench.least", by=least_ft))


def _materials(found: Sequence[TrenchSection], job: Job) -> list[str]:
    shown = {"earth", *(layer.material for s in found for layer in layers_of(s, job))}
    return [m for m in LEGEND if m in shown]


def _legend(materials: Sequence[str], words: Words, width: float) -> Panel:
    """Return a sample of each hatch with its name, in as many rows as it takes."""
    pieces: list[Piece] = []
    x = y = 0.0
    for material in materials:
        name = words.word(f"details.material.{material}")
        wide = SWATCH[0] + 5.0 + width_of(name, NARROW, TYPE_PT) + 14.0
        if x and x + wide > width:
            x, y = 0.0, y - SWATCH[1] - 6.0
        pieces += hatched(
            "backfill" if material == "native" else material, region_of(x, y, x + SWATCH[0], y + SWATCH[1])
        )
        pieces += [rect(x, y, x + SWATCH[0], y + SWATCH[1], WALL), text(x + SWATCH[0] + 5.0, y + 3.5, name)]
        x += wide
    return panel(pieces)
