"""Playing the storm of a job: through today's ground, and through the yard with its drains, over the same moments."""

from math import ceil

import numpy as np

from drainsketch.ground.results import Floats, GroundStudy
from drainsketch.job.model import Job
from drainsketch.network.results import Grade, Network, StructureLevels
from drainsketch.water.rain import lacking
from drainsketch.water.results import Water
from drainsketch.water.storm.build import Stage, stage_drained, stage_now
from drainsketch.water.storm.march import State, marched
from drainsketch.water.storm.results import Played, Storm, Sum
from drainsketch.water.storm.sheds import Fall, coming_of, fall_of

STEPS = 720  # of the storm, in which it is played; between these two:
SHORTEST_S, LONGEST_S = 5.0, 15.0
MOMENTS = 480
EVERY_S = (15.0, 30.0, 60.0)  # between moments: the first that makes no more of them than that, or the last
HARD, SETTLES_MIN = 0.1, 10.0  # while it rained less than that share of the hardest for so long, steps are as long as
EASY_S = 30.0
LEAST_AFTER_MIN, USUAL_AFTER_MIN, MOST_AFTER_MIN = 60.0, 120.0, 360.0
QUIET_CFS = 5e-4  # a cupful in a quarter minute: it is over


def storm_of(
    job: Job,
    network: Network,
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
    ground: GroundStudy | None,
    water: Water,
) -> Storm | None:
    """Return the storm of a job, played; None where it has no rain, or neither ground nor pipe.

    It goes on after the rain until nothing runs any more, an hour at the least and six at the most.

    Parameters
    ----------
    grades : those that pipe can be laid to, by run id

    Source: volume balance of every place; see ``march``, ``links``, ``sheds``. Check: tests/water/storm
    """
    if lacking(job.rain) or (ground is None and not water.arrivals):
        return None
    fall = fall_of(job.rain)
    with_drains = stage_drained(job, network, grades, levels, ground, water)
    after = played(with_drains, fall, None)
    before = played(stage_now(job, ground, water.arrivals), fall, after.minute) if ground is not None else None
    return Storm(before, after)


def played(stage: Stage, fall: Fall, minutes: Floats | None) -> Played:
    """Return a storm played through a stage.

    Parameters
    ----------
    minutes : the moments to keep; None plays until it is over
    """
    rain_min = float(fall.end_min[-1])
    latest = rain_min + MOST_AFTER_MIN
    every_s = next((s for s in EVERY_S if (rain_min + USUAL_AFTER_MIN) * 60 / s <= MOMENTS), EVERY_S[-1])
    per_moment = ceil(every_s / min(LONGEST_S, max(SHORTEST_S, rain_min * 60 / STEPS)))
    hard_in_h = HARD * fall.most_in_h(0.0, rain_min)
    if minutes is not None:
        latest = float(minutes[-1])
    coming = coming_of(fall, stage.sheds)
    longest = float(coming.minutes.max()) if len(stage.sheds) else 0.0
    node = np.array([s.node for s in stage.sheds], dtype=np.int64)
    count = len(stage.start_ft)
    level = stage.start_ft.copy()
    state = State(level, stage.system.nodes.held(level)[0], np.zeros(len(stage.system.at)))
    held = float(state.volume_ft3.sum())
    came = coming.volume_ft3(0.0)
    rows = [(0.0, level, state.flows_cfs, np.zeros(len(node)))]
    inside = node >= 0
    off_ft3, at_s = 0.0, 0.0
    while at_s < latest * 60 - 1e-6:
        total, started = np.zeros(len(state.flows_cfs)), came
        minute = at_s / 60
        hard = fall.most_in_h(minute - longest - SETTLES_MIN, minute + every_s / 60) >= hard_in_h
        steps = per_moment if hard else max(1, round(every_s / EASY_S))
        for _ in range(steps):
            at_s += every_s / steps
            now = coming.volume_ft3(at_s / 60)
            new = (now - came) * steps / every_s
            comes = np.zeros(count)
            np.add.at(comes, node[inside], new[inside])
            state = marched(stage.system, state, comes, every_s / steps)
            off_ft3 += float((now - came)[~inside].sum())
            came = now
            total += state.flows_cfs
        rows.append((at_s / 60, state.level_ft, total / steps, (came - started) / every_s))
        if (
            minutes is None
            and at_s / 60 + 1e-6 >= rain_min + max(longest, LEAST_AFTER_MIN)
            and _is_quiet(stage, rows[-1][2])
        ):
            break
    return _kept(stage, fall, rows, (float(came.sum()), held, off_ft3))


