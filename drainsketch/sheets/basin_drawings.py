"""Every basin drawn in section to a true scale: what to stack, where its pipes come in, how deep to dig."""

from collections.abc import Sequence
from math import cos, radians, sin

from msgspec import Struct
from reportlab.platypus import CondPageBreak, Flowable

from drainsketch.job.bearings import unit_vector
from drainsketch.network.results import Grade
from drainsketch.review import Review
from drainsketch.sheets.basin_schedule import SHOWN_IN
from drainsketch.sheets.boxes import Spot
from drainsketch.sheets.detail_scale import detail_bar, detail_scales, scale_words
from drainsketch.sheets.drafting import (
    FAINT,
    HEAVY,
    HIDDEN,
    OUTLINE,
    SOLID,
    THIN,
    TYPE_PT,
    WALL,
    Note,
    Panel,
    Piece,
    arrow,
    bounds,
    dimension,
    grid,
    line,
    moved,
    note_column,
    panel,
    rect,
    scale_head,
    text,
    titled,
)
from drainsketch.sheets.fonts import NARROW_BOLD, width_of
from drainsketch.sheets.hatches import hatched, region_of
from drainsketch.sheets.para import QUIET_TEXT, SMALL_STRONG, Section, para
from drainsketch.sheets.profile_picture import Drawn, Oval
from drainsketch.sheets.scale import Scale
from drainsketch.takeoff.earth import Hole, earth
from drainsketch.takeoff.openings import Opening
from drainsketch.takeoff.stacks import GRATE_IN, Stack, risers_of
from drainsketch.wording import Words

EARTH_PT, STUB_PT, CHAIN_PT, TIER_PT, SIDE_GAP_PT = 9.0, 5.0, 9.0, 9.0, 8.0
GUTTER_PT = 14.0
MOST_HIGH_PT = 230.0
PLAN_PARTS = (0.5, 0.25)  # of the scale of the section
Names = dict[int, list[str]]


class BasinDetail(Struct, frozen=True):
    """All that is drawn of one basin; ``pipes`` are its openings with the grade of each run, lowest first."""

    id: str
    title: str
    stack: Stack
    hole: Hole
    ground_ft: float
    guess: bool
    pipes: tuple[tuple[Opening, Grade], ...]

    @property
    def tall_ft(self) -> float:
        """Return the height of what is drawn, ft."""
        return max(self.stack.rim_ft, self.ground_ft) - self.stack.dig_to_ft

    def invert_ft(self, opening: Opening) -> float:
        """Return the invert of a pipe here, ft."""
        return self.stack.bottom_ft + opening.above_floor_in / 12


def basin_details(review: Review, words: Words) -> tuple[BasinDetail, ...]:
    """Return every basin that can be dug; one where pipe cannot be laid as drawn has no level to dig to and is left out."""
    holes = {h.structure_id: h for h in earth(review.works, review.stacks).holes}
    undug, found = review.undug, []
    for name, stack in review.stacks.items():
        levels = review.levels[name]
        if name in undug or levels.no_invert:
            continue
        pipes = tuple((o, review.grades[o.run]) for o in review.openings[name])
        title = words.word("details.basins.basin", basin=words.name(name), size=stack.body.size_in)
        found.append(BasinDetail(name, title, stack, holes[name], levels.ground_ft, levels.guess, pipes))
    return tuple(found)


