"""The water review as ``check --json`` prints it: what the storm brings, and what inlets and pipe do with it.

Flows are cfs, velocities ft/s, areas ft2, rain in/h, times min, lengths, depths and levels ft, pipe and grate sizes in. Rows stand
in the order of the engine: arrivals and grates as the structures, runs in flow order, heads from the outfall up.
"""

from typing import Literal

from msgspec import Struct

from drainsketch.exports.storm_report import PlayedReport
from drainsketch.job.model import Job
from drainsketch.water.backwater import GradeLine
from drainsketch.water.rain import Amount
from drainsketch.water.results import Arrival, Escape, GrateFlow, PipeFlow, Water, Well


class StormRow(Struct, frozen=True):
    """The storm the job is held to. ``lacking`` is '' where it can be reckoned with; else 'rain', 'return period' or 'values'.

    A typed ``intensity_in_h`` stands in place of the table, ``source`` is where it came from.
    """

    lacking: Literal["", "rain", "return period", "values"]
    return_period_yr: float | None
    intensity_in_h: float | None
    source: str
    table_source: str


class RainRow(Struct, frozen=True):
    """The rain over a time. ``beyond`` is '' within the table, else 'shorter' or 'longer': then that of ``nearest_min`` is held."""

    minutes: float
    intensity_in_h: float
    beyond: Literal["", "shorter", "longer"]
    nearest_min: float | None


class ShareRow(Struct, frozen=True):
    """A kind of surface that sheds to an inlet, 'typed' where the user gave the area."""

    surface: str
    area_ft2: float
    c: float
    source: str


class LegRow(Struct, frozen=True):
    """One term of a time of concentration: 'sheet' or 'shallow' flow. ``factor`` is n of the sheet or k of shallow flow."""

    kind: str
    length_ft: float
    slope: float
    factor: float | None
    velocity_ft_s: float
    minutes: float


class ArrivalRow(Struct, frozen=True):
    """What arrives at an inlet. ``storm_c`` is ``c`` raised for a rare storm; ``way`` is empty where the time was typed or unknown.

    What runs off ``pooled_ft2`` stands first in low ground, and this inlet takes it in equal parts with those of ``shared_with``.
    """

    inlet: str
    area_ft2: float
    c: float
    storm_c: float
    shares: tuple[ShareRow, ...]
    way: tuple[LegRow, ...]
    rain: RainRow
    flow_cfs: float
    shared_with: tuple[str, ...] = ()
    pooled_ft2: float = 0.0


class RunFlowRow(Struct, frozen=True):
    """What a run has to carry and can. ``part`` are the inlets that make the flow, empty where all that drain to it do.

    ``depth_ft`` is null where the full pipe does not carry the flow; ``needs_in`` null where the size laid will do, 0 where no
    stocked size does; ``most_cfs`` is then what the largest carries full, else null. From ``slope`` on all is null where the run has no workable grade.
    """

    run: str
    area_ft2: float
    ca_ft2: float
    rain: RainRow
    flow_cfs: float
    part: tuple[str, ...]
    inside_in: float
    n: float
    n_source: str
    slope: float | None
    full_cfs: float | None
    carries: bool | None
    depth_ft: float | None
    velocity_ft_s: float | None
    needs_in: float | None
    hgl_up_ft: float | None
    hgl_down_ft: float | None
    most_cfs: float | None


class GrateRow(Struct, frozen=True):
    """Water over a grate, and what the grate takes with no more over it than ``allowed_ft``. ``needs_size_in`` or ``needs_count`` would do.

    ``depth_ft`` is that of ``flow_cfs`` and of ``run_on_cfs``, which came out of other inlets and runs here, together.
    """

    inlet: str
    flow_cfs: float
    depth_ft: float
    governs: Literal["weir", "orifice"]
    allowed_ft: float
    takes_cfs: float
    needs_size_in: float | None
    needs_count: int
    run_on_cfs: float


class HeadRow(Struct, frozen=True):
    """Water level in a structure at the peak; ``freeboard_ft`` is how far below the rim, negative where it comes out."""

    structure: str
    level_ft: float
    rim_ft: float
    freeboard_ft: float
    k: float


class WellRow(Struct, frozen=True):
    """A dry well, ft3: what the storm brings it to hold and what its voids hold; null where the soil is not known, or pit and stone are not.

    ``pit_ft3`` of ``room_ft3`` is in the pit, the rest in the stone of the ``stone`` runs that end in it, below ``spill_ft``, where
    water comes out; ``wet_ft`` of their trench lies below it. ``floor_ft2`` drinks on the mean. ``needs_length_ft`` is that of the
    pit, ``needs_trench_ft`` the feet of trench more where there is no pit.
    """

    outfall: str
    ca_ft2: float
    holds_ft3: float | None
    room_ft3: float | None
    drawdown_h: float | None
    needs_length_ft: float | None
    needs_trench_ft: float | None
    pit_ft3: float
    floor_ft2: float
    stone: tuple[str, ...]
    spill_ft: float | None
    wet_ft: float


