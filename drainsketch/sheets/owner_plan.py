"""The owner's plan as a picture: lawn, house and trees in their colors, new pipe in blue, an arrow where the water leaves."""

from collections.abc import Iterator
from math import atan2, degrees, hypot

from msgspec.structs import replace
from shapely import Point as Spot
from shapely import Polygon, box

from drainsketch.job.kinds import Point
from drainsketch.job.model import Heap, Job
from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.look import OWNERS, SERVICE_LETTERS, STYLES, SYMBOLS
from drainsketch.review import Review
from drainsketch.sheets.ground_marks import RANK_STRUCTURE
from drainsketch.sheets.layout import PlanSheet
from drainsketch.sheets.marks import Band, Disc, Label, Mark, PlanMarks, Sign, Stroke
from drainsketch.sheets.strip import Entry
from drainsketch.wording import Words

LARGER = (1.2, 1.1)  # how much larger than the crew's the words of its legend may be, times, the best first
ARROW_PT = 23.0  # from the outfall to the middle of its arrow
_CREW_STYLES = ("hand-dig zone", "breakline", "belly")
_CREW_SYMBOLS = ("fitting", "laid", "laid.off")
_LEAVES = ("daylight", "pop-up", "tie-in", "curb")
# what the legend explains, in this order: the name of a style, or of a symbol
_STYLES = (
    "run.solid",
    "run.drain",
    "pit",
    "fill area",
    "standing water",
    "boundary",
    "building",
    "hardscape",
    "bed",
    "septic",
    "other",
)
_LINES = ("fence", "root zone")
_SYMBOLS = (
    *("basin", "downspout inlet", "cleanout", "flow", "water leaves"),
    *("outfall.daylight", "outfall.pop-up", "outfall.tie-in", "outfall.curb", "outfall.dry well", "downspout", "well"),
)
_WORD = {"standing water": "water", "root zone": "tree"}


def picture_marks(
    marks: PlanMarks, job: Job, review: Review, words: Words, sheet: PlanSheet | None = None
) -> PlanMarks:
    """Return the marks of the owner's plan as those of a picture, with an arrow at each outfall that lets water out.

    Parameters
    ----------
    marks : of the owner's plan, with the water that stands today
    sheet : the sheet it is drawn on, for the place of the arrows; None while that is still to be laid out
    """
    services = {s.id for s in job.services}
    arrows = tuple(_leaving(job, review, sheet))
    letters = SERVICE_LETTERS.values()  # the legend names the services: depths are the crew's
    raised = {heap.id: _raised(heap, words) for heap in job.heaps if heap.kind == "fill area"}
    labels = [
        replace(label, lettering=label.lettering + OWNERS, text=raised.get(label.owner, label.text))
        for label in marks.labels
        if label.owner not in services or label.text in letters
    ]
    labels += [
        Label(
            at=sign.at,
            text=words.word("offer.plan.arrow"),
            lettering="water leaves" + OWNERS,
            owner=sign.owner,
            rank=RANK_STRUCTURE,
            clear_pt=16.0,
        )
        for sign in arrows
    ]
    return PlanMarks(
        ground=tuple(sorted(_friendly(marks.ground, sheet), key=lambda m: not _is_lot(m))),  # all else lies on the lawn
        drains=(*_friendly(marks.drains, sheet), *arrows),
        flags=(),
        labels=tuple(labels),
    )


def _raised(heap: Heap, words: Words) -> str:
    """Return what stands on a fill area: its name, or by how much the ground is raised; short, so that it stands within."""
    name = plain(heap.name, LABEL_LENGTH)
    if name or not heap.fill_in:
        return name or words.word("sheets.heap.fill area")
    return words.word("offer.plan.raised", deep=words.inches(heap.fill_in))


def _friendly(marks: tuple[Mark, ...], sheet: PlanSheet | None) -> Iterator[Mark]:
    for mark in marks:
        if isinstance(mark, Sign):
            if mark.symbol not in _CREW_SYMBOLS:
                yield mark
        elif isinstance(mark, Stroke | Disc | Band) and mark.style not in _CREW_STYLES:
            shown = replace(mark, style=mark.style + OWNERS)
            yield _within(shown, sheet) if isinstance(shown, Disc) and sheet is not None else shown


