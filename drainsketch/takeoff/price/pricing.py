"""The price of a job: the takeoff against a price book, labor, machines and hauling, and what the terms put on top."""

from collections.abc import Sequence
from decimal import Decimal

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.price_book import Lookup, PriceBook
from drainsketch.job.price_terms import PriceTerms
from drainsketch.job.pricing import Extra
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.price.digging import digging, machine_hours
from drainsketch.takeoff.price.extras import extra_lines
from drainsketch.takeoff.price.hauling import delivery, disposal, machine_days
from drainsketch.takeoff.price.labor import tasks, wages
from drainsketch.takeoff.price.lines import source_of
from drainsketch.takeoff.price.materials import materials
from drainsketch.takeoff.price.money import cents, dollars, percent, share
from drainsketch.takeoff.price.results import GROUPS, Price, PricedLine, Step
from drainsketch.takeoff.price.sums import both_profits, least_labor, steps
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import Stack
from drainsketch.takeoff.works import Works


def price(
    works: Works,
    stood: dict[str, Stack],
    takeoff: Sequence[TakeoffLine],
    book: PriceBook,
    terms: PriceTerms,
    example_terms: Sequence[str] = (),
    extras: Sequence[Extra] = (),
) -> Price:
    """Return the price of a job, with every line, every step and how each figure was made.

    Parameters
    ----------
    works, stood, takeoff : of the review of the job
    book : the price book in use
    terms : the terms in use
    example_terms : the names of terms that are the shipped example's
    extras : lines that no takeoff counts

    A line without a price has no amount and is a finding; it counts for nothing in the total, which is not complete then.
    Source: arithmetic. Check: tests/takeoff/price/test_pricing.py
    """
    look = Lookup(book)
    hour = wages(look, terms, example_terms)
    bought, covered = materials(takeoff, look)
    dug = digging(works, earth(works, stood), look, terms, hour)
    labor = [*dug, *tasks(takeoff, look, hour)]
    crew_hours = _crew_hours(labor, terms)
    lines = [
        *(*bought, *labor, *least_labor(labor, look), *machine_days(machine_hours(dug), look, terms)),
        *(*disposal(takeoff, look, terms), *delivery(takeoff, look, terms), *extra_lines(extras)),
    ]
    lines.sort(key=lambda line: GROUPS.index(line.group) if line.group in GROUPS else len(GROUPS))
    made = steps(lines, look, terms)
    complete = all(line.amount is not None for line in lines)
    total = made[-1].amount
    deposit = share(total, terms.deposit_pct) if complete else None
    if deposit is not None:
        made += (
            Step("deposit", deposit, f"{dollars(total)} x {percent(terms.deposit_pct)} = {dollars(deposit)}"),
            Step("balance", total - deposit, f"{dollars(total)} - {dollars(deposit)} = {dollars(total - deposit)}"),
        )
    markup, margin = both_profits(terms)
    amounts = {step.key: step.amount for step in made}
    row = look.row(("minimum_job", "", "", ""))
    least = row if "minimum" in amounts else None
    sold, cost = amounts["sale"] + amounts["rounding"], amounts["cost"]
    return Price(
        lines=tuple(lines),
        steps=made,
        covered=tuple(covered),
        findings=tuple(_missing(line) for line in lines if line.amount is None),
        total=total,
        deposit=deposit,
        balance=total - deposit if deposit is not None else None,
        valid_days=terms.valid_days,
        markup_pct=markup,
        margin_pct=margin,
        sold_margin_pct=(sold - cost) / sold * 100 if sold else None,
        sold_markup_pct=(sold - cost) / cost * 100 if cost else None,
        crew_hours=crew_hours,
        crew_days=cents(crew_hours / terms.day_hours),
        has_example_prices=source_of(least) == "example"
        or any(x.amount is not None and x.source == "example" for x in lines),
        example_terms=tuple(example_terms),
        rows=() if least is None else (least,),
        least_job=row.price if row is not None else None,
    )


def _crew_hours(labor: Sequence[PricedLine], terms: PriceTerms) -> Decimal:
    """Return how long the crew is on the job: beside the machine all of it, and with its hands each worker a share."""
    hours = {unit: Decimal(0) for unit in ("hour", "crew_hour")}
    for line in labor:
        hours[line.unit] += line.quantity or 0
    return cents(hours["crew_hour"] + hours["hour"] / terms.crew)


def _missing(line: PricedLine) -> Finding:
    """Return the finding that a line has no price; wording names the line by its item and params."""
    kind = {"no_depth": "no_depth_to_price", "no_extra": "no_extra_price"}.get(line.why, "no_price")
    params = {**dict(line.params), "priced": line.item, "why": line.why, "asks": line.asks}
    return finding(kind, Place(ids=line.owners), params=params)
