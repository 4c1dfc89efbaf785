"""What is offered where a job does not drain, and how much room is left where it does: the values, not the sums."""

from msgspec import Struct

from drainsketch.findings import Param
from drainsketch.job.model import Job


class Spare(Struct, frozen=True):
    """How far the level at a structure may move before something breaks, ft; None is without limit.

    At an inlet ``lower_ft`` is how much lower its grate and ground may be; at an outfall ``higher_ft`` how much higher it may be.
    """

    structure: str
    lower_ft: float | None = None
    higher_ft: float | None = None


class Reason(Struct, frozen=True):
    """Why a structure cannot drain: the constraints in conflict, in order from the inlet to the outfall.

    ``links`` are (kind, params): kinds are worded in ``resources/translations/*/remedies.toml``.
    """

    structure: str
    short_ft: float
    links: tuple[tuple[str, tuple[tuple[str, Param], ...]], ...]


class Cure(Struct, frozen=True):
    """One way out, solved before it is offered. ``job`` is the job with the cure applied.

    ``kind`` and ``params`` are worded in ``resources/translations/*/remedies.toml``.
    """

    kind: str
    params: tuple[tuple[str, Param], ...]
    job: Job