def _within(disc: Disc, sheet: PlanSheet) -> Disc | Stroke:
    """Return a disc as far as it lies within the frame of the plan."""
    k, (x, y) = disc.radius_ft * sheet.scale.pt_per_ft, sheet.to_paper(disc.center)
    x0, y0, x1, y1 = sheet.frame
    if x0 <= x - k and x + k <= x1 and y0 <= y - k and y + k <= y1:
        return disc
    shape = Spot(x, y).buffer(k, quad_segs=24).intersection(box(x0, y0, x1, y1))
    if not isinstance(shape, Polygon) or shape.is_empty:
        return disc
    east, north = disc.center
    scale = sheet.scale.pt_per_ft
    ring = tuple((east + (u - x) / scale, north + (v - y) / scale) for u, v in shape.exterior.coords[:-1])
    return Stroke(points=ring, style=disc.style, owner=disc.owner, closed=True)


def _is_lot(mark: Mark) -> bool:
    return isinstance(mark, Stroke) and mark.style == "boundary" + OWNERS


def _leaving(job: Job, review: Review, sheet: PlanSheet | None) -> Iterator[Sign]:
    """Yield an arrow at each outfall that lets water out, the way the pipe brings it: ahead, or beside it where the sheet ends."""
    for structure in job.structures:
        if structure.kind != "outfall" or (structure.outfall or "daylight") not in _LEAVES:
            continue
        arriving = [run.points for run in review.network.runs if run.downstream == structure.id]
        way = _last_leg(arriving[0]) if arriving else None
        if way is not None:
            yield Sign(
                at=_beyond(structure.point, way, sheet),
                symbol="water leaves",
                owner=structure.id,
                turn_deg=degrees(atan2(way[1], way[0])),
            )


def _beyond(point: Point, way: Point, sheet: PlanSheet | None) -> Point:
    """Return where the arrow of an outfall stands: the first place that is on the sheet."""
    if sheet is None:
        return point
    off, half = ARROW_PT / sheet.scale.pt_per_ft, SYMBOLS["water leaves"].size_pt / 2
    x0, y0, x1, y1 = sheet.frame
    spots = [(point[0] + off * u, point[1] + off * v) for u, v in (way, (way[1], -way[0]), (-way[1], way[0]))]
    for spot in spots:
        x, y = sheet.to_paper(spot)
        if x0 + half <= x <= x1 - half and y0 + half <= y <= y1 - half:
            return spot
    return spots[0]


def _last_leg(points: tuple[Point, ...]) -> Point | None:
    """Return the direction of the last leg of a line, a step of one; None where it has none."""
    end = points[-1]
    start = next((p for p in reversed(points) if p != end), None)
    if start is None:
        return None
    gap = hypot(end[0] - start[0], end[1] - start[1])
    return (end[0] - start[0]) / gap, (end[1] - start[1]) / gap


def picture_legend(marks: PlanMarks, words: Words) -> tuple[Entry, ...]:
    """Return the legend of the owner's plan in plain words: what is new first, then what is there."""
    every = (*marks.ground, *marks.drains)
    styles = {m.style.removesuffix(OWNERS) for m in every if isinstance(m, Stroke | Disc | Band)}
    symbols = {m.symbol for m in every if isinstance(m, Sign)}

    def called(name: str) -> str:
        return words.word(f"offer.plan.{_WORD.get(name, name.replace('.', ' '))}")

    new, there = _STYLES[:5], _STYLES[5:]
    found = [Entry(called(name), style=name + OWNERS) for name in new if name in styles]
    found += [Entry(called(name), symbol=name) for name in _SYMBOLS if name in symbols]
    found += [Entry(called(name), style=name + OWNERS) for name in (*there, *_LINES) if name in styles]
    for name in STYLES:
        kind = name.removeprefix("service.")
        if kind != name and name in styles:
            called_line = words.word("offer.plan.service", service=words.word(f"sheets.service.{kind}"))
            found.append(Entry(called_line, style=name + OWNERS, text=SERVICE_LETTERS[kind]))
    return tuple(found)
