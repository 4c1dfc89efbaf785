"""Where the words of a plan go: no label over another, none over a symbol, all within bounds.

Pure, and asked by screen and paper alike: device units are points on paper and pixels on screen, and the y axis may go
either way. Labels are placed greedily by rank, each at the best of its candidate positions; one with no room nearby
gets a leader to free space, or is said in brief, or, if its rank is above ``NEVER_DROPPED``, is left out.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain
from math import atan2, cos, degrees, hypot, pi, sin

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.kinds import Point
from drainsketch.sheets.boxes import Box, Rect, Spot, Taken, rect_box
from drainsketch.sheets.marks import Label, Sign

FOLD = " · "  # between the parts of a label; an upright one is folded here
ANCHOR_SLIDES = (0.0, 0.2, -0.2, 0.35, -0.35)  # where along a leg a label beside it may belong
ASIDE = 75.0  # a label that could be taken for another's stands no farther off than this
LONELY = 11.0  # a label on a leader this near another symbol or label could be taken for its own
LEADER_COST = 2.5  # what a leader costs; a line under the words costs 2
KEEP_RANK = 4  # labels up to this rank get a leader, or are said in brief, before they are left out
NEVER_DROPPED = 2  # labels up to this rank are never left out
BRIEF_COST = 9.0  # what it costs to say a run in brief; twice as much where a level or a depth would go
PIPE_WEIGHT = 3.0  # covering pipe or a service is so much worse than covering an outline
BRIEF_LENGTH = 24  # characters of a label said in brief
GAP = 1.5  # kept free round every label
RINGS = (16.0, 26.0, 38.0, 52.0, 70.0, 92.0, 120.0, 155.0, 200.0)
DIRECTIONS = 16
FAR = 25.0  # a leader longer by this much is as bad as one that crosses a line
SLIDES = (0.0, 0.18, -0.18, 0.32, -0.32, 0.42, -0.42)  # along a leg, as parts of its length from the anchor

ToDevice = Callable[[Point], Spot]


class PlacedLabel(Struct, frozen=True):
    """A label with its place: ``box`` holds its words, ``leader`` goes from anchor to box."""

    label: Label
    box: Box
    leader: tuple[Spot, Spot] | None = None


class PlacedSign(Struct, frozen=True):
    """A flag with its place; ``leader`` runs from the spot it speaks of, when it had to move aside."""

    sign: Sign
    at: Spot
    leader: tuple[Spot, Spot] | None = None


def lines_of(label: Label) -> tuple[tuple[str, str], ...]:
    """Return the lines of a label, each with the name of its lettering."""
    first, *others = label.text.split("\n")
    return ((first, label.lettering), *((line, "level") for line in others))


Measure = Callable[[Label], tuple[float, float]]


def place_labels(
    labels: Sequence[Label],
    to_device: ToDevice,
    measure: Measure,
    *,
    keep_clear: Iterable[Rect] = (),
    bounds: Rect,
    lines: Iterable[tuple[Spot, Spot]] = (),
    pipes: Iterable[tuple[Spot, Spot]] = (),
    taken: Taken | None = None,
) -> tuple[PlacedLabel, ...]:
    """Return the labels that have a place, in the order they were placed.

    Parameters
    ----------
    labels : in any order; equal ranks are placed in the order given
    to_device : from plan feet to device units
    measure : width and height of a label's words, device units
    keep_clear : rectangles of symbols that no label may cover
    bounds : no label leaves this rectangle; a label whose anchor lies outside it is left out
    lines : segments better not covered, if there is a choice (outlines)
    pipes : segments not covered while there is room anywhere near (pipe, services)
    taken : what is taken already; it is brought up to date, so that a plan may be lettered a few labels at a time
    """
    taken = Taken() if taken is None else taken
    for rect in keep_clear:
        taken.add(rect_box(rect))
    taken.add_lines(lines, bounds)
    taken.add_lines(pipes, bounds, PIPE_WEIGHT)
    placed: list[PlacedLabel] = []
    for label in sorted(labels, key=lambda one: one.rank):
        anchor = to_device(label.at)
        if not (bounds[0] <= anchor[0] <= bounds[2] and bounds[1] <= anchor[1] <= bounds[3]):
            continue
        found = _best(label, to_device, measure, taken, bounds)
        if found is not None and not _misleads(found, to_device):
            placed.append(found)
            taken.add(found.box.grown(GAP))
            if found.leader is not None:
                taken.add_lines((found.leader,), bounds)
    return tuple(placed)


def _misleads(placed: PlacedLabel, to_device: ToDevice) -> bool:
    """Return whether a label that must not be taken for another's stands nearer to that one's spot than to its own, or far off."""
    if placed.label.not_of is None:
        return False
    own = _off(placed.box, to_device(placed.label.at))
    return own > ASIDE or any(_off(placed.box, to_device(other)) < own for other in placed.label.not_of)


def _off(box: Box, spot: Spot) -> float:
    near = box.nearest(spot)
    return hypot(near[0] - spot[0], near[1] - spot[1])


def place_signs(
    signs: Sequence[Sign],
    to_device: ToDevice,
    size: Callable[[Sign], float],
    *,
    keep_clear: Iterable[Rect],
    bounds: Rect,
) -> tuple[PlacedSign, ...]:
    """Return the flags moved apart so that none covers another, nor a symbol if there is room aside.

    Parameters
    ----------
    size : full width of a flag, device units
    keep_clear : rectangles of symbols the flags should leave visible
    bounds : flags whose spot lies outside are left out; the others stay wholly within
    """
    taken, clear = Taken(), list(keep_clear)
    for rect in clear:
        taken.add(rect_box(rect))
    placed: list[PlacedSign] = []
    for sign in signs:
        spot = to_device(sign.at)
        if not (bounds[0] <= spot[0] <= bounds[2] and bounds[1] <= spot[1] <= bounds[3]):
            continue
        side = size(sign)
        tries = [spot, *_rings(spot, side * 0.6)]
        boxes = [Box(x, y, side, side) for x, y in tries]
        box = next((b for b in boxes if b.inside(bounds) and taken.free(b)), None) or _pushed_in(boxes[0], bounds)
        taken.add(box)
        moved = hypot(box.x - spot[0], box.y - spot[1]) > side / 2
        placed.append(PlacedSign(sign, (box.x, box.y), (spot, (box.x, box.y)) if moved else None))
    return tuple(placed)


def _best(label: Label, to_device: ToDevice, measure: Measure, taken: Taken, bounds: Rect) -> PlacedLabel | None:
    """Return the label where it does least harm; in brief where only that is near enough; None when it is left out."""
    found = _cheapest(label, to_device, measure, taken, bounds)
    if label.rank > KEEP_RANK:
        return found[1] if found else None
    dear = BRIEF_COST if label.text.count(FOLD) > 1 else 2 * BRIEF_COST
    if found is None or found[0] > dear:
        short = _cheapest(brief(label), to_device, measure, taken, bounds)
        found = _cheaper(found, short and (short[0] + dear, short[1]))
    if found is not None or label.rank > NEVER_DROPPED:
        return found[1] if found else None
    anchor, size = to_device(label.at), measure(brief(label))
    box = _pushed_in(Box(anchor[0] + label.clear_pt + size[0] / 2, anchor[1], *size), bounds)
    return PlacedLabel(brief(label), box, (anchor, box.nearest(anchor)))


def _cheapest(
    label: Label, to_device: ToDevice, measure: Measure, taken: Taken, bounds: Rect
) -> tuple[float, PlacedLabel] | None:
    """Return the label along its leg, beside its anchor, or out on a leader, whichever costs least, with its cost."""
    anchor, size = to_device(label.at), measure(label)
    anchors = [anchor]
    best: tuple[float, PlacedLabel] | None = None
    if label.along is not None:
        a, b = to_device(label.along[0]), to_device(label.along[1])
        if label.rank > KEEP_RANK or hypot(b[0] - a[0], b[1] - a[1]) > 0.75 * size[0]:
            best = _least_covering(label, _along(anchor, a, b, size, label.clear_pt), taken, bounds)
        anchors = [(anchor[0] + t * (b[0] - a[0]), anchor[1] + t * (b[1] - a[1])) for t in ANCHOR_SLIDES]
    if label.along is None or label.rank <= KEEP_RANK:
        label = folded(label)
        size = measure(label)
        if best is None or best[0] > 0:
            boxes = chain.from_iterable(_round(one, size, label.clear_pt) for one in anchors)
            best = _cheaper(best, _least_covering(label, boxes, taken, bounds))
    if label.rank <= KEEP_RANK and (best is None or best[0] > LEADER_COST):
        for one in anchors:
            best = _cheaper(best, _on_leader(label, one, size, taken, bounds))
    return best


def brief(label: Label) -> Label:
    """Return a label that says only its first part: the id of a run or structure, the name of a service, cut if long."""
    first = label.owner if label.lettering == "structure" else ""
    first = first or label.text.split("\n")[0].split(FOLD)[0]
    return replace(label, text=first if len(first) <= BRIEF_LENGTH else first[: BRIEF_LENGTH - 1] + "…")


def _cheaper(
    one: tuple[float, PlacedLabel] | None, other: tuple[float, PlacedLabel] | None
) -> tuple[float, PlacedLabel] | None:
    if one is None or other is None:
        return one or other
    return other if other[0] < one[0] else one


def folded(label: Label) -> Label:
    """Return a label along a leg as one that stands upright, in two lines where its parts allow."""
    if label.along is None:
        return label
    parts = label.text.split(FOLD)
    half = len(parts) // 2
    text = label.text if half == 0 else FOLD.join(parts[:half]) + "\n" + FOLD.join(parts[half:])
    return replace(label, along=None, text=text, clear_pt=label.clear_pt + 2)


def _least_covering(
    label: Label, candidates: Iterator[Box], taken: Taken, bounds: Rect
) -> tuple[float, PlacedLabel] | None:
    """Return the free candidate that covers least line, with its cost; the earlier one when equal."""
    best: tuple[float, Box] | None = None
    on_line = label.along is not None and label.clear_pt == 0.0
    for box in candidates:
        if not box.inside(bounds) or not taken.free(box.grown(GAP)):
            continue
        cost = 0.0 if on_line else 2.0 * taken.lines_under(box)
        if best is None or cost < best[0]:
            best = (cost, box)
        if cost == 0:
            break
    return (best[0], PlacedLabel(label, best[1])) if best else None


def _round(anchor: Spot, size: tuple[float, float], clear: float) -> Iterator[Box]:
    """Yield upright boxes at and round an anchor: right, left, above, below, then slid along its sides, then corners."""
    (x, y), (w, h) = anchor, size
    if clear == 0.0:
        yield Box(x, y, w, h)
    dx, dy, d = clear + w / 2, clear + h / 2, 0.7 * clear
    for slide in (0.0, 0.3, -0.3, 0.5, -0.5):
        yield Box(x + dx, y + slide * h, w, h)
        yield Box(x - dx, y + slide * h, w, h)
        yield Box(x + slide * w, y - dy, w, h)
        yield Box(x + slide * w, y + dy, w, h)
    for sx, sy in ((1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0)):
        yield Box(x + sx * (d + w / 2), y + sy * (d + h / 2), w, h)


def _along(anchor: Spot, a: Spot, b: Spot, size: tuple[float, float], clear: float) -> Iterator[Box]:
    """Yield boxes along a leg, beside it (or on it with no clearance), slid to and fro as far as the leg is long."""
    w, h = size
    length = hypot(b[0] - a[0], b[1] - a[1])
    if length == 0.0 or (clear == 0.0 and length < 3 * w):
        return
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    angle = degrees(atan2(uy, ux))
    if not -90.0 < angle <= 90.0:
        angle += 180.0 if angle < 0 else -180.0
    start = (anchor[0] - a[0]) * ux + (anchor[1] - a[1]) * uy
    offsets: tuple[float, ...]
    slides: tuple[float, ...]
    if clear == 0.0:
        offsets, slides, least = (0.0,), (0.0, 1.5 * w, -1.5 * w), w
    else:
        offsets, slides, least = (clear + h / 2, -clear - h / 2), tuple(s * length for s in SLIDES), w / 4
    for slide in slides:
        if slide and not least <= start + slide <= length - least:
            continue
        x, y = anchor[0] + slide * ux, anchor[1] + slide * uy
        for off in offsets:
            yield Box(x - off * uy, y + off * ux, w, h, angle)


def _rings(spot: Spot, start: float) -> Iterator[Spot]:
    for ring in (start, start * 1.7, *(r for r in RINGS if r > start * 2)):
        for i in range(DIRECTIONS):
            turn = 2 * pi * (i + 0.5) / DIRECTIONS
            yield spot[0] + ring * cos(turn), spot[1] + ring * sin(turn)


def _on_leader(
    label: Label, anchor: Spot, size: tuple[float, float], taken: Taken, bounds: Rect
) -> tuple[float, PlacedLabel] | None:
    """Return the label in free space with a leader, and its cost: distance, lines covered or crossed, labels crossed."""
    w, h = size
    best: tuple[float, PlacedLabel] | None = None
    for ring in RINGS:
        if best is not None and LEADER_COST + ring / FAR >= best[0]:
            break
        for i in range(DIRECTIONS):
            turn = 2 * pi * (i + 0.5) / DIRECTIONS
            c, s = cos(turn), sin(turn)
            box = Box(anchor[0] + (ring + w / 2) * c, anchor[1] + (ring + h / 2) * s, w, h)
            if not box.inside(bounds) or not taken.free(box.grown(GAP)):
                continue
            start = (anchor[0] + label.clear_pt * c, anchor[1] + label.clear_pt * s)
            leader = (anchor, box.nearest(anchor))
            cost = LEADER_COST + ring / FAR + 2 * taken.lines_under(box) + taken.lines_crossed(start, leader[1])
            cost += 10 * taken.boxes_crossed(start, leader[1]) + (0 if taken.free(box.grown(LONELY)) else 1.5)
            if best is None or cost < best[0]:
                best = (cost, PlacedLabel(label, box, leader))
    return best


def _pushed_in(box: Box, bounds: Rect) -> Box:
    """Return the box moved so that it lies within the bounds as far as it fits."""
    x = min(max(box.x, bounds[0] + box.width / 2), bounds[2] - box.width / 2)
    y = min(max(box.y, bounds[1] + box.height / 2), bounds[3] - box.height / 2)
    return Box(x, y, box.width, box.height)
