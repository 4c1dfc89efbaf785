"""What the work plan returns: days with tasks and stretches of trench, the ticket, and what has to be said beside them."""

from datetime import date
from decimal import Decimal
from typing import Literal

from msgspec import Struct

from drainsketch.findings import Level
from drainsketch.job.kinds import Point

TaskKind = Literal[
    "mark_out",
    "test_holes",
    "strip",
    "expose",
    "dig",
    "line",
    "bed",
    "set",
    "lay",
    "check",
    "stone",
    "fabric",
    "backfill",
    "topsoil",
    "spread",
    "turf",
    "other",
    "flush",
    "record",
]
DIGS: tuple[TaskKind, ...] = ("test_holes", "strip", "expose", "dig")  # the ground is broken
NoteParams = tuple[tuple[str, str | int | float | date | tuple[str, ...]], ...]


class Note(Struct, frozen=True):
    """Something to know or to settle before the work begins; ``ids`` are the things it is about."""

    kind: str
    level: Level
    params: NoteParams = ()
    ids: tuple[str, ...] = ()


class Task(Struct, frozen=True):
    """One task on one day, of the whole job, a structure or a stretch of a run.

    ``hours`` are crew hours to the hundredth; None where the price counts none for it. ``stretch`` is the number of the stretch
    of trench, 0 where it belongs to none. ``crossings`` are the flags on the plan. ``ids`` are the things it is done to.
    """

    kind: TaskKind
    owner: str = ""  # a run or a structure; '' is the whole job
    ids: tuple[str, ...] = ()
    hours: Decimal | None = None
    stretch: int = 0
    from_ft: float | None = None
    to_ft: float | None = None
    crossings: tuple[int, ...] = ()
    goes_on: bool = False  # on the next day

    @property
    def is_hold(self) -> bool:
        """Whether nothing may go on before it has passed."""
        return self.kind == "check"


class Stretch(Struct, frozen=True):
    """A stretch of trench that is opened and closed together, from its low end up, stations in ft.

    ``low`` is its downstream end in plan, where water gathers; ``low_bottom_ft`` the level of the trench bottom there.
    """

    number: int
    run_id: str
    from_ft: float
    to_ft: float
    deepest_ft: float
    low: Point
    low_ground_ft: float
    low_bottom_ft: float
    opened: int  # number of the day
    closed: int

    @property
    def length_ft(self) -> float:
        """Return the feet of trench in plan."""
        return self.to_ft - self.from_ft


class WorkDay(Struct, frozen=True):
    """A day of work. ``open_ft`` is all trench that lies open at any time of it; ``overnight`` what is left open at its end.

    ``spoil_yd3`` is what is dug and does not go back, in the bank, and ``hauled_yd3`` what of it is hauled off, in the loads that leave
    the yard at the end of a day; the rest is spread on fill areas.
    """

    number: int
    day: date | None
    tasks: tuple[Task, ...]
    hours: Decimal
    open_ft: float
    spoil_yd3: float
    hauled_yd3: float
    loads: int
    spoil_gone: int  # the day on which the last of it leaves
    overnight: tuple[str, ...]

    @property
    def digs(self) -> bool:
        """Whether ground is broken that day."""
        return any(task.kind in DIGS for task in self.tasks)

    @property
    def holds(self) -> tuple[Task, ...]:
        """Return its hold points."""
        return tuple(task for task in self.tasks if task.is_hold)


class Ticket(Struct, frozen=True):
    """The locate ticket by what the job says of it; None where that does not tell. State law has the last word."""

    number: str
    asked: date | None
    ready: date | None  # the first day on which digging may begin
    good_through: date | None  # the last day on which the marks hold
    ask_again_by: date | None = None  # so that marks hold for all of the work


class Pace(Struct, frozen=True):
    """How fast a run is dug, laid, checked and closed: crew hours a foot, and the feet of it that a day holds by hours and by the limit."""

    run_id: str
    hours_ft: float
    ft_day: float


class PlannedWork(Struct, frozen=True):
    """The work of a job, day by day.

    ``hours`` are those of the price, all together; what of them could not be planned, since no depth is known there, stands in
    ``unplanned`` by run or structure. ``tolerance_in`` is what laid pipe may be off at a hold point.
    """

    days: tuple[WorkDay, ...]
    stretches: tuple[Stretch, ...]
    paces: tuple[Pace, ...]  # of the runs that take hours
    ticket: Ticket
    notes: tuple[Note, ...]
    crew: int
    day_hours: Decimal
    hours: Decimal
    unplanned: tuple[tuple[str, Decimal], ...]
    tolerance_in: float

    @property
    def wettest(self) -> WorkDay | None:
        """Return the day on which most trench lies open; None where nothing is dug."""
        return max((d for d in self.days if d.open_ft > 0), key=lambda d: d.open_ft, default=None)

    def of_day(self, number: int) -> tuple[Stretch, ...]:
        """Return the stretches that lie open on a day."""
        return tuple(s for s in self.stretches if s.opened <= number <= s.closed)
