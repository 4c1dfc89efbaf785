"""Priced lines: a quantity against a row of the price book, with its sum in figures."""

from decimal import Decimal

from drainsketch.job.price_book import Lookup, PriceRow, Source, items
from drainsketch.takeoff.price.money import cents, counted, dollars, plain_number
from drainsketch.takeoff.price.results import Params, PricedLine


def priced(
    item: str,
    quantity: Decimal,
    row: PriceRow | None,
    params: Params = (),
    owners: tuple[str, ...] = (),
    how: str = "",
) -> PricedLine:
    """Return a quantity at the price of a row; without an amount where there is no row, or no price in it.

    Parameters
    ----------
    how : how the quantity came about, in figures; said before the price
    """
    known = items()[item]
    which = known.which(item, dict(params))
    unit_price = row.price if row is not None else None
    amount = None if unit_price is None else cents(quantity * unit_price)
    terms = [how] if how else []
    if unit_price is not None and amount is not None:
        terms.append(f"{plain_number(quantity)} {known.unit} x {dollars(unit_price)} = {dollars(amount)}")
    return PricedLine(
        item=item,
        params=params,
        group=known.group,
        quantity=quantity,
        unit=known.unit,
        unit_price=unit_price,
        amount=amount,
        taxed=row is not None and row.taxed,
        source=row.whose if row is not None else "yours",
        arithmetic="; ".join(terms),
        owners=owners,
        why="" if amount is not None else "no_figure" if row is not None else "no_row",
        asks="" if amount is not None else cells(*which),
        rows=() if row is None else (row,),
        which=which,
    )


def priced_by_name(item: str, quantity: float, book: Lookup, owners: tuple[str, ...], how: str) -> PricedLine:
    """Return a quantity at the price of an item that comes in one kind only."""
    return priced(item, counted(quantity), book.row((item, "", "", "")), owners=owners, how=how)


def cells(item: str, of: str, size_in: str, second: str) -> str:
    """Return what the cells of a row of the price book hold, as a remedy names them.

    Examples
    --------
    >>> cells("bend", "sdr35", "4", "22.5"), cells("tip_ton", "", "", "")
    ('bend, of sdr35, size_in 4, second 22.5', 'tip_ton')
    """
    named = {"of": of, "size_in": size_in, "second": second}
    return ", ".join([item, *(f"{column} {value}" for column, value in named.items() if value)])


def source_of(*rows: PriceRow | None) -> Source:
    """Return 'example' where any of the rows behind a line is invented, or else 'this job' where one is of the job alone."""
    return worst_source(*(row.whose for row in rows if row is not None))


def worst_source(*sources: Source) -> Source:
    """Return what is to be told of figures from several sources: that one is invented goes before that one is of the job alone."""
    return "example" if "example" in sources else "this job" if "this job" in sources else "yours"
