"""The order in which structures and runs are worked: from the outfall upstream, or the basins first."""

from drainsketch.job.work import Order
from drainsketch.network.results import FlowRun, Network
from drainsketch.takeoff.works import Works


def sequence(works: Works, network: Network, order: Order) -> tuple[str, ...]:
    """Return the ids of structures and runs in the order they are worked; runs that reach no outfall are left out.

    From each outfall up the way with the most pipe above it, so that every run is dug after the one it drains to and from its low end;
    then its side lines, the longest first. With ``basins first`` basins go before all else, in that same order.
    """
    into: dict[str, list[FlowRun]] = {}
    for flow in network.runs:
        into.setdefault(flow.downstream, []).append(flow)
    above = {f.id: f.length_ft for f in network.runs}
    for flow in network.runs:  # upstream first: what is above is summed already
        above[flow.id] += sum(above[f.id] for f in into.get(flow.upstream, ()))
    for flows in into.values():
        flows.sort(key=lambda f: (-above[f.id], f.id))
    found: dict[str, None] = {}
    for outfall in network.outfalls:
        found[outfall] = None
        stack = list(reversed(into.get(outfall, ())))
        while stack:
            flow = stack.pop()
            if flow.id in found:
                continue
            found[flow.id] = found[flow.upstream] = None
            stack += reversed(into.get(flow.upstream, ()))
    if order == "basins first":
        basins = [name for name in found if name in works.structures and works.structures[name].kind == "basin"]
        found = dict.fromkeys([*basins, *found])
    return tuple(found)