def basin_drawings(review: Review, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the drawn basins one below the other, all at one scale; [] where there is none.

    A basin without a level to dig to is named, and not drawn.
    """
    details = basin_details(review, words)
    left_out = tuple(name for name in review.stacks if name not in {d.id for d in details})
    if not details:
        return []
    scale, panels = _laid_out(details, words, width)
    bar = detail_bar(scale)
    said = words.word("details.scale.said", scale=scale_words(scale, words), length=words.measure(bar.check))
    first, *rest = grid(panels, 1, width, 0.0)
    return [
        CondPageBreak(first.height + 110.0),
        Section(words.word("details.basins.title"), names),
        scale_head(said, bar, words.word(f"sheets.measure.{bar.unit}"), width),
        para(words.word("details.basins.note"), QUIET_TEXT),
        *([para(words.word("details.basins.left_out", basins=left_out), SMALL_STRONG)] if left_out else ()),
        para(words.word("details.basins.caution"), SMALL_STRONG),
        first,
        *rest,
    ]


def _laid_out(details: Sequence[BasinDetail], words: Words, width: float) -> tuple[Scale, list[Panel]]:
    """Return the largest scale at which every basin fits, its plan beside it, and the panels."""
    for scale in detail_scales(words.units):
        if max(d.tall_ft for d in details) * scale.pt_per_ft > MOST_HIGH_PT:
            continue
        sections = [section_of(d, words, scale) for d in details]
        for part in PLAN_PARTS:
            of_plan = Scale(scale.ft_per_in / part, scale.metric)
            drawn = [_beside(s, plan_of(d, words, of_plan)) for d, s in zip(details, sections, strict=True)]
            if all(p.width <= width + 1e-6 for p in drawn):
                return scale, [titled(d.title, "", p, width) for d, p in zip(details, drawn, strict=True)]
    scale = detail_scales(words.units)[-1]
    return scale, [titled(d.title, "", section_of(d, words, scale), width) for d in details]


def _beside(section: Panel, plan: Panel) -> Panel:
    """Return a section with its plan at the right, the middle of both at one height."""
    tall = max(section.height, plan.height)
    pieces = (
        *moved(section.pieces, 0.0, (tall - section.height) / 2),
        *moved(plan.pieces, section.width + GUTTER_PT, (tall - plan.height) / 2),
    )
    return Panel(pieces, section.width + GUTTER_PT + plan.width, tall)


def plan_of(detail: BasinDetail, words: Words, scale: Scale) -> Panel:
    """Return hole, basin and pipes from above, north up: which way each pipe lies."""
    k = scale.pt_per_ft
    half_hole, half = detail.hole.side_ft * k / 2, detail.stack.body.size_in / 24 * k
    reach = half_hole * 2**0.5 + 4.0
    east, north = unit_vector(_outward_deg(detail))

    def square(side: float) -> tuple[Spot, ...]:
        corners = ((side, side), (side, -side), (-side, -side), (-side, side))
        return tuple((u * east - v * north, u * north + v * east) for u, v in corners)

    pieces: list[Piece] = [Drawn(square(half_hole), HIDDEN, closed=True)]
    by_way: dict[float, list[str]] = {}
    for opening, grade in detail.pipes:
        e, n = unit_vector(opening.azimuth_deg)
        wide = max(3.0, grade.outside_in / 24 * k)
        ends = ((0.0, wide), (reach, wide), (reach, -wide), (0.0, -wide))
        pieces.append(Drawn(tuple((u * e - v * n, u * n + v * e) for u, v in ends), OUTLINE, closed=True))
        tip, tail = (reach - 3.0, reach - 13.0) if opening.leaving else (reach - 13.0, reach - 3.0)
        pieces.append(arrow((tip * e, tip * n), (tail * e, tail * n)))
        by_way.setdefault(round(opening.azimuth_deg / 20.0) % 18, []).append(opening.run)
    pieces.append(Drawn(square(half), OUTLINE, closed=True))
    pieces += [
        Drawn(tuple((u * east - v * north, u * north + v * east) for u, v in ((-0.7 * half, t), (0.7 * half, t))), THIN)
        for t in (-0.5 * half, 0.0, 0.5 * half)
    ]
    for way, runs in by_way.items():
        e, n = unit_vector(way * 20.0)
        said = ", ".join(runs)
        out = reach + 8.0 + abs(e) * width_of(said, NARROW_BOLD, TYPE_PT) / 2
        pieces.append(text(out * e, out * n - 3.0, said, bold=True, place="middle"))
    low = min(-reach, bounds(pieces)[1]) - 12.0
    pieces.append(
        text(0.0, low - 4.0, words.word("details.basins.plan", scale=scale_words(scale, words)), place="middle")
    )
    left = bounds(pieces)[0] - 8.0
    pieces += [line((left, 8.0), (left, 24.0)), arrow((left, 26.0), (left, 8.0))]
    pieces.append(text(left, -2.0, words.word("sheets.north"), bold=True, place="middle"))
    return panel(pieces)


def section_of(detail: BasinDetail, words: Words, scale: Scale) -> Panel:
    """Return the section of one basin with its levels at the right and the heights of its pieces at the left."""
    k = scale.pt_per_ft
    stack, hole = detail.stack, detail.hole

    def y(level_ft: float) -> float:
        return (level_ft - stack.dig_to_ft) * k

    half_hole, half = hole.side_ft * k / 2, stack.body.size_in / 24 * k
    left, right = -half_hole - EARTH_PT, half_hole + EARTH_PT
    pieces: list[Piece] = [*_ground(detail, y, half_hole, half, left, right)]
    pieces += _basin(stack, y, half)
    spots: list[tuple[Opening, float]] = []
    for opening, grade in detail.pipes:
        drawn, from_x = _pipe(opening, grade, detail, y, half, right, k)
        pieces += drawn
        spots.append((opening, from_x))
    pieces += _levels(detail, spots, words, y, right)
    pieces += _heights(stack, words, y, left)
    pieces += _hole_width(hole, words, half_hole)
    return panel(pieces)


def _ground(detail: BasinDetail, y, half_hole: float, half: float, left: float, right: float) -> list[Piece]:  # type: ignore[no-untyped-def]
    top, floor = y(detail.ground_ft), y(detail.stack.bottom_ft)
    under = -EARTH_PT * 0.8
    earth_around = region_of(left, under, right, top).difference(region_of(-half_hole, 0.0, half_hole, top + 1.0))
    found: list[Piece] = hatched("earth", earth_around)
    found += [Drawn(((-half_hole, top), (-half_hole, 0.0), (half_hole, 0.0), (half_hole, top)), WALL)]
    if floor > 0.5:
        found += [
            *hatched("stone", region_of(-half_hole, 0.0, half_hole, floor)),
            line((-half_hole, floor), (half_hole, floor)),
        ]
    style = HEAVY if not detail.guess else HIDDEN
    found += [line((left, top), (-half, top), style), line((half, top), (right, top), style)]
    return found


def _basin(stack: Stack, y, half: float) -> list[Piece]:  # type: ignore[no-untyped-def]
    """Return body, risers and grate."""
    top = min(stack.top_ft, stack.body_top_ft)
    found: list[Piece] = [rect(-half, y(stack.bottom_ft), half, y(top), OUTLINE)]
    found += [rect(-half, y(low), half, y(high), OUTLINE) for low, high in risers_of(stack)]
    wall = min(2.5, half * 0.12)
    inner_top = y(stack.top_ft)
    found += [
        line((side * (half - wall), y(stack.bottom_ft) + wall), (side * (half - wall), inner_top)) for side in (-1, 1)
    ]
    found.append(line((-half + wall, y(stack.bottom_ft) + wall), (half - wall, y(stack.bottom_ft) + wall)))
    grate_in = stack.body.grate_in or GRATE_IN
    low, high = y(stack.top_ft - grate_in / 12), y(stack.top_ft)
    bars = max(3, round(2 * half / 7.0))
    each = 2 * half / (2 * bars + 1)
    found.append(rect(-half, low, half, high, OUTLINE))
    found += [rect(-half + (2 * i) * each, low, -half + (2 * i + 1) * each, high, SOLID) for i in range(bars + 1)]
    water = y(stack.lowest_invert_ft)
    count = max(1, int((2 * half - 2 * wall) // 8.0))
    found += [
        line((-half + wall + 8.0 * i + 1.5, water - d), (-half + wall + 8.0 * i + 6.0 - d, water - d), FAINT)
        for d in (0.0, 2.5)
        for i in range(count)
    ]
    return found


def _pipe(opening: Opening, grade: Grade, detail: BasinDetail, y, half: float, right: float, k: float):  # type: ignore[no-untyped-def]
    """Return a pipe as it enters the wall at its side, or as a ring where it comes from the front or the back, and where it ends.

    The section looks across the pipe that leaves, which stands at the right.
    """
    invert = detail.invert_ft(opening)
    low, high = y(invert + grade.top_above_invert_ft - grade.outside_in / 12), y(invert + grade.top_above_invert_ft)
    turn = radians(opening.azimuth_deg - _outward_deg(detail))
    across, back = cos(turn), sin(turn)
    if abs(across) >= cos(radians(44.9)):
        side = 1.0 if across > 0 else -1.0
        end = side * (right + STUB_PT)
        x0, x1 = sorted((side * half, end))
        inside = grade.inside_in / 12 * k
        pieces: list[Piece] = [
            rect(x0, low, x1, high, OUTLINE),
            line((x0, y(invert)), (x1, y(invert))),
            line((x0, y(invert) + inside), (x1, y(invert) + inside)),
        ]
        return pieces, end if side > 0 else -half
    center = (0.42 * half * across, (low + high) / 2)
    style = OUTLINE if back < 0 else HIDDEN
    ring, hole = (high - low) / 2, grade.inside_in / 24 * k
    middle = y(invert) + hole
    return [Oval(center, ring, ring, style), Oval((center[0], middle), hole, hole, THIN)], center[0]


def _outward_deg(detail: BasinDetail) -> float:
    """Return the direction that stands at the right: that of the pipe that leaves, or opposite to the first that comes."""
    out = next((o.azimuth_deg for o, _ in detail.pipes if o.leaving), None)
    return out if out is not None else detail.pipes[0][0].azimuth_deg + 180.0 if detail.pipes else 90.0


def _levels(detail: BasinDetail, spots, words: Words, y, right: float) -> list[Piece]:  # type: ignore[no-untyped-def]
    """Return the levels at the right, each invert with its depth below the rim."""
    stack, edge = detail.stack, right + STUB_PT + 3.0
    rim = y(stack.rim_ft)
    found: list[Piece] = []
    inverts = sorted({round(detail.invert_ft(o), 3) for o, _ in spots})
    x = {z: edge + TIER_PT * i for i, z in enumerate(inverts)}
    reach = edge + TIER_PT * len(inverts)
    if inverts:
        found.append(line((right - EARTH_PT + 2.0, rim), (reach - TIER_PT + 4.0, rim), FAINT))
    for z in inverts:
        found += dimension((x[z], y(z)), (x[z], rim))
    about = "≈" if detail.guess else ""
    rim_lines = [words.word("details.basins.rim", level=stack.rim_ft)]
    if stack.low_in >= SHOWN_IN:
        rim_lines.append(words.word("details.basins.low", by=stack.low_in))
    notes = [Note((reach - TIER_PT + 4.0 if inverts else right, rim), tuple(rim_lines), strong=True)]
    if abs(detail.ground_ft - stack.rim_ft) * 12 >= SHOWN_IN:
        said = words.word("details.basins.ground", level=about + words.level(detail.ground_ft))
        notes.append(Note((right, y(detail.ground_ft)), (said,)))
    for opening, from_x in spots:
        z = detail.invert_ft(opening)
        found.append(line((from_x, y(z)), (reach, y(z)), FAINT))
        way = words.word("sheets.basins.out" if opening.leaving else "sheets.basins.in")
        pipe = words.word(
            "details.basins.pipe",
            run=opening.run,
            way=way,
            toward=words.bearing(opening.azimuth_deg),
            size=opening.diameter_in,
        )
        said = words.word("details.basins.invert", level=z, down=stack.rim_ft - z)
        notes.append(Note((reach, y(z)), (pipe, said), strong=True))
    notes.append(
        Note((right - EARTH_PT, y(stack.bottom_ft)), (words.word("details.basins.floor", level=stack.bottom_ft),))
    )
    dig = words.word("details.basins.dig_to", level=stack.dig_to_ft)
    deep = words.word("details.basins.below_ground", depth=detail.hole.depth_ft)
    notes.append(Note((right - EARTH_PT, 0.0), (dig, deep), strong=True))
    return found + note_column(notes, reach + 16.0, right=True)


def _heights(stack: Stack, words: Words, y, left: float) -> list[Piece]:  # type: ignore[no-untyped-def]
    """Return the heights of the pieces at the left: bed, body and risers in a chain, the sump beside it."""
    chain, sump = left - CHAIN_PT, left - 2 * CHAIN_PT - 2.0
    found: list[Piece] = []
    notes: list[Note] = []

    def piece(low_ft: float, high_ft: float, said: tuple[str, ...], x: float) -> None:
        if (high_ft - low_ft) * 12 < SHOWN_IN:
            return
        low, high = y(low_ft), y(high_ft)
        found.extend(dimension((x, low), (x, high)))
        found.extend(line((left + 1.0, at), (x - 2.0, at), FAINT) for at in (low, high))
        notes.append(Note((x, (low + high) / 2), said))

    piece(stack.dig_to_ft, stack.bottom_ft, (words.word("details.basins.bed", by=stack.bed_in),), chain)
    body = words.word("details.basins.body", by=stack.body.height_in)
    piece(stack.bottom_ft, min(stack.top_ft, stack.body_top_ft), (body,), chain)
    parts = risers_of(stack)
    for i, ((low, high), whole_in) in enumerate(zip(parts, stack.risers_in, strict=True)):
        said = [words.word("details.basins.riser", by=whole_in)]
        if i == len(parts) - 1 and stack.trim_in >= SHOWN_IN:
            said.append(words.word("details.basins.cut_to", by=whole_in - stack.trim_in))
        piece(low, high, tuple(said), chain)
    if stack.body.grate_in:
        low = stack.top_ft - stack.body.grate_in / 12
        piece(low, stack.top_ft, (words.word("details.basins.grate", by=stack.body.grate_in),), chain)
    said_sump = words.word("details.basins.sump", by=stack.sump_in)
    piece(stack.bottom_ft, stack.lowest_invert_ft, (said_sump,), sump)
    return found + note_column(notes, sump - 14.0, right=False)


def _hole_width(hole: Hole, words: Words, half_hole: float) -> list[Piece]:
    low = -EARTH_PT * 0.8 - 9.0
    said = words.word("details.basins.hole", side=hole.side_ft)
    return [
        *dimension((-half_hole, low), (half_hole, low)),
        *(line((side * half_hole, -1.0), (side * half_hole, low - 3.0), FAINT) for side in (-1, 1)),
        text(0.0, low - 11.0, said, place="middle"),
    ]
