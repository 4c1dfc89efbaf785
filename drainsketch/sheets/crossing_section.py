"""A crossing in section, looking along the pipe: pipe and trench cut across, what is crossed as a band, how far it may be off."""

from drainsketch.network.digging import trench_width_ft
from drainsketch.network.results import Crossing
from drainsketch.review import Review
from drainsketch.sheets.detail_scale import detail_scales, scale_words
from drainsketch.sheets.drafting import (
    FAINT,
    HEAVY,
    HIDDEN,
    OUTLINE,
    THIN,
    WALL,
    Height,
    Note,
    Panel,
    Piece,
    dimension,
    line,
    moved,
    note_column,
    panel,
    rect,
    text,
)
from drainsketch.sheets.hatches import hatched, region_of
from drainsketch.sheets.profile_picture import Drawn, Oval
from drainsketch.sheets.scale import Scale
from drainsketch.wording import Words

BESIDE_PT = 20.0
HEAD_PT = 12.0


def crossing_section(crossing: Crossing, review: Review, words: Words, high: float, width: float) -> Panel | None:
    """Return the section at a crossing at the largest scale that fits a height and width, pt; None while the pipe has no level."""
    if crossing.run_id not in review.workable or crossing.ground_ft is None or crossing.pipe_bottom_ft is None:
        return None
    for scale in detail_scales(words.units):
        found = _drawn(crossing, review, words, scale)
        if found.height <= high and found.width <= width:
            break
    return found


def _drawn(c: Crossing, review: Review, words: Words, scale: Scale) -> Panel:
    assert c.ground_ft is not None and c.pipe_top_ft is not None and c.pipe_bottom_ft is not None
    k, grade = scale.pt_per_ft, review.workable[c.run_id]
    width_ft = trench_width_ft(grade.outside_in, review.job.criteria.trench_width_in)
    bed_ft = grade.bottom_below_invert_ft - (grade.outside_in - grade.inside_in) / 24
    error = c.service_error_ft or 0.0
    bottoms = [c.pipe_bottom_ft - bed_ft] + ([c.service_bottom_ft - error] if c.service_bottom_ft is not None else [])
    low = min(bottoms) - 4.0 / k

    def y(level_ft: float) -> float:
        return (level_ft - low) * k

    half, ground, bottom = width_ft / 2 * k, y(c.ground_ft), y(c.pipe_bottom_ft - bed_ft)
    edge = half + BESIDE_PT
    trench = region_of(-half, bottom, half, ground + 1.0)
    pieces: list[Piece] = hatched(
        "earth", region_of(-half - 10.0, max(0.0, bottom - 6.0), half + 10.0, ground).difference(trench)
    )
    pieces.append(Drawn(((-half, ground), (-half, bottom), (half, bottom), (half, ground)), WALL))
    pieces += [line((side * edge, ground), (side * half, ground), HEAVY) for side in (-1, 1)]
    notes = [Note((edge, ground), (words.word("details.crossings.ground", level=c.ground_ft),))]
    if c.service_top_ft is not None and c.service_bottom_ft is not None:
        more, said = _band(c, words, y, edge)
        pieces += more
        notes += said
    elif c.other_kind != "run":
        pieces += _unknown(c, words, edge, ground)
    middle, radius = y((c.pipe_top_ft + c.pipe_bottom_ft) / 2), grade.outside_in / 24 * k
    pieces += [
        Oval((0.0, middle), radius, radius, OUTLINE),
        Oval((0.0, middle), grade.inside_in / 24 * k, grade.inside_in / 24 * k, THIN),
    ]
    top, under = y(c.pipe_top_ft), y(c.pipe_bottom_ft)
    pieces += [line((radius * 0.3, at), (edge, at), FAINT) for at in (top, under)]
    notes.append(
        Note((edge, top), (words.word("details.crossings.pipe_top", run=c.run_id, level=c.pipe_top_ft),), strong=True)
    )
    notes.append(Note((edge, under), (words.word("details.crossings.pipe_bottom", level=c.pipe_bottom_ft),)))
    found = [*pieces, *note_column(notes, edge + 16.0, right=True)]
    drawn = panel(found)
    head = text(0.0, drawn.height + 4.0, words.word("details.scale.each", scale=scale_words(scale, words)))
    return panel([*moved(drawn.pieces, 0.0, 0.0), head])


def _band(c: Crossing, words: Words, y: Height, edge: float) -> tuple[list[Piece], list[Note]]:
    """Return what is crossed, with the strip in which it may lie, and the gap between it and the pipe at the left."""
    assert (
        c.service_top_ft is not None
        and c.service_bottom_ft is not None
        and c.pipe_top_ft is not None
        and c.pipe_bottom_ft is not None
    )
    high, low, error = c.service_top_ft, c.service_bottom_ft, c.service_error_ft or 0.0
    assert c.ground_ft is not None
    pieces: list[Piece] = []
    if error:
        highest = max(high, min(high + error, c.ground_ft))  # it does not lie over the ground
        pieces += [line((-edge, y(at)), (edge, y(at)), HIDDEN) for at in (highest, low - error)]
        pieces += [*dimension((edge - 4.0, y(high)), (edge - 4.0, y(highest)))]
        pieces += [*dimension((edge - 4.0, y(low - error)), (edge - 4.0, y(low)))]
    pieces.append(rect(-edge, y(low), edge, y(high), OUTLINE))
    top = words.word("details.crossings.other_top", level=high)
    lines = (top, words.word("details.crossings.error", error=error)) if error else (top,)
    notes = [
        Note((edge, y(high)), lines, strong=True),
        Note((edge, y(low)), (words.word("details.crossings.other_bottom", level=low),)),
    ]
    over, under = c.pipe_bottom_ft - high, low - c.pipe_top_ft
    gap = (high, c.pipe_bottom_ft) if over >= 0 else (c.pipe_top_ft, low) if under >= 0 else None
    if gap is not None and c.clearance_ft is not None and c.clearance_ft > 0:
        x = -edge + 6.0
        pieces += dimension((x, y(gap[0])), (x, y(gap[1])))
        pieces += [line((x - 4.0, y(at)), (0.0, y(at)), FAINT) for at in gap]
        said = Note((x, y((gap[0] + gap[1]) / 2)), (words.length(c.clearance_ft),), strong=True)
        pieces += note_column([said], -edge - 8.0, right=False)
    return pieces, notes


def _unknown(c: Crossing, words: Words, edge: float, ground: float) -> list[Piece]:
    """Return a service nobody knows the depth of: a broken upright strip from the ground down, with a question mark and its name."""
    x = -edge + 6.0
    said = (f"{words.word(f'sheets.service.{c.other_kind}')}:", words.word("sheets.plan.depth_unknown"))
    return [
        *note_column([Note((x - 4.0, ground / 2), said, strong=True)], -edge - 8.0, right=False),
        rect(x - 4.0, 4.0, x + 4.0, ground - 1.0, HIDDEN),
        text(x, ground / 2 - 3.0, "?", bold=True, place="middle"),
    ]
