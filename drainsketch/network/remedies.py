"""What is offered where a job does not drain, and how much room is left where it does: the values, not the sums."""

from msgspec import Struct

from drainsketch.findings import Param
from drainsketch.job.model import Job

Link = tuple[str, tuple[tuple[str, Param], ...]]


class Spare(Struct, frozen=True):
    """How far the level at a structure may move before something breaks, ft; None is without limit.

    At an inlet ``lower_ft`` is how much lower its grate and ground may be; at an outfall ``higher_ft`` how much higher it may be.
    ``keeps`` says what breaks then: 'limits', cover and clearance among them, or 'fall' alone where those are broken already.
    """

    structure: str
    lower_ft: float | None = None
    higher_ft: float | None = None
    keeps: str = "limits"


class Reason(Struct, frozen=True):
    """Why a structure cannot drain, or a run breaks a limit: the constraints in conflict, from the inlet to the outfall.

    ``links`` are (kind, params): kinds are worded in ``resources/translations/*/remedies.toml``. ``structure`` is the id of the
    structure, or of the run where ``of_run``; ``short_ft`` is 0 where what is missing is no length.
    """

    structure: str
    short_ft: float
    links: tuple[Link, ...]
    of_run: bool = False


class Cure(Struct, frozen=True):
    """One way out, solved before it is offered. ``job`` is the job with the cure applied.

    ``kind`` and ``params`` are worded in ``resources/translations/*/remedies.toml``. ``structures`` are the structures and
    runs whose trouble ends with it; ``keeps`` is 'limits' where every limit holds on their way down, 'fall' where they drain
    with less cover or clearance than is asked.
    """

    kind: str
    params: tuple[tuple[str, Param], ...]
    job: Job
    structures: tuple[str, ...] = ()
    keeps: str = "limits"
