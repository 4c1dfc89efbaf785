"""Sums: from the lines to the total, step by step, in whole cents."""

from collections.abc import Sequence
from decimal import Decimal

from drainsketch.job.price_book import Lookup
from drainsketch.job.price_terms import PriceTerms
from drainsketch.takeoff.price.money import (
    cents,
    dollars,
    margin_of_markup,
    markup_of_margin,
    percent,
    rounded,
    share,
)
from drainsketch.takeoff.price.results import PricedLine, Step

NOTHING = Decimal("0.00")


def total_of(lines: Sequence[PricedLine], *, taxed_only: bool = False) -> Decimal:
    """Return the sum of the amounts there are."""
    amounts = (line.amount for line in lines if line.amount is not None and (line.taxed or not taxed_only))
    return sum(amounts, NOTHING)


def both_profits(terms: PriceTerms) -> tuple[Decimal, Decimal]:
    """Return the profit that was asked for as mark-up on cost and as margin on the price, %."""
    asked = terms.profit_pct
    if terms.profit_as == "margin":
        return markup_of_margin(asked), asked
    return asked, margin_of_markup(asked)


def steps(lines: Sequence[PricedLine], book: Lookup, terms: PriceTerms) -> tuple[Step, ...]:
    """Return every step from the sum of the lines to the total; those of ``results.ADDED`` and the lines add up to it.

    Parameters
    ----------
    lines : at least one with an amount, or all steps are nothing
    """
    direct = total_of(lines)
    overhead = share(direct, terms.overhead_pct)
    cost = direct + overhead
    profit = _profit(cost, terms)
    found = [
        Step("direct", direct, f"{sum(line.amount is not None for line in lines)} lines together = {dollars(direct)}"),
        Step("overhead", overhead, f"{dollars(direct)} x {percent(terms.overhead_pct)} = {dollars(overhead)}"),
        Step("cost", cost, f"{dollars(direct)} + {dollars(overhead)} = {dollars(cost)}"),
        profit,
    ]
    sale = cost + profit.amount
    least = _least("minimum_job", sale, book) if direct else None
    terms_of_sale = f"{dollars(cost)} + {dollars(profit.amount)}"
    if least is not None:
        found.append(least)
        sale += least.amount
        terms_of_sale += f" + {dollars(least.amount)}"
    found.append(Step("sale", sale, f"{terms_of_sale} = {dollars(sale)}"))
    tax = _tax(lines, direct, sale, terms)
    exact = sale + tax.amount
    total = rounded(exact, terms.round_to, up=terms.round_way == "up")
    way = "up to" if terms.round_way == "up" else "to the nearest"
    said = f"{dollars(exact)} rounded {way} whole {dollars(terms.round_to)} is {dollars(total)}"
    return (
        *found,
        tax,
        Step("rounding", total - exact, f"{said}; less {dollars(exact)} = {dollars(total - exact)}"),
        Step("total", total, f"{dollars(sale)} + {dollars(tax.amount)} + {dollars(total - exact)} = {dollars(total)}"),
    )


def _profit(cost: Decimal, terms: PriceTerms) -> Step:
    markup, margin = both_profits(terms)
    if terms.profit_as == "margin":
        price = cents(cost / (1 - margin / 100))
        said = f"{dollars(cost)} / (1 - {percent(margin)}) = {dollars(price)}, less {dollars(cost)} = {dollars(price - cost)}"
        return Step("profit", price - cost, said)
    profit = share(cost, markup)
    return Step("profit", profit, f"{dollars(cost)} x {percent(markup)} = {dollars(profit)}")


def _least(item: str, amount: Decimal, book: Lookup) -> Step | None:
    """Return what makes an amount up to the least that is charged; None where it is that much, or there is no least."""
    row = book.row((item, "", "", ""))
    if row is None or row.price is None or row.price <= amount:
        return None
    more = row.price - amount
    return Step("minimum", more, f"least {dollars(row.price)} - {dollars(amount)} = {dollars(more)}")


def least_labor(lines: Sequence[PricedLine], book: Lookup) -> list[PricedLine]:
    """Return a line that makes labor up to the least that is charged for it; none where there is no labor, or enough."""
    labor = [line for line in lines if line.group == "labor" and line.amount]
    step = _least("minimum_labor", total_of(labor), book) if labor else None
    row = book.row(("minimum_labor", "", "", ""))
    if step is None or row is None:
        return []
    return [
        PricedLine(
            item="minimum_labor",
            group="labor",
            quantity=Decimal(1),
            unit="job",
            unit_price=step.amount,
            amount=step.amount,
            taxed=any(line.taxed for line in labor),
            source=row.whose,
            arithmetic=step.arithmetic,
            rows=(row,),
            which=row.which,
        )
    ]


def _tax(lines: Sequence[PricedLine], direct: Decimal, sale: Decimal, terms: PriceTerms) -> Step:
    """Return the tax on the taxed lines alone: on what they cost, or on their share of what the customer pays.

    A line's share of the sale is its share of direct cost: overhead, profit and the least price lie on all lines alike.
    """
    base = total_of(lines, taxed_only=True)
    said = f"taxed lines {dollars(base)}"
    if terms.tax_on == "sale" and direct:
        at_sale = cents(base * sale / direct)
        said += f" x {dollars(sale)} / {dollars(direct)} = {dollars(at_sale)}"
        base = at_sale
    tax = share(base, terms.tax_pct)
    return Step("tax", tax, f"{said}; x {percent(terms.tax_pct)} = {dollars(tax)}")
