"""All that a set of sheets is made from, in one value."""

from msgspec import Struct

from drainsketch.ground.results import GroundStudy
from drainsketch.job.firm import NO_ONE, Letterhead
from drainsketch.job.model import Job
from drainsketch.job.prices import Prices
from drainsketch.options import Variant, compared
from drainsketch.planning import work_plan_of
from drainsketch.pricing import price_of
from drainsketch.review import Review
from drainsketch.study import Study, play
from drainsketch.takeoff.price.results import Price
from drainsketch.takeoff.workplan.results import PlannedWork
from drainsketch.water.results import Water as Storm
from drainsketch.water.storm.results import Storm as Played


class Contents(Struct, frozen=True):
    """What the pages of a set tell of. What is None is not known, or not wanted: the pages that need it stay away.

    Parameters
    ----------
    job, review : the job and its review
    ground : its ground study; standing water is drawn from it
    contours : whether its contours are drawn too, on the crew's plan
    storm : its water review, at the peak of the storm
    played : its storm as it was played
    price : what it is offered for
    options : its options held against each other, where there are two or more
    letterhead : who makes the offer, and the logo
    work : its work plan
    """

    job: Job
    review: Review
    ground: GroundStudy | None = None
    contours: bool = False
    storm: Storm | None = None
    played: Played | None = None
    price: Price | None = None
    options: tuple[Variant, ...] = ()
    letterhead: Letterhead = NO_ONE
    work: PlannedWork | None = None


def contents_for(
    closer: Study,
    audience: str,
    prices: Prices | None,
    letterhead: Letterhead,
    *,
    contours: bool = False,
    with_price: bool = True,
) -> Contents:
    """Return all that the sheets for somebody are made from: what only another reader sees is not made.

    Parameters
    ----------
    closer : the study of the job
    audience : 'crew', 'owner', 'record' or 'all'
    prices, letterhead : what the contractor keeps for all jobs; the record goes by no prices, so that None does for it
    with_price : whether the owner reads prices
    """
    whole, for_owner = closer.whole, audience in ("owner", "all")
    job, asked = whole.job, prices if with_price else None
    return Contents(
        job,
        whole,
        ground=closer.ground,
        contours=contours,
        storm=closer.water,
        played=play(closer) if for_owner else None,
        price=price_of(whole, asked) if for_owner and asked is not None else None,
        options=compared(job, asked, played=True) if for_owner and job.aside else (),
        letterhead=letterhead,
        work=work_plan_of(whole, prices) if audience != "record" and prices is not None else None,
    )
