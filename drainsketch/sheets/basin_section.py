"""One basin in section: body, risers, grate, bed and pipes, its levels at the right and the heights of its pieces at the left."""

from collections.abc import Sequence
from math import cos, radians, sin

from msgspec import Struct

from drainsketch.network.results import Grade
from drainsketch.sheets.basin_schedule import SHOWN_IN
from drainsketch.sheets.drafting import (
    FAINT,
    HEAVY,
    HIDDEN,
    OUTLINE,
    SOLID,
    THIN,
    WALL,
    Height,
    Note,
    Panel,
    Piece,
    dimension,
    line,
    note_column,
    panel,
    rect,
    text,
)
from drainsketch.sheets.hatches import hatched, region_of
from drainsketch.sheets.profile_picture import Drawn, Oval
from drainsketch.sheets.scale import Scale
from drainsketch.takeoff.earth import Hole
from drainsketch.takeoff.openings import Opening
from drainsketch.takeoff.stacks import GRATE_IN, Stack, risers_of
from drainsketch.wording import Words

EARTH_PT, STUB_PT, CHAIN_PT, TIER_PT = 9.0, 5.0, 9.0, 9.0
Spots = Sequence[tuple[Opening, float]]  # pipes, and where across the section each ends


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


def _ground(detail: BasinDetail, y: Height, half_hole: float, half: float, left: float, right: float) -> list[Piece]:
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


def _basin(stack: Stack, y: Height, half: float) -> list[Piece]:
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


def _pipe(
    opening: Opening, grade: Grade, detail: BasinDetail, y: Height, half: float, right: float, k: float
) -> tuple[list[Piece], float]:
    """Return a pipe as it enters the wall at its side, or as a ring where it comes from the front or the back, and where it ends.

    The section looks across the pipe that leaves, which stands at the right.
    """
    invert = detail.invert_ft(opening)
    low, high = y(invert + grade.top_above_invert_ft - grade.outside_in / 12), y(invert + grade.top_above_invert_ft)
    turn = radians(opening.azimuth_deg - outward_deg(detail))
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


def outward_deg(detail: BasinDetail) -> float:
    """Return the direction that stands at the right: that of the pipe that leaves, or opposite to the first that comes."""
    out = next((o.azimuth_deg for o, _ in detail.pipes if o.leaving), None)
    return out if out is not None else detail.pipes[0][0].azimuth_deg + 180.0 if detail.pipes else 90.0


def _levels(detail: BasinDetail, spots: Spots, words: Words, y: Height, right: float) -> list[Piece]:
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


def _heights(stack: Stack, words: Words, y: Height, left: float) -> list[Piece]:
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