def _is_quiet(stage: Stage, flows_cfs: Floats) -> bool:
    """Whether nothing runs any more; what soaks away may take days."""
    runs = flows_cfs[: stage.system.kinds[3].start]
    return float(np.abs(runs).max(initial=0.0)) < QUIET_CFS


Row = tuple[float, Floats, Floats, Floats]


def _kept(
    stage: Stage,
    fall: Fall,
    rows: list[Row],
    sums: tuple[float, float, float],
) -> Played:
    """Return what was played as columns of things."""
    comes, held, off = sums
    surface, piping, system = stage.surface, stage.piping, stage.system
    hollows = surface.hollows.hollows if surface.hollows is not None else ()
    dishes = len(surface.tables)
    minute = np.array([r[0] for r in rows])
    level = np.maximum(np.array([r[1] for r in rows]), system.nodes.bottom_ft)
    flows = np.array([r[2] for r in rows])
    pipe, grate, over, soak = (flows[:, kind] for kind in system.kinds)
    moment_s = float(minute[1] - minute[0]) * 60
    names = piping.structures
    takes, arrives, passes, stands = (np.zeros((len(rows), len(names))) for _ in range(4))
    came = np.array([r[3] for r in rows])
    for n, name in enumerate(names):
        mine = [i for i, s in enumerate(stage.sheds) if s.inlet == name]
        arrives[:, n] = came[:, mine].sum(axis=1)
        if name in stage.rims:
            at = stage.rims.index(name)
            takes[:, n] = grate[:, at]
            stands[:, n] = np.maximum(level[:, system.grates.at[at]] - system.grates.rim_ft[at], 0.0)
        if name in surface.onward or (name in surface.dish and surface.dish[name] >= len(hollows)):
            passes[:, n] = over[:, np.flatnonzero(system.passes.at == surface.dish[name])].sum(axis=1)
    leaves = np.zeros((len(rows), len(piping.outfalls)))
    for n, name in enumerate(piping.outfalls):
        leaves[:, n] = pipe[:, [i for i, f in enumerate(piping.runs) if f.downstream == name]].sum(axis=1)
    everywhere = np.concatenate([level, np.broadcast_to(system.fixed_ft, (len(rows), len(system.fixed_ft)))], axis=1)
    filled = system.pipes.filled(everywhere[:, system.pipes.at], everywhere[:, system.pipes.to], pipe)
    off_pass = system.passes.to < 0
    gone = system.gets[system.kinds[0]] < 0
    held_ft3 = system.nodes.held(level[-1])[0]  # by the levels that are shown, so that the sum tells how good they are
    return Played(
        minute=minute,
        rain_in_h=np.array([fall.rate_in_h(m) for m in minute.tolist()]),
        hollows=hollows,
        stands_ft=level[:, : len(hollows)],
        spills_cfs=over[:, : len(hollows)],
        structures=names,
        level_ft=level[:, dishes:],
        arrives_cfs=arrives,
        takes_cfs=takes,
        passes_cfs=passes,
        over_ft=stands,
        onward=tuple(surface.onward.get(name, ()) for name in names),
        runs=tuple(f.id for f in piping.runs),
        flow_cfs=pipe,
        filled=filled,
        outfalls=piping.outfalls,
        leaves_cfs=leaves,
        sum=Sum(
            comes=comes,
            held=held,
            piped=float(np.maximum(pipe[:, gone], 0.0).sum()) * moment_s,
            back=float(np.maximum(-pipe[:, gone], 0.0).sum()) * moment_s,
            off=off + float(over[:, off_pass].sum()) * moment_s,
            soaked=float(soak.sum()) * moment_s,
            stands=float(held_ft3[:dishes].sum()),
            inside=float(held_ft3[dishes:].sum()),
        ),
    )
