"""A price as text for a terminal: lines by group, the steps to the total, and what has to be said beside them."""

from collections.abc import Iterator

from drainsketch.files.folders import own_folder
from drainsketch.job.edits.pricing import which_of
from drainsketch.job.price_terms import PriceTerms
from drainsketch.job.prices import Prices, UnknownItem
from drainsketch.planning import said_machine
from drainsketch.pricing import priced_here
from drainsketch.review import Review
from drainsketch.takeoff.price.lines import cells
from drainsketch.takeoff.price.money import dollars, percent, plain_number
from drainsketch.takeoff.price.results import GROUPS, Price, PricedLine, Step
from drainsketch.takeoff.price.sums import total_of
from drainsketch.wording import Words

AMOUNT, RULE = 12, 44
COUNTED = ("each", "day", "load", "job", "roll", "bag", "bale")
SUMS = ("direct", "cost", "sale", "total", "balance")  # a line is drawn above them


def price_lines(review: Review, made: Price, prices: Prices, lang: str = "en") -> Iterator[str]:
    """Yield a price line by line; ``prices`` are those in use for all jobs. Invented figures are marked with an asterisk, and told at the top."""
    words, here = Words.of(review.job, lang), priced_here(prices, review.job.pricing)
    if not made.lines:
        yield words.word("price.nothing")
        return
    yield from invented(made, words)
    if made.has_examples:
        yield words.word("price.your_own", folder=own_folder())
        yield ""
    for group in GROUPS:
        some = [line for line in made.lines if line.group == group]
        if some:
            yield words.word(f"price.group.{group}")
            yield from (_line(line, words) for line in some)
            yield f"{dollars(total_of(some)):>{RULE}}"
    yield ""
    yield from _steps(made, here.terms, words)
    yield ""
    yield from _remarks(review, made, prices, words)


def invented(made: Price, words: Words) -> Iterator[str]:
    """Yield what has to be said while invented prices, rates or terms are in a price."""
    if made.has_example_prices:
        yield words.word("price.example")
    if made.example_terms:
        yield words.word(
            "price.example_terms", terms=", ".join(words.word(f"price.term.{name}") for name in made.example_terms)
        )


def _line(line: PricedLine, words: Words) -> str:
    quantity, unit = said_quantity(line, words)
    each = dollars(line.unit_price) if line.unit_price is not None else "?"
    amount = dollars(line.amount) if line.amount is not None else words.word("price.none")
    mark = {"example": "*", "this job": "'", "yours": " "}[line.source if line.amount is not None else "yours"]
    return f"{quantity:>9} {unit[:10]:10} {each:>9} {amount:>{AMOUNT}}{mark} {words.priced(line.item, line.params)}"


def said_unknown(row: UnknownItem, words: Words) -> str:
    """Return the sentence on a row of a price book whose item no takeoff counts."""
    hint = words.word("price.unknown.near", near=row.near) if row.near else words.word("price.unknown.none")
    said = words.word("price.unknown.text", line=row.line, item=row.item, hint=hint)
    return f"{row.file}: {said}" if row.file else said


def said_quantity(line: PricedLine, words: Words) -> tuple[str, str]:
    """Return a count whole and a measure to the hundredth, '?' where nobody knows it, and the word of its unit."""
    if line.quantity is None:
        number = "?"
    elif line.group == "extras":  # as it was typed
        number = f"{line.quantity.normalize():f}"
    else:
        number = plain_number(line.quantity) if line.unit in COUNTED else f"{line.quantity:,.2f}"
    return number, said_unit(line, words)


def said_unit(line: PricedLine, words: Words) -> str:
    """Return the unit of a line; an added line has the words of the user."""
    if line.group == "extras":
        return line.unit
    return words.word(f"price.unit.{line.unit}", count=1 if line.quantity == 1 else 2)


def _steps(made: Price, terms: PriceTerms, words: Words) -> Iterator[str]:
    for step, said in said_steps(made, terms, words):
        if step.key in SUMS:
            yield f"{'-' * AMOUNT:>{RULE}}"
        yield f"{dollars(step.amount):>{RULE}}  {said}"


def said_steps(made: Price, terms: PriceTerms, words: Words) -> Iterator[tuple[Step, str]]:
    """Yield each step with what it is called, its share beside it; a profit is said as margin and as mark-up."""
    said = {
        "overhead": percent(terms.overhead_pct),
        "profit": words.word("price.both", margin=percent(made.margin_pct), markup=percent(made.markup_pct)),
        "tax": words.word(f"price.tax_on.{terms.tax_on}", tax=percent(terms.tax_pct)),
        "deposit": percent(terms.deposit_pct),
    }
    for step in made.steps:
        key = "so_far" if step.key == "total" and not made.complete else step.key
        more = f", {said[step.key]}" if step.key in said else ""
        yield step, words.word(f"price.step.{key}") + more


def _remarks(review: Review, made: Price, prices: Prices, words: Words) -> Iterator[str]:
    if made.sold_margin_pct is not None and made.sold_markup_pct is not None:
        sold = {"margin": percent(made.sold_margin_pct), "markup": percent(made.sold_markup_pct)}
        yield words.word("price.sold", **sold)
    yield words.word("price.crew", hours=plain_number(made.crew_hours), days=plain_number(made.crew_days))
    yield from said_machine(review, prices, made, words)
    if made.complete:
        yield words.word("price.valid", days=made.valid_days)
    else:
        yield words.word("price.not_complete", lines=sum(line.amount is None for line in made.lines))
    level = words.word("findings.level.settle")
    for f in made.findings:
        yield f"{level}  {words.sentence(f)}"
        yield f"{'':{len(level)}}    {words.remedy(f)}"
    if any(line.source == "this job" for line in made.lines):
        yield words.word("price.this_job")
    yield from (said_unknown(row, words) for row in prices.unknown)
    if made.unused:
        named = "; ".join(cells(*which_of(c)) for c in made.unused)
        yield words.word("price.unused", rows=named)
    yield words.word("price.left_out")
    if words.units == "m":
        yield words.word("price.in_feet")
    stops = sum(f.level == "stop" for f in review.findings)
    if stops:
        yield words.word("findings.stops_stand", stops=stops)
