"""What ``price --json`` prints: documented, versioned, stable.

Money, quantities and shares are decimal numbers as text ('412.50'), so that nothing rounds them on the way. Quantities are in the units
of the price book whatever the units of the job. Version 1: keys may be added, never removed or bent, within a version.
"""

from decimal import Decimal
from typing import Any, Literal

import msgspec
from msgspec import Struct
from msgspec.structs import asdict

from drainsketch.exports.price_text import said_unknown
from drainsketch.job.edits.pricing import which_of
from drainsketch.job.prices import Prices
from drainsketch.planning import said_machine
from drainsketch.review import Review
from drainsketch.takeoff.price.lines import cells
from drainsketch.takeoff.price.results import Price, PricedLine
from drainsketch.wording import Words

VERSION = 1


class PriceRow(Struct, frozen=True):
    """One line; ``amount`` is null where there is no price, and ``why`` says why."""

    item: str
    key: str
    group: str
    quantity: Decimal | None
    unit: str
    unit_price: Decimal | None
    amount: Decimal | None
    taxed: bool
    source: Literal["example", "yours"]
    of_this_job: bool  # a figure behind it is of this job alone
    arithmetic: str
    owners: tuple[str, ...]
    why: str


class StepRow(Struct, frozen=True):
    """A step from the lines to the total. Overhead, profit, minimum, tax and rounding are added to the lines; the others are sums."""

    key: str
    text: str
    amount: Decimal
    arithmetic: str


class CoveredRow(Struct, frozen=True):
    """A takeoff line that another line pays for; ``by`` is that line's key."""

    item: str
    key: str
    by: str


class MissingRow(Struct, frozen=True):
    """A finding: a line without a price."""

    level: Literal["stop", "settle", "note"]
    kind: str
    text: str
    remedy: str
    ids: tuple[str, ...]


class PriceReport(Struct, frozen=True):
    """The price of a job. While it is not complete the total is that of the priced lines alone and there is no deposit.

    ``books`` and ``terms`` are files, the last one first asked, over the invented ones that ship; ``book`` is the last of the books, ''
    for none. ``example_terms`` are the terms that nobody set, and ``job_terms`` those of this job alone.
    """

    format: Literal["drainsketch-price"]
    version: int
    currency: Literal["$"]
    complete: bool
    has_examples: bool  # an invented price, rate or term is in it: no bid
    book: str
    books: tuple[str, ...]
    terms: tuple[str, ...]
    example_terms: tuple[str, ...]
    job_terms: tuple[str, ...]
    unused_changes: tuple[str, ...]  # rows of the book that this job changes, but no line goes by
    stops: int  # findings at stop level: with any, the depths behind this price do not stand yet
    lines: tuple[PriceRow, ...]
    covered: tuple[CoveredRow, ...]
    steps: tuple[StepRow, ...]
    total: Decimal
    deposit: Decimal | None
    balance: Decimal | None
    valid_days: int
    markup_pct: Decimal
    margin_pct: Decimal
    sold_margin_pct: Decimal | None
    sold_markup_pct: Decimal | None
    crew_hours: Decimal
    crew_days: Decimal
    told: tuple[str, ...]  # of the reading of the price book
    findings: tuple[MissingRow, ...]
    notes: tuple[str, ...]  # of the days that the machine digs, and of what is not counted


def price_report(review: Review, made: Price, prices: Prices, lang: str = "en") -> PriceReport:
    """Return a price as ``price --json`` prints it; ``prices`` are those in use for all jobs."""
    words, pricing = Words.of(review.job, lang), review.job.pricing
    return PriceReport(
        format="drainsketch-price",
        version=VERSION,
        currency="$",
        complete=made.complete,
        has_examples=made.has_examples,
        book=prices.book_files[-1] if prices.book_files else "",
        books=prices.book_files,
        terms=prices.terms_files,
        example_terms=made.example_terms,
        job_terms=tuple(name for name, value in asdict(pricing.terms).items() if value is not None),
        unused_changes=tuple(cells(*which_of(c)) for c in made.unused),
        stops=sum(f.level == "stop" for f in review.findings),
        lines=tuple(_row(line, words) for line in made.lines),
        covered=tuple(CoveredRow(words.priced(c.item, c.params), c.item, c.by) for c in made.covered),
        steps=tuple(StepRow(s.key, words.word(f"price.step.{s.key}"), s.amount, s.arithmetic) for s in made.steps),
        total=made.total,
        deposit=made.deposit,
        balance=made.balance,
        valid_days=made.valid_days,
        markup_pct=round(made.markup_pct, 4),
        margin_pct=round(made.margin_pct, 4),
        sold_margin_pct=None if made.sold_margin_pct is None else round(made.sold_margin_pct, 4),
        sold_markup_pct=None if made.sold_markup_pct is None else round(made.sold_markup_pct, 4),
        crew_hours=made.crew_hours,
        crew_days=made.crew_days,
        told=tuple(said_unknown(row, words) for row in prices.unknown),
        findings=tuple(
            MissingRow(f.level, f.kind, words.sentence(f), words.remedy(f), f.place.ids) for f in made.findings
        ),
        notes=(*said_machine(review, prices, made, words), words.word("price.left_out")),
    )


def price_json(report: PriceReport) -> str:
    """Return a report as indented JSON."""
    return msgspec.json.format(msgspec.json.encode(report), indent=2).decode()


def price_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``price --json`` prints."""
    return msgspec.json.schema(PriceReport)


def _row(line: PricedLine, words: Words) -> PriceRow:
    return PriceRow(
        item=words.priced(line.item, line.params),
        key=line.item,
        group=line.group,
        quantity=line.quantity,
        unit=line.unit,
        unit_price=line.unit_price,
        amount=line.amount,
        taxed=line.taxed,
        source="example" if line.source == "example" else "yours",
        of_this_job=line.source == "this job" or any(row.whose == "this job" for row in line.rows),
        arithmetic=line.arithmetic,
        owners=line.owners,
        why=line.why,
    )
