"""What the Price pane shows: groups, lines, the figures behind a line, and the steps to the total."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Literal

from msgspec import Struct

from drainsketch.errors import EditError
from drainsketch.exports.price_text import said_quantity, said_steps
from drainsketch.files.price_cells import MAY_BE_EMPTY, RowReader, row_cells
from drainsketch.job.model import Job
from drainsketch.job.price_book import WORKER, PriceRow, Source, Which, items
from drainsketch.job.prices import Prices
from drainsketch.takeoff.price.lines import cells
from drainsketch.takeoff.price.money import dollars, plain_number
from drainsketch.takeoff.price.results import GROUPS, Price, PricedLine
from drainsketch.wording import Words

HEADS = ("Item", "Quantity", "Price", "Amount")
TERM_OF_STEP = {
    "overhead": "overhead_pct",
    "profit": "profit_pct",
    "tax": "tax_pct",
    "rounding": "round_to",
    "deposit": "deposit_pct",
}
STRONG = ("total", "sale")
Name = Literal["price", "per_hour"]


class Figure(Struct, frozen=True):
    """A price or a rate that can be typed: the row that it stands in, or the place of an added line."""

    which: Which
    name: Name
    value: Decimal | None
    source: Source
    said: str = ""  # where it comes from, as its source column says
    extra: int | None = None  # an added line, in place of a row

    @property
    def of_job(self) -> bool:
        """Whether it is of this job alone, and can be taken back."""
        return self.source == "this job" and self.extra is None

    @property
    def typed(self) -> str:
        """The figure as it is typed."""
        return "" if self.value is None else f"{self.value:f}"

    @property
    def shown(self) -> str:
        """The figure as it is read."""
        if self.value is None:
            return "?"
        return dollars(self.value) if self.name == "price" else f"{self.value:f} {items()[self.which[0]].unit}/h"


class Shown(Struct, frozen=True, kw_only=True):
    """One row of the table; ``key`` tells it from the others whatever its figures."""

    key: tuple[object, ...]
    cells: tuple[str, str, str, str]  # under HEADS
    kind: Literal["group", "line", "step", "told", "figure"]
    level: Literal["", "settle", "quiet"] = ""
    figure: Figure | None = None
    line: PricedLine | None = None
    term: str = ""
    strong: bool = False
    inner: tuple["Shown", ...] = ()


def shown_rows(job: Job, made: Price, here: Prices) -> tuple[Shown, ...]:
    """Return the rows of a price, lines by group and then the steps; ``here`` is what the job is priced with."""
    words = Words.of(job, "en")
    rows: list[Shown] = []
    for group in GROUPS:
        lines = made.of_group(group)
        if lines:
            rows.append(_heading(words.word(f"price.group.{group}")))
        rows += [_line(line, here, words) for line in lines]
    if made.lines:
        rows.append(_heading("From cost to price"))
        rows += _steps(made, here, words)
    return tuple(rows)


def _heading(text: str) -> Shown:
    return Shown(key=("group", text), cells=(text, "", "", ""), kind="group")


def _line(line: PricedLine, here: Prices, words: Words) -> Shown:
    own = _own_figure(line)
    each = dollars(line.unit_price) if line.unit_price is not None else "?"
    mark = "" if line.amount is None or line.group == "extras" or line.source == "yours" else f"\n{line.source}"
    told = [line.arithmetic]
    if line.amount is None:
        told = [_why_missing(line, words), *told]
    elif own is not None and own.said:
        told.append(f"Price from: {own.said}")
    return Shown(
        key=("line", line.item, line.params),
        cells=(
            words.priced(line.item, line.params),
            " ".join(said_quantity(line, words)),
            each + mark,
            dollars(line.amount) if line.amount is not None else words.word("price.none"),
        ),
        kind="line",
        level="settle" if line.amount is None else "",
        figure=own,
        line=line,
        inner=(
            *_told(told, line.item, line.params, missing=line.amount is None),
            *(() if own is not None else _figures(line, here, words)),
        ),
    )


def _own_figure(line: PricedLine) -> Figure | None:
    """Return the one price that makes a line; None for a line with several figures behind it, or none."""
    if line.group == "extras":
        at = dict(line.params)["at"]
        return Figure(("", "", "", ""), "price", line.unit_price, "this job", extra=int(at))
    if line.which is None or line.group == "labor":
        return None
    row = line.rows[0] if line.rows else None
    which = row.which if row is not None and row.whose == "this job" else line.which
    return Figure(
        which,
        "price",
        line.unit_price,
        row.whose if row is not None else "yours",
        row.source if row is not None else "",
    )


def _figures(line: PricedLine, here: Prices, words: Words) -> Iterator[Shown]:
    """Yield the figures behind a line of labor: what an hour costs, and what is done in it."""
    if line.which is None:
        return
    rows = list(line.rows)
    wanted = {row.which for row in rows}
    if line.group == "labor" and line.item != "minimum_labor" and WORKER not in wanted:
        hour = here.terms.worker_hour
        source: Source = "example" if "worker_hour" in here.example_terms else "yours"
        yield _figure(
            Figure(WORKER, "price", hour, source, "the terms" if hour is not None else ""),
            "Labor rate, an hour of one worker",
        )
    for row in rows:
        yield _of_row(row)
    if line.why in ("no_rate", "too_deep") and line.which not in wanted:
        said = f"{words.priced(line.item, line.params)}: done in an hour"
        yield _figure(Figure(line.which, "per_hour", None, "yours"), said)


def _of_row(row: PriceRow) -> Shown:
    name: Name = "per_hour" if items()[row.item].kind == "rate" else "price"
    value = row.per_hour if name == "per_hour" else row.price
    return _figure(Figure(row.which, name, value, row.whose, row.source), row.name or cells(*row.which))


def _figure(figure: Figure, said: str) -> Shown:
    source = "" if figure.value is None else figure.source if figure.source != "yours" else figure.said[:24]
    return Shown(
        key=("figure", figure.which, figure.name),
        cells=(said, "", "\n".join(part for part in (figure.shown, source) if part), ""),
        kind="figure",
        level="settle" if figure.value is None else "",
        figure=figure,
    )


def _told(said: list[str], *key: object, missing: bool = False) -> tuple[Shown, ...]:
    text = "\n".join(part for part in said if part)
    return (
        (Shown(key=("told", *key), cells=(text, "", "", ""), kind="told", level="settle" if missing else "quiet"),)
        if text
        else ()
    )


def _why_missing(line: PricedLine, words: Words) -> str:
    """Return why a line has no price, and what to do about it."""
    why = words.word(f"findings.word.why.{line.why}")
    return f"No price, since {why}. " + DO[line.why]


DO = {
    "no_row": "Type one into Price: it holds for this job.",
    "no_figure": "Type one into Price: it holds for this job.",
    "no_extra": "Type one into Price; what costs nothing is 0.00.",
    "no_rate": "Type below what is done in an hour.",
    "too_deep": "Type below what is done in an hour there.",
    "no_wage": "Type below what an hour of a worker costs.",
    "no_depth": "Take levels and connect it to an outfall, so that it gets a grade.",
}


def _steps(made: Price, here: Prices, words: Words) -> Iterator[Shown]:
    for step, said in said_steps(made, here.terms, words):
        figures = tuple(_of_row(row) for row in made.rows) if step.key == "minimum" else ()
        yield Shown(
            key=("step", step.key),
            cells=(said, "", "", dollars(step.amount)),
            kind="step",
            term=TERM_OF_STEP.get(step.key, ""),
            strong=step.key in STRONG,
            inner=(*_told([step.arithmetic], step.key), *figures),
        )
    crew = words.word("price.crew", hours=plain_number(made.crew_hours), days=plain_number(made.crew_days))
    yield Shown(key=("step", "crew"), cells=(crew, "", "", ""), kind="step", term="crew")


def read_figure(figure: Figure, text: str) -> Decimal:
    """Return the figure that was typed, in dollars or in units per hour.

    Raises
    ------
    EditError : it cannot be read, or is out of all bounds; says how it is written
    """
    item = figure.which[0] or "haul_load"  # an added line is priced like any other
    row = PriceRow(item=item, unit=items()[item].unit, group=items()[item].group)
    reader = RowReader({**row_cells(row), figure.name: text.strip().removesuffix("/h").strip()})
    read = reader.read()
    wrong = next((said for column, said in reader.faults if column == figure.name), "")
    value = getattr(read, figure.name) if read is not None else None
    if wrong or value is None:
        # empty means something else here: it takes the figure of this job back
        raise EditError(wrong.replace(MAY_BE_EMPTY, "") or "empty; write a number like 12.50")
    return Decimal(value)
