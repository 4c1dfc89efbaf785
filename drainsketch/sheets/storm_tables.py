"""The storm on paper: what it was reckoned with, what arrives at each inlet, and what each run carries."""

from drainsketch.job.limits import WaterBasis
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.job.rates import format_minutes
from drainsketch.resources import table
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.sheets.text import plain
from drainsketch.sheets.well_table import well_tables
from drainsketch.water.results import Arrival, Head, PipeFlow, Water
from drainsketch.wording import Words

SOURCE_LENGTH = 120


def storm_tables(job: Job, water: Water, words: Words) -> tuple[Schedule, ...]:
    """Return the tables of a storm: none where the job names no storm, or nothing arrives anywhere."""
    if water.lacking or not water.arrivals:
        return ()
    return _basis(job, water, words), _inlets(water, words), _pipes(job, water, words), *well_tables(job, water, words)


def storm_name(rain: Rain, words: Words) -> str:
    """Return the storm of a job as it is called: by its return period, or by the intensity typed."""
    if rain.intensity_in_h is not None:
        return words.rain(rain.intensity_in_h)
    return words.word("sheets.storm.years", years=rain.return_period_yr)


def storm_source(rain: Rain, words: Words) -> str:
    """Return where the user has the figures of the storm from, as typed."""
    source = rain.source if rain.table is None or rain.intensity_in_h is not None else rain.table.source
    return plain(source, SOURCE_LENGTH) or words.word("sheets.storm.no_source")


def _basis(job: Job, water: Water, words: Words) -> Schedule:
    """Return the storm and where its figures come from; coefficients and roughness as used, each with its source."""

    def word(key: str, **params: object) -> str:
        return words.word(f"sheets.storm.{key}", **params)

    rain = job.rain
    rows = [(word("rain"), storm_name(rain, words), storm_source(rain, words))]
    shares = {(s.surface, f"{s.c:.2f}"): s for a in water.arrivals.values() for s in a.shares}
    rows += [
        (word("c", surface=word(f"surface_{name.replace('-', '_')}")), c, words.origin(share.source))
        for (name, c), share in shares.items()
        if name != "typed"
    ]
    pipes = {r.id: r for r in job.runs}
    rough = {(pipes[f.run_id].pipe, pipes[f.run_id].use, f.n): f.n_source for f in water.pipes.values()}
    rows += [
        (
            word("n", pipe=words.word(f"takeoff.word.pipe.{pipe}"), use=words.word(f"sheets.use.{use}")),
            f"{n:.3f}",
            words.origin(source),
        )
        for (pipe, use, n), source in rough.items()
    ]
    rows += [
        (word(key), text, words.origin(_source_of(job, name)))
        for key, text, name in (
            ("clogged", f"{job.water.grate_clogged:.0%}", "grate_clogged"),
            ("least_time", format_minutes(job.water.least_tc_min), "least_tc_min"),
        )
    ]
    if water.wells:
        rate, origin = job.water.infiltration_in_h, words.origin(_source_of(job, "stone_voids"))
        rows.append((word("soak_rate"), words.rain(rate) if rate is not None else word("not_measured"), NONE))
        rows.append((word("voids"), f"{job.water.stone_voids:.0%}", origin))
    if water.past_ft2 is not None:
        rows.append(
            (word("past"), words.area(water.past_ft2), word("past_lot" if job.boundary is not None else "past_shot"))
        )
    columns = schedule_columns(words, "storm", ("what", 1.6, False), ("value", 0.7, True), ("source", 3.4, False))
    return Schedule(word("title"), columns, tuple(rows), word("note"), has_ids=False)


def _source_of(job: Job, name: str) -> str:
    """Return where a figure of the job comes from: the catalogue, while it is the one a job starts with."""
    is_first = getattr(job.water, name) == getattr(WaterBasis(), name)
    source: str = table("catalogue/water.toml")[name]["source"] if is_first else "typed for this job"
    return source


def _inlets(water: Water, words: Words) -> Schedule:
    def row(a: Arrival) -> tuple[str, ...]:
        grate, head = water.grates.get(a.inlet), water.stands(a.inlet)
        over = words.word("sheets.storm.comes_out") if a.inlet in water.over else None
        return (
            a.inlet,
            words.area(a.area_ft2),
            f"{a.storm_c:.2f}",
            format_minutes(a.minutes),
            words.rain(a.rain.value),
            words.flow(a.flow_cfs),
            (over or words.inches(grate.depth_ft * 12)) if grate is not None else NONE,
            words.flow(grate.takes_cfs) if grate is not None else NONE,
            _freeboard(head, words, comes_out=a.inlet in water.over) if head is not None else NONE,
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


def _freeboard(head: Head, words: Words, *, comes_out: bool) -> str:
    if comes_out:
        return words.word("sheets.storm.over_rim", by=-head.freeboard_ft)
    return words.length(max(0.0, head.freeboard_ft))


def _pipes(job: Job, water: Water, words: Words) -> Schedule:
    def row(f: PipeFlow) -> tuple[str, ...]:
        full = f.full_cfs
        if full is None or f.velocity_ft_s is None:
            known: tuple[str, ...] = (NONE,) * 4
        else:
            depth = words.inches(f.depth_ft * 12) if f.depth_ft is not None else words.word("sheets.storm.full")
            share = f"{f.flow_cfs / full:.0%}" if full > 0 else NONE
            known = (words.flow(full), share, depth, words.velocity(f.velocity_ft_s))
        return (
            f.run_id,
            words.area(f.area_ft2),
            format_minutes(f.minutes),
            words.rain(f.rain.value),
            words.flow(f.flow_cfs),
            *known,
            words.word(f"sheets.storm.{_verdict(f, job.water.self_cleansing_ft_s)}"),
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


def _verdict(flow: PipeFlow, self_cleansing_ft_s: float) -> str:
    if not flow.carries:
        return "no_single" if flow.needs_in == 0 else "too_small"
    if flow.full_cfs is not None and flow.flow_cfs > flow.full_cfs:
        return "at_limit"  # by less than n is known
    return "carries_slow" if flow.state(self_cleansing_ft_s) == "slow" else "holds"
