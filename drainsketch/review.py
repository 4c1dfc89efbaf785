"""The review: one pure function that runs the stages over a job and collects what they find."""

from msgspec import Struct

from drainsketch.findings import Finding
from drainsketch.job.model import Job
from drainsketch.network.results import Crossing, Grade, InletPath, Network, Profile, StructureLevels
from drainsketch.takeoff.results import TakeoffLine


class Review(Struct, frozen=True):
    """Everything the program can say about a job. ``levels`` and ``grades`` are empty until there are shots."""

    job: Job
    network: Network
    profiles: dict[str, Profile]  # by run id
    grades: dict[str, Grade]  # by run id
    levels: dict[str, StructureLevels]  # by structure id
    paths: tuple[InletPath, ...]
    crossings: tuple[Crossing, ...]
    takeoff: tuple[TakeoffLine, ...]
    findings: tuple[Finding, ...]


def analyse(job: Job, before: Review | None = None) -> Review:
    """Return the review of a job; ``before`` is an earlier review whose stages are kept where their inputs are the same."""
    network = Network(runs=(), inlets=(), outfalls=(), adrift=())
    return Review(job=job, network=network, profiles={}, grades={}, levels={}, paths=(), crossings=(), takeoff=(), findings=())
