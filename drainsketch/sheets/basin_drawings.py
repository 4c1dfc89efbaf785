"""Every basin drawn in section to a true scale: what to stack, where its pipes come in, how deep to dig."""

from collections.abc import Sequence

from reportlab.platypus import CondPageBreak, Flowable

from drainsketch.job.bearings import unit_vector
from drainsketch.review import Review
from drainsketch.sheets.basin_section import BasinDetail, outward_deg, section_of
from drainsketch.sheets.boxes import Spot
from drainsketch.sheets.detail_head import detail_head
from drainsketch.sheets.detail_scale import detail_bar, detail_scales, scale_words
from drainsketch.sheets.drafting import (
    HIDDEN,
    OUTLINE,
    THIN,
    TYPE_PT,
    Panel,
    Piece,
    arrow,
    bounds,
    grid,
    line,
    moved,
    panel,
    text,
    titled,
)
from drainsketch.sheets.fonts import NARROW_BOLD, width_of
from drainsketch.sheets.para import SMALL_STRONG, Section, para
from drainsketch.sheets.profile_picture import Drawn
from drainsketch.sheets.scale import Scale
from drainsketch.takeoff.earth import earth
from drainsketch.wording import Words

GUTTER_PT = 14.0
MOST_HIGH_PT = 230.0
PLAN_PARTS = (0.5, 0.25)  # of the scale of the section
Names = dict[int, list[str]]


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
    said_out = [para(words.word("details.basins.left_out", basins=left_out), SMALL_STRONG)] if left_out else []
    if not details:
        return [Section(words.word("details.basins.title"), names), *said_out] if left_out else []
    scale, panels = _laid_out(details, words, width)
    bar = detail_bar(scale)
    said = words.word("details.scale.said", scale=scale_words(scale, words), length=words.measure(bar.check))
    first, *rest = grid(panels, 1, width, 0.0)
    return [
        CondPageBreak(first.height + 110.0),
        *detail_head("basins", said, bar, words, names, width),
        *said_out,
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
    east, north = unit_vector(outward_deg(detail))

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