class StoreRow(Struct, frozen=True):
    """What a run, a basin or the pit of a dry well holds below the ground, ft3: in its pipe, in voids of stone, in the basin over its outlet."""

    id: str
    pipe_ft3: float
    stone_ft3: float
    basin_ft3: float
    holds_ft3: float


class WaterReport(Struct, frozen=True):
    """The water review. Without a storm nothing but ``storm`` is filled in; ``unmeasured`` are inlets to which nothing is known to shed.

    ``past_inlets_ft2`` is ground whose water runs past every inlet, inside the lot line where there is one; null where no shots say.
    ``played`` is the storm as it was played, null where there is nothing to play.
    """

    storm: StormRow
    arrivals: tuple[ArrivalRow, ...]
    runs: tuple[RunFlowRow, ...]
    grates: tuple[GrateRow, ...]
    heads: tuple[HeadRow, ...]
    escapes: tuple[Escape, ...]
    wells: tuple[WellRow, ...]
    stores: tuple[StoreRow, ...]
    unmeasured: tuple[str, ...]
    past_inlets_ft2: float | None
    played: PlayedReport | None = None


def water_report(job: Job, water: Water, played: PlayedReport | None = None) -> WaterReport:
    """Return the water review of a job as ``check --json`` prints it."""
    rain = job.rain
    return WaterReport(
        storm=StormRow(
            lacking=water.lacking,
            return_period_yr=rain.return_period_yr,
            intensity_in_h=rain.intensity_in_h,
            source=rain.source,
            table_source=rain.table.source if rain.table is not None else "",
        ),
        arrivals=tuple(_arrival(a) for a in water.arrivals.values()),
        runs=tuple(_run(p, water.lines.get(p.run_id)) for p in water.pipes.values()),
        grates=tuple(_grate(g) for g in water.grates.values()),
        heads=tuple(HeadRow(h.structure, h.level_ft, h.rim_ft, h.freeboard_ft, h.k) for h in water.heads.values()),
        escapes=tuple(water.escapes.values()),
        wells=tuple(_well(w) for w in water.wells.values()),
        stores=tuple(StoreRow(s.id, s.pipe_ft3, s.stone_ft3, s.basin_ft3, s.holds_ft3) for s in water.stores.values()),
        unmeasured=water.unmeasured,
        past_inlets_ft2=water.past_ft2,
        played=played,
    )


def _rain(minutes: float, rain: Amount) -> RainRow:
    return RainRow(minutes, rain.value, rain.beyond, rain.nearest_min)


def _arrival(a: Arrival) -> ArrivalRow:
    legs = a.time.legs if a.time is not None else ()
    return ArrivalRow(
        inlet=a.inlet,
        area_ft2=a.area_ft2,
        c=a.c,
        storm_c=a.storm_c,
        shares=tuple(ShareRow(s.surface, s.area_ft2, s.c, s.source) for s in a.shares),
        way=tuple(LegRow(x.kind, x.length_ft, x.slope, x.factor, x.velocity_ft_s, x.minutes) for x in legs),
        rain=_rain(a.minutes, a.rain),
        flow_cfs=a.flow_cfs,
        shared_with=a.shared_with,
        pooled_ft2=a.pooled_ft2,
    )


def _run(p: PipeFlow, line: GradeLine | None) -> RunFlowRow:
    return RunFlowRow(
        run=p.run_id,
        area_ft2=p.area_ft2,
        ca_ft2=p.ca_ft2,
        rain=_rain(p.minutes, p.rain),
        flow_cfs=p.flow_cfs,
        part=p.part,
        inside_in=12 * p.diameter_ft,
        n=p.n,
        n_source=p.n_source,
        slope=p.slope,
        full_cfs=p.full_cfs,
        carries=p.carries if p.full_cfs is not None else None,
        depth_ft=p.depth_ft,
        velocity_ft_s=p.velocity_ft_s,
        needs_in=p.needs_in,
        hgl_up_ft=line.hgl_ft[-1] if line is not None else None,
        hgl_down_ft=line.hgl_ft[0] if line is not None else None,
        most_cfs=p.most_cfs,
    )


def _grate(g: GrateFlow) -> GrateRow:
    return GrateRow(
        inlet=g.inlet,
        flow_cfs=g.flow_cfs,
        depth_ft=g.depth_ft,
        governs=g.governs,
        allowed_ft=g.allowed_ft,
        takes_cfs=g.takes_cfs,
        needs_size_in=g.needs_size_in,
        needs_count=g.needs_count,
        run_on_cfs=g.run_on_cfs,
    )


def _well(w: Well) -> WellRow:
    return WellRow(
        outfall=w.outfall,
        ca_ft2=w.ca_ft2,
        holds_ft3=w.balance.holds_ft3 if w.balance is not None else None,
        room_ft3=w.room_ft3,
        drawdown_h=w.drawdown_h,
        needs_length_ft=w.needs_length_ft,
        needs_trench_ft=w.needs_trench_ft,
        pit_ft3=w.pit_ft3,
        floor_ft2=w.floor_ft2,
        stone=w.stone,
        spill_ft=w.spill_ft,
        wet_ft=w.wet_ft,
    )
