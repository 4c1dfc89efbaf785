"""Pins that are set too high: levels the user fixed, without which water would leave that now cannot."""

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.model import Structure
from drainsketch.network.grades import Bounds, pinned_ft, place_inverts
from drainsketch.network.graph import downhill
from drainsketch.network.results import FlowRun, Shortfall

SLACK_FT = 1e-4  # less than any level can be shot or dug to
MEASURED = ("tie-in", "curb")  # outfalls whose level is measured, not chosen


class Pin(Struct, frozen=True):
    """A level fixed by the user: on which thing, at which structure, and the highest it could be there, ft."""

    thing: str
    at: str
    level_ft: float
    highest_ft: float


def pins_too_high(bounds: Bounds, short: tuple[Shortfall, ...]) -> dict[Pin, tuple[str, ...]]:
    """Return the pins that keep structures from draining, with those structures.

    Where a structure that cannot drain would drain with every pin taken away, the first pin on its way down that stands above
    the level a free pipe has there is what keeps it. Measured levels at a tie-in or a curb are no pins.
    """
    free = _without_pins(bounds)
    if not short or free is None:
        return {}
    inverts, still = place_inverts(free)
    lost = {s.structure for s in still}
    pins, way = _too_high(bounds, inverts), downhill(bounds.network)
    found: dict[Pin, tuple[str, ...]] = {}
    for structure in sorted(s.structure for s in short if s.structure not in lost):
        pin = _first(pins, way, structure)
        if pin is not None:
            found[pin] = (*found.get(pin, ()), structure)
    return found


def pin_findings(bounds: Bounds, pins: dict[Pin, tuple[str, ...]]) -> list[Finding]:
    """Return one finding for each pin that is too high."""
    return [
        finding(
            "pin_too_high",
            Place(ids=tuple(dict.fromkeys((pin.thing, pin.at, *kept))), point=bounds.structures[pin.at].point),
            value=pin.level_ft - pin.highest_ft,
            limit=0.0,
            thing=pin.thing,
            at=pin.at,
            level=pin.level_ft,
            highest=pin.highest_ft,
            structures=kept,
        )
        for pin, kept in pins.items()
    ]


def _without_pins(bounds: Bounds) -> Bounds | None:
    """Return the bounds of the job with no pin in it; None when it has none."""
    job = bounds.job
    runs = tuple(
        r
        if r.start_invert_ft is None and r.end_invert_ft is None
        else replace(r, start_invert_ft=None, end_invert_ft=None)
        for r in job.runs
    )
    structures = tuple(replace(s, invert_ft=None) if _is_pinned(s) else s for s in job.structures)
    if runs == job.runs and structures == job.structures:
        return None
    free = replace(job, runs=runs, structures=structures)
    return Bounds(free, bounds.network, bounds.profiles, bounds.ground, before=bounds)


def _is_pinned(s: Structure) -> bool:
    return s.invert_ft is not None and not (s.kind == "outfall" and s.outfall in MEASURED)


def _too_high(bounds: Bounds, inverts: dict[str, tuple[float, float]]) -> list[Pin]:
    """Return the pins that stand above the level a free pipe has there."""
    found = []
    for flow in bounds.network.runs:
        run, below = bounds.runs[flow.id], bounds.structures[flow.downstream]
        up, down = inverts[flow.id]
        for thing, at, level, highest in (
            (flow.id, flow.upstream, pinned_ft(run, flow, "up"), up),
            (flow.id, below.id, pinned_ft(run, flow, "down"), down),
            (below.id, below.id, below.invert_ft if _is_pinned(below) else None, down),
        ):
            if level is not None and level - highest > SLACK_FT:
                found.append(Pin(thing, at, level, highest))
    return found


def _first(pins: list[Pin], way: dict[str, FlowRun], structure: str) -> Pin | None:
    """Return the first pin on the way down from a structure, of another pipe that arrives there too; else the one most too high."""
    at = structure
    while at in way:
        flow = way[at]
        for pin in pins:
            if (pin.thing == flow.id and pin.at == at) or pin.at == flow.downstream:
                return pin
        at = flow.downstream
    return max(pins, key=lambda p: p.level_ft - p.highest_ft, default=None)
