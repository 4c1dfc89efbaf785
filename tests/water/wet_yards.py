"""Yards whose water can be reckoned by hand, and values of the water stages made up of plain numbers."""

from msgspec.structs import replace

from drainsketch.job.edits.add import add
from drainsketch.job.kinds import PipeDiameter
from drainsketch.job.model import Downspout, Job, Obstacle, Structure
from drainsketch.job.rain import Rain, RainRow, RainTable
from drainsketch.network.results import FlowRun, Grade, Network, StructureLevels
from drainsketch.review import analyse
from drainsketch.study import Study, study
from drainsketch.water.rain import Amount
from drainsketch.water.results import Arrival, PipeFlow
from tests.yards import basin, drawn, outfall, run, shot

HARD = Rain(intensity_in_h=4.0)
# intensities of a closed form, i = 6 (5 / t)^0.5, for the 10-year storm; 1.25 times that for the 100-year one
ROOT = RainTable(
    measure="intensity",
    return_periods_yr=(10.0, 100.0),
    rows=tuple(RainRow(duration_min=t, values=(6 * (5 / t) ** 0.5, 7.5 * (5 / t) ** 0.5)) for t in (5.0, 20.0, 80.0)),
)


def funnel(rain: Rain = HARD, **of_basin: object) -> Job:
    """A square lawn of 60 ft, 3,600 ft2, whose four planes fall 3 % to a 12 in basin at its middle, 0.9 ft below the rim of the square.

    z = 100 + 0.03 max(|x|, |y|). Its pipe leaves to a tie-in at 96.00.
    """
    corners = (shot(-30, -30, 100.9), shot(30, -30, 100.9), shot(30, 30, 100.9), shot(-30, 30, 100.9))
    return drawn(
        *corners,
        shot(0, 0, 100.0),
        basin(0, 0, size_in=12, **of_basin),
        outfall(28, 0, "tie-in", invert_ft=96.0),
        run("B1", "O1", pipe="sdr35", diameter_in=4),
        job=Job(rain=rain),
    )


def paved(job: Job, kind: str, west: float, south: float, east: float, north: float, **more: object) -> Job:
    ring = ((west, south), (east, south), (east, north), (west, north))
    return add(job, Obstacle(id="", kind=kind, points=ring, **more))  # type: ignore[arg-type]


def roofed(job: Job, at: tuple[float, float], area_ft2: float, *, joined: bool) -> Job:
    """With a downspout, and an inlet of its own beside it with pipe to the basin."""
    job = add(job, Downspout(id="", point=at, roof_area_ft2=area_ft2))
    if not joined:
        return job
    spout = job.downspouts[-1].id
    job = add(job, Structure(id="", kind="downspout inlet", point=at, downspout=spout))
    return add(job, run(job.structures[-1].id, "B1"))


def looked_at(job: Job) -> Study:
    return study(analyse(job))


def peak(c: float, intensity_in_h: float, area_ft2: float) -> float:
    """C i A by hand: 1 in/h on 1 ft2 is 1/12/3,600 cfs."""
    return c * intensity_in_h * area_ft2 / 43_200


# ---- plain values


def arrival(name: str, area_ft2: float, c: float = 1.0, minutes: float = 5.0, flow_cfs: float = 0.0) -> Arrival:
    return Arrival(name, (), area_ft2, c, c, None, minutes, Amount(0.0), flow_cfs)


def grade(run_id: str, length_ft: float, slope: float, down_ft: float = 97.0) -> Grade:
    return Grade(run_id, length_ft, slope, down_ft + slope * length_ft, down_ft, 0, 0, 0, 0, 1, 0, 1, 1, 1, 0)


def pipe_flow(run_id: str, flow_cfs: float, inside_in: float, n: float) -> PipeFlow:
    return PipeFlow(run_id, 1.0, 1.0, 5.0, Amount(1.0), flow_cfs, (), inside_in / 12, n, "", 0.01, 1.0, None, 1.0, None)


def levels(rims_ft: dict[str, float]) -> dict[str, StructureLevels]:
    return {name: StructureLevels(name, rim, False, rim, None, ()) for name, rim in rims_ft.items()}


def chain(
    lengths_ft: tuple[float, ...],
    slopes: tuple[float, ...],
    sizes: tuple[PipeDiameter, ...],
    rain: Rain,
    **of_run: object,
) -> tuple[Job, Network, dict[str, Grade]]:
    """Basins B1, B2 ... one below the other, each with a run to the next and the last to an outfall."""
    count = len(lengths_ft)
    at = [sum(lengths_ft[:i]) for i in range(count + 1)]
    names = [*(f"B{i + 1}" for i in range(count)), "O1"]
    job = drawn(*(basin(x, 0) for x in at[:-1]), outfall(at[-1], 0), job=Job(rain=rain))
    for i, size in enumerate(sizes):
        job = add(job, run(names[i], names[i + 1], diameter_in=size, **of_run))
    flows = tuple(
        FlowRun(f"R{i + 1}", names[i], names[i + 1], ((at[i], 0.0), (at[i + 1], 0.0)), length, True)
        for i, length in enumerate(lengths_ft)
    )
    grades: dict[str, Grade] = {}
    down = 90.0
    for flow, slope in zip(reversed(flows), reversed(slopes), strict=True):
        grades[flow.id] = grade(flow.id, flow.length_ft, slope, down)
        down += slope * flow.length_ft
    return job, Network(flows, tuple(names[:-1]), ("O1",), ()), grades


def with_water(job: Job, **changes: object) -> Job:
    return replace(job, water=replace(job.water, **changes))


def with_structure(job: Job, name: str, **changes: object) -> Job:
    return replace(job, structures=tuple(replace(s, **changes) if s.id == name else s for s in job.structures))


def shared_bowl(rain: Rain = HARD, east_rim_ft: float | None = None, west: float = -10.0) -> Job:
    """The lawn of ``funnel`` with its basins 10 ft to the west and to the east of its low point, 0.3 ft above it: B1 and B2, each with its run."""
    corners = (shot(-30, -30, 100.9), shot(30, -30, 100.9), shot(30, 30, 100.9), shot(-30, 30, 100.9))
    return drawn(
        *corners,
        shot(0, 0, 100.0),
        basin(west, 0, size_in=12),
        basin(10, 0, size_in=12, rim_ft=east_rim_ft),
        outfall(0, 28, "tie-in", invert_ft=96.0),
        run("B1", "O1", pipe="sdr35", diameter_in=4),
        run("B2", "O1", pipe="sdr35", diameter_in=4),
        job=Job(rain=rain),
    )
