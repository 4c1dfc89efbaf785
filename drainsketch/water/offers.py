"""Ways out of a storm that the plan does not carry: the next size of pipe or grate, and what has to be changed with it."""

from typing import Literal

from msgspec import Struct

from drainsketch.job.edits.change import change
from drainsketch.job.kinds import BasinSize, PipeDiameter
from drainsketch.job.model import Job
from drainsketch.network.graph import downhill
from drainsketch.network.results import Network
from drainsketch.water.results import Water


class Offer(Struct, frozen=True):
    """A size (in) for some runs or basins. ``asked`` are those too small as they are; the others go along.

    ``short`` are the runs among the others that are too small in this size too.
    """

    kind: Literal["pipe", "grate"]
    size_in: PipeDiameter | BasinSize
    ids: tuple[str, ...]
    asked: tuple[str, ...]
    short: tuple[str, ...] = ()


def pipe_offers(job: Job, network: Network, water: Water) -> tuple[Offer, ...]:
    """Return a size for the runs too small for what they have to carry, smallest first, and for smaller pipe below them.

    Pipe never gets smaller on the way down: what comes down a larger pipe would lodge in a smaller one (common practice, no
    source). A run below that needs more still has an offer of its own.
    """
    laid = {r.id: r.diameter_in for r in job.runs}
    order = [f.id for f in network.runs]
    asked: dict[PipeDiameter, set[str]] = {}
    for flow in water.pipes.values():
        if not flow.carries and flow.needs_in:
            asked.setdefault(flow.needs_in, set()).add(flow.run_id)
    out = []
    for size in sorted(asked):
        below = {i for run_id in asked[size] for i in _below(network, run_id) if laid[i] < size}
        ids = tuple(i for i in order if i in asked[size] | below)
        needs = {i: water.pipes[i].needs_in for i in ids if i in water.pipes}
        short = tuple(i for i, n in needs.items() if n == 0 or (n or 0) > size)
        out.append(Offer("pipe", size, ids, tuple(i for i in order if i in asked[size]), short))
    return tuple(out)


def grate_offers(water: Water) -> tuple[Offer, ...]:
    """Return a size for the grates over which water stands deeper than is put up with, smallest first."""
    asked: dict[BasinSize, list[str]] = {}
    for grate in water.grates.values():
        if grate.needs_size_in is not None:
            asked.setdefault(grate.needs_size_in, []).append(grate.inlet)
    return tuple(Offer("grate", size, tuple(ids), tuple(ids)) for size, ids in sorted(asked.items()))


def taken(job: Job, offer: Offer) -> Job:
    """Return the job with an offer taken. Raises EditError where one of its things is no longer there."""
    field = "diameter_in" if offer.kind == "pipe" else "size_in"
    for its_id in offer.ids:
        job = change(job, its_id, **{field: offer.size_in})
    return job


def _below(network: Network, run_id: str) -> list[str]:
    """Return the runs that the water of a run goes on through."""
    way = downhill(network)
    at = next((f for f in network.runs if f.id == run_id), None)
    found: list[str] = []
    while at is not None and at.id not in found:
        found.append(at.id)
        at = way.get(at.downstream)
    return found[1:]
