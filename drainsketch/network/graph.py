"""The drain network: which way the water goes, whatever way the runs were drawn."""

from math import inf

import networkx as nx

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.ask import length_ft, run_points, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Run, Structure
from drainsketch.network.results import FlowRun, Grade, InletPath, Network

INLET_KINDS = ("basin", "downspout inlet")
STEP_FT = 1e-6  # added to each run's length, so that a run without length still leads toward its outfall


def orient(job: Job) -> Network:
    """Return the network with every run turned toward the nearest outfall along the pipe.

    In a tree with one outfall that is the only way there is. Runs tied to no outfall are ``adrift``: they have no direction.
    """
    by_id = structures_by_id(job)
    points = {r.id: run_points(r, by_id) for r in job.runs}
    long_ft = {name: length_ft(line) for name, line in points.items()}
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(list(by_id))
    for r in job.runs:
        graph.add_edge(r.start, r.end, key=r.id, weight=long_ft[r.id] + STEP_FT)
    outfalls = [s.id for s in job.structures if s.kind == "outfall" and graph.degree(s.id)]
    away = nx.multi_source_dijkstra_path_length(graph, set(outfalls)) if outfalls else {}
    flows = [
        _turned(run, points[run.id], long_ft[run.id], away)
        for run in sorted(job.runs, key=lambda r: r.id)
        if run.start in away
    ]
    flows.sort(key=lambda f: (away[f.upstream], f.upstream), reverse=True)
    fed = {f.downstream for f in flows}
    inlets = tuple(
        s.id
        for s in job.structures
        if s.id in away and s.kind != "outfall" and (s.kind in INLET_KINDS or s.id not in fed)
    )
    adrift = tuple(run.id for run in job.runs if run.start not in away)
    return Network(runs=tuple(flows), inlets=inlets, outfalls=tuple(outfalls), adrift=adrift)


def _turned(run: Run, points: tuple[Point, ...], long_ft: float, away: dict[str, float]) -> FlowRun:
    """Return the run from its far end to its near end; ends equally far go by id, so that no circle of arrows can arise."""
    downhill = (away.get(run.start, inf), run.start) > (away.get(run.end, inf), run.end)
    return FlowRun(
        id=run.id,
        upstream=run.start if downhill else run.end,
        downstream=run.end if downhill else run.start,
        points=points if downhill else points[::-1],
        length_ft=long_ft,
        drawn_downhill=downhill,
    )


def downhill(network: Network) -> dict[str, FlowRun]:
    """Return the run by which the water of each structure leaves; the shorter way to an outfall, where there are several."""
    off_ft = dict.fromkeys(network.outfalls, 0.0)
    found: dict[str, FlowRun] = {}
    for f in reversed(network.runs):
        far_ft = off_ft[f.downstream] + f.length_ft
        if f.upstream not in off_ft or far_ft < off_ft[f.upstream]:
            off_ft[f.upstream], found[f.upstream] = far_ft, f
    return found


def shape_findings(job: Job, network: Network) -> list[Finding]:
    """Return what is wrong with the shape of the network: islands, loops, two outfalls, pipe that narrows, loose ends."""
    by_id = structures_by_id(job)
    found: list[Finding] = []
    joined = nx.utils.UnionFind(by_id)
    for r in job.runs:
        joined.union(r.start, r.end)
    parts = list(joined.to_sets())
    number = {name: i for i, part in enumerate(parts) for name in part}
    runs_of: list[list[Run]] = [[] for _ in parts]
    ids_of: list[list[str]] = [[] for _ in parts]
    for r in job.runs:
        runs_of[number[r.start]].append(r)
    for name in by_id:
        ids_of[number[name]].append(name)
    for part, runs, ids in zip(parts, runs_of, ids_of, strict=True):
        found += _part_findings(tuple(ids), runs, by_id)
        if len(runs) >= len(part):  # a tree has one run fewer than structures
            found += _loops(runs, by_id)
    return found + _narrowing(job, network, by_id) + _loose_downspouts(job)


