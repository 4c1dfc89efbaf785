"""The takeoff, in progress."""

from drainsketch.job.model import Job
from drainsketch.network.results import Grade, Network, Profile, StructureLevels
from drainsketch.takeoff.results import TakeoffLine


def takeoff(
    job: Job, network: Network, profiles: dict[str, Profile], grades: dict[str, Grade], levels: dict[str, StructureLevels]
) -> tuple[TakeoffLine, ...]:
    """Return the lines of the takeoff."""
    return ()
