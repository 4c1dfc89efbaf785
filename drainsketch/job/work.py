"""When and in which order the work is done. Days are the contractor's; the law of the state has the last word on the ticket's."""

from typing import Annotated, Literal

from msgspec import Meta

from drainsketch.job.frozen import Frozen
from drainsketch.job.kinds import Date, Feet, Word

Order = Literal["outfall first", "basins first"]
Weekday = Literal["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
Days = Annotated[int, Meta(ge=0, le=365)]


class WorkPlan(Frozen, frozen=True):
    """The locate ticket, the first day of work and how much may lie open.

    ``ticket_wait_days`` are full days between the request and the day digging may begin, ``ticket_good_days`` how long marks hold from the request;
    None is not said yet. ``wait_in_workdays`` counts the wait without weekends and ``days_off``. ``open_ft_day`` is the most trench
    opened in a day; None takes what can be closed the same day. ``lawn_spoil_days`` is how long spoil may lie on the lawn.
    """

    ticket_asked: Date = ""
    ticket_number: Word = ""
    ticket_wait_days: Days | None = None
    wait_in_workdays: bool = True
    ticket_good_days: Days | None = None
    start: Date = ""
    workdays: Annotated[tuple[Weekday, ...], Meta(min_length=1, max_length=7)] = ("Mon", "Tue", "Wed", "Thu", "Fri")
    days_off: Annotated[tuple[Date, ...], Meta(max_length=100)] = ()
    order: Order = "outfall first"
    open_ft_day: Feet | None = None
    lawn_spoil_days: Annotated[int, Meta(ge=0, le=60)] = 3
