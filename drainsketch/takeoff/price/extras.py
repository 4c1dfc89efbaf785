"""Lines of the price that no takeoff counts: what the contractor added to this job by hand."""

from collections.abc import Sequence
from decimal import Decimal

from drainsketch.job.pricing import Extra
from drainsketch.takeoff.price.money import cents, dollars
from drainsketch.takeoff.price.results import PricedLine


def extra_lines(extras: Sequence[Extra]) -> list[PricedLine]:
    """Return the added lines, each with the number it stands at; without an amount where nobody gave a price."""
    return [_line(number, extra) for number, extra in enumerate(extras)]


def _line(number: int, extra: Extra) -> PricedLine:
    quantity = Decimal(str(extra.quantity))
    unit_price = None if extra.price is None else cents(Decimal(str(extra.price)))
    amount = None if unit_price is None else cents(quantity * unit_price)
    said = ""
    if unit_price is not None and amount is not None:
        unit = f" {extra.unit}" if extra.unit else ""
        said = f"{_plain(quantity)}{unit} x {dollars(unit_price)} = {dollars(amount)}"
    return PricedLine(
        item="extra",
        params=(("said", extra.name), ("at", number)),
        group="extras",
        quantity=quantity,
        unit=extra.unit,
        unit_price=unit_price,
        amount=amount,
        taxed=extra.taxed,
        source="this job",
        arithmetic=said,
        why="" if amount is not None else "no_extra",
    )


def _plain(number: Decimal) -> str:
    """Return a quantity as it was typed, without idle zeros: none is rounded to nothing."""
    return f"{number.normalize():f}"