def _part_findings(ids: tuple[str, ...], runs: list[Run], by_id: dict[str, Structure]) -> list[Finding]:
    if len(ids) == 1:
        return _lone(by_id[ids[0]])
    found = []
    outfalls = tuple(s for s in ids if by_id[s].kind == "outfall")
    inlets = tuple(s for s in ids if by_id[s].kind in INLET_KINDS)
    if not outfalls:
        place = Place(ids=(*ids, *(r.id for r in runs)), point=by_id[ids[0]].point)
        found.append(finding("no_outfall", place, structures=ids))
    if len(outfalls) > 1:
        place = Place(ids=outfalls, point=by_id[outfalls[0]].point)
        found.append(finding("two_outfalls", place, inlets=inlets or ids, outfalls=outfalls))
    return found


def _loose_downspouts(job: Job) -> list[Finding]:
    """One note for each downspout whose roof water no inlet takes in."""
    taken = {s.downspout for s in job.structures}
    return [
        finding("downspout_loose", Place(ids=(d.id,), point=d.point), downspout=d.id)
        for d in job.downspouts
        if d.id not in taken
    ]


def _lone(s: Structure) -> list[Finding]:
    return [
        finding(
            "not_connected" if s.kind in INLET_KINDS else "unused", Place(ids=(s.id,), point=s.point), structure=s.id
        )
    ]


def _loops(runs: list[Run], by_id: dict[str, Structure]) -> list[Finding]:
    """One finding for each circle of pipe, two runs between the same structures included."""
    circles = [tuple(c) for c in nx.cycle_basis(nx.Graph([(r.start, r.end) for r in runs]))]
    pairs: dict[tuple[str, str], int] = {}
    for r in runs:
        pair = (min(r.start, r.end), max(r.start, r.end))
        pairs[pair] = pairs.get(pair, 0) + 1
    circles += [pair for pair, n in pairs.items() if n > 1]
    return [finding("loop", Place(ids=c, point=by_id[c[0]].point), structures=c) for c in circles]


def _narrowing(job: Job, network: Network, by_id: dict[str, Structure]) -> list[Finding]:
    """One finding for each run that is smaller than a run that flows into it."""
    size = {r.id: r.diameter_in for r in job.runs}
    arriving: dict[str, list[FlowRun]] = {}
    for f in network.runs:
        arriving.setdefault(f.downstream, []).append(f)
    found = []
    for below in network.runs:
        above = [f for f in arriving.get(below.upstream, ()) if size[f.id] > size[below.id]]
        if above:
            widest = max(above, key=lambda f: size[f.id])
            place = Place(ids=(below.id, widest.id), point=by_id[below.upstream].point)
            found.append(
                finding(
                    "narrows",
                    place,
                    value=size[below.id],
                    limit=size[widest.id],
                    run=below.id,
                    above=widest.id,
                    at=below.upstream,
                )
            )
    return found


def inlet_paths(network: Network, grades: dict[str, Grade], least: dict[str, float]) -> tuple[InletPath, ...]:
    """Return the path of each inlet: runs, length, fall and the run with the least slope to spare.

    Each structure is reckoned once from the one below it, so that a long chain costs no more than its runs.

    Parameters
    ----------
    grades : by run id; empty when there are no levels
    least : least slope by run id, ft/ft
    """
    spare = {f.id: grades[f.id].least_slope - least[f.id] for f in network.runs if f.id in grades and f.length_ft}
    way = downhill(network)
    outfalls = set(network.outfalls)
    below: dict[str, InletPath] = {o: InletPath(o, o, (), 0.0, 0.0 if grades else None, None, None) for o in outfalls}
    for f in reversed(network.runs):
        if way.get(f.upstream) is not f or f.upstream in outfalls:
            continue
        after = below[f.downstream]
        here, rest = spare.get(f.id), after.slope_to_spare
        is_tightest = here is not None and (rest is None or here <= rest)
        last = grades.get(after.run_ids[-1] if after.run_ids else f.id)
        below[f.upstream] = InletPath(
            inlet=f.upstream,
            outfall=after.outfall,
            run_ids=(f.id, *after.run_ids),
            length_ft=f.length_ft + after.length_ft,
            fall_ft=grades[f.id].invert_up_ft - last.invert_down_ft if last is not None and f.id in grades else None,
            tightest_run=f.id if is_tightest else after.tightest_run,
            slope_to_spare=here if is_tightest else rest,
        )
    return tuple(below[inlet] for inlet in network.inlets if inlet in below)
