"""The storm on paper: what it was reckoned with, what arrives at each inlet, and what each run carries."""

from drainsketch.job.model import Job
from drainsketch.job.rates import format_flow, format_minutes, format_rain, format_velocity
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.sheets.text import plain
from drainsketch.water.results import Arrival, Head, PipeFlow, Water
from drainsketch.wording import Words

SOURCE_LENGTH = 120


def storm_tables(job: Job, water: Water, words: Words) -> tuple[Schedule, ...]:
    """Return the tables of a storm: none where the job names no storm, or nothing arrives anywhere."""
    if water.lacking or not water.arrivals:
        return ()
    return _basis(job, water, words), _inlets(water, words), _pipes(water, words)


def _basis(job: Job, water: Water, words: Words) -> Schedule:
    """Return the storm and where its figures come from; coefficients and roughness as used, each with its source."""

    def word(key: str, **params: object) -> str:
        return words.word(f"sheets.storm.{key}", **params)

    rain, units = job.rain, words.units
    if rain.intensity_in_h is not None:
        storm, source = format_rain(rain.intensity_in_h, units), rain.source
    else:
        storm = word("years", years=rain.return_period_yr)
        source = rain.table.source if rain.table is not None else ""
    rows = [(word("rain"), storm, plain(source, SOURCE_LENGTH) or word("no_source"))]
    shares = {s.surface: s for a in water.arrivals.values() for s in a.shares}
    rows += [
        (word("c", surface=word(f"surface_{name.replace('-', '_')}")), f"{share.c:.2f}", share.source)
        for name, share in shares.items()
        if name != "typed"
    ]
    pipes = {r.id: r for r in job.runs}
    rough = {(pipes[f.run_id].pipe, pipes[f.run_id].use, f.n): f.n_source for f in water.pipes.values()}
    rows += [
        (
            word("n", pipe=words.word(f"takeoff.word.pipe.{pipe}"), use=words.word(f"sheets.use.{use}")),
            f"{n:.3f}",
            source,
        )
        for (pipe, use, n), source in rough.items()
    ]
    rows.append((word("clogged"), f"{job.water.grate_clogged:.0%}", ""))
    rows.append((word("least_time"), format_minutes(job.water.least_tc_min), ""))
    columns = schedule_columns(words, "storm", ("what", 1.6, False), ("value", 0.7, True), ("source", 3.4, False))
    return Schedule(word("title"), columns, tuple(rows), word("note"), has_ids=False)


def _inlets(water: Water, words: Words) -> Schedule:
    units = words.units

    def row(a: Arrival) -> tuple[str, ...]:
        grate, head = water.grates.get(a.inlet), water.heads.get(a.inlet)
        return (
            a.inlet,
            words.area(a.area_ft2),
            f"{a.storm_c:.2f}",
            format_minutes(a.minutes),
            format_rain(a.rain.value, units),
            format_flow(a.flow_cfs, units),
            words.inches(grate.depth_ft * 12) if grate is not None else NONE,
            format_flow(grate.takes_cfs, units) if grate is not None else NONE,
            _freeboard(head, words) if head is not None else NONE,
        )

    columns = schedule_columns(
        words,
        "storm",
        ("inlet", 0.6, False),
        ("area", 1.0, True),
        ("mean_c", 0.6, True),
        ("time", 0.9, True),
        ("rain", 1.0, True),
        ("flow", 0.9, True),
        ("over_grate", 1.0, True),
        ("grate_takes", 1.0, True),
        ("freeboard", 1.1, True),
    )
    rows = tuple(row(a) for a in water.arrivals.values())
    return Schedule(words.word("sheets.storm.inlets_title"), columns, rows, words.word("sheets.storm.inlets_note"))


def _freeboard(head: Head, words: Words) -> str:
    if head.freeboard_ft < 0:
        return words.word("sheets.storm.over_rim", by=-head.freeboard_ft)
    return words.length(head.freeboard_ft)


def _pipes(water: Water, words: Words) -> Schedule:
    units = words.units

    def row(f: PipeFlow) -> tuple[str, ...]:
        full = f.full_cfs
        if full is None or f.velocity_ft_s is None:
            known: tuple[str, ...] = (NONE,) * 4
        else:
            depth = words.inches(f.depth_ft * 12) if f.depth_ft is not None else words.word("sheets.storm.full")
            share = f"{f.flow_cfs / full:.0%}" if full > 0 else NONE
            known = (format_flow(full, units), share, depth, format_velocity(f.velocity_ft_s, units))
        return (
            f.run_id,
            words.area(f.area_ft2),
            format_minutes(f.minutes),
            format_rain(f.rain.value, units),
            format_flow(f.flow_cfs, units),
            *known,
            words.word("sheets.storm.holds" if f.carries else "sheets.storm.too_small"),
        )

    columns = schedule_columns(
        words,
        "storm",
        ("run", 0.6, False),
        ("area", 1.0, True),
        ("time", 0.9, True),
        ("rain", 1.0, True),
        ("flow", 0.9, True),
        ("full_flow", 0.9, True),
        ("share", 0.7, True),
        ("depth", 0.8, True),
        ("velocity", 0.9, True),
        ("verdict", 1.0, False),
    )
    rows = tuple(row(f) for f in water.pipes.values())
    return Schedule(words.word("sheets.storm.pipes_title"), columns, rows, words.word("sheets.storm.pipes_note"))
