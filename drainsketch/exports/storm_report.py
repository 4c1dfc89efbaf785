"""The storm as it was played, as ``check --json`` prints it: how water stands today and with the drains, and where it goes.

Times are minutes from the first rain, flows cfs, levels and depths ft, areas ft2, volumes ft3 unless the name says gallons.
"""

from msgspec import Struct

from drainsketch.ground.results import Floats
from drainsketch.job.model import Job
from drainsketch.network.results import StructureLevels
from drainsketch.water.rain import played_min
from drainsketch.water.storm.facts import came_out_of, standing_of
from drainsketch.water.storm.results import Played, Storm
from drainsketch.water.storm.sheds import fall_of


class StandingRow(Struct, frozen=True):
    """Water on the ground: how much when most stands, for how long any does, and what is left when the playing ends."""

    worst_min: float
    area_ft2: float
    depth_ft: float
    gallons: float
    stood_min: float
    left_gallons: float
    still: bool


class AccountRow(Struct, frozen=True):
    """Where the water is when the playing ends. ``miss`` is the share of what came that is not accounted for."""

    comes_ft3: float
    held_ft3: float
    back_ft3: float
    piped_ft3: float
    off_ft3: float
    soaked_ft3: float
    stands_ft3: float
    inside_ft3: float
    miss: float


class SideRow(Struct, frozen=True):
    """One playing: today's ground, or the yard with its drains."""

    standing: StandingRow
    account: AccountRow


class HighestRow(Struct, frozen=True):
    """The highest that water stands in a structure, and when; ``rim_ft`` is null where nobody knows it.

    ``came_out_gal`` is what comes out at its grate, or comes up at a dry well, in the whole storm.
    """

    structure: str
    level_ft: float
    at_min: float
    rim_ft: float | None
    came_out_gal: float = 0.0


class GreatestRow(Struct, frozen=True):
    """The most that flows in a run, and when; ``filled`` is the most of its diameter that is under water at its upper end."""

    run: str
    flow_cfs: float
    at_min: float
    filled: float


class PlayedReport(Struct, frozen=True):
    """The storm as it was played. ``before`` is null where no shots say how the ground lies."""

    storm_min: float
    rain_in: float
    ends_min: float
    before: SideRow | None
    after: SideRow
    structures: tuple[HighestRow, ...]
    runs: tuple[GreatestRow, ...]


def played_report(job: Job, levels: dict[str, StructureLevels], storm: Storm) -> PlayedReport:
    """Return the played storm of a job as ``check --json`` prints it."""
    after, out = storm.after, came_out_of(storm.after)
    return PlayedReport(
        storm_min=played_min(job.rain),
        rain_in=float(fall_of(job.rain).fallen_in[-1]),
        ends_min=float(after.minute[-1]),
        before=_side(storm.before) if storm.before is not None else None,
        after=_side(after),
        structures=tuple(
            HighestRow(
                name,
                *_most(after, after.level_ft[:, n]),
                levels[name].rim_ft if name in levels else None,
                out.get(name, 0.0),
            )
            for n, name in enumerate(after.structures)
        ),
        runs=tuple(
            GreatestRow(name, *_most(after, after.flow_cfs[:, n]), float(after.filled[:, n].max()))
            for n, name in enumerate(after.runs)
        ),
    )


def _most(played: Played, values: Floats) -> tuple[float, float]:
    """Return the greatest value and the time of the first moment that has it."""
    at = int(values.argmax())
    return float(values[at]), float(played.minute[at])


def _side(played: Played) -> SideRow:
    s, account = standing_of(played), played.sum
    return SideRow(
        standing=StandingRow(s.minute, s.area_ft2, s.depth_ft, s.gallons, s.stood_min, s.left_gallons, s.still),
        account=AccountRow(
            comes_ft3=account.comes,
            held_ft3=account.held,
            back_ft3=account.back,
            piped_ft3=account.piped,
            off_ft3=account.off,
            soaked_ft3=account.soaked,
            stands_ft3=account.stands,
            inside_ft3=account.inside,
            miss=account.miss,
        ),
    )
