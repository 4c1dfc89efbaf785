"""Money: cents and what shares make of them. All in Decimal; no float is ever a price."""

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")


def cents(amount: Decimal) -> Decimal:
    """Return dollars to the cent, half a cent up.

    Examples
    --------
    >>> cents(Decimal("2.675"))
    Decimal('2.68')
    """
    return amount.quantize(CENT, ROUND_HALF_UP)


def counted(quantity: float) -> Decimal:
    """Return a quantity as it is printed and priced, to the hundredth: who multiplies what stands on paper gets the amount."""
    return cents(Decimal(quantity))


def share(amount: Decimal, percent: Decimal) -> Decimal:
    """Return a share of an amount, to the cent."""
    return cents(amount * percent / 100)


def markup_of_margin(margin_pct: Decimal) -> Decimal:
    """Return the mark-up on cost that is a margin on the price, both in percent.

    mark-up = margin / (1 - margin)

    Parameters
    ----------
    margin_pct : profit as a share of the price, % (0 or more, under 100)

    Returns
    -------
    profit as a share of the cost, %

    Raises
    ------
    ValueError : the margin is not from 0 to under 100

    Notes
    -----
    Limits: none. Source: definition of both. Check: tests/outside/test_markup_margin.py

    Examples
    --------
    >>> markup_of_margin(Decimal(20))
    Decimal('25')
    """
    if not 0 <= margin_pct < 100:
        raise ValueError(f"margin_pct must be 0 or more and under 100, not {margin_pct}")
    return margin_pct * 100 / (100 - margin_pct)


def margin_of_markup(markup_pct: Decimal) -> Decimal:
    """Return the margin on the price that is a mark-up on cost, both in percent.

    margin = mark-up / (1 + mark-up)

    Parameters
    ----------
    markup_pct : profit as a share of the cost, % (0 or more)

    Returns
    -------
    profit as a share of the price, %

    Raises
    ------
    ValueError : the mark-up is negative

    Notes
    -----
    Limits: none. Source: definition of both. Check: tests/outside/test_markup_margin.py

    Examples
    --------
    >>> margin_of_markup(Decimal(25))
    Decimal('20')
    """
    if not markup_pct >= 0:
        raise ValueError(f"markup_pct must be 0 or more, not {markup_pct}")
    return markup_pct * 100 / (100 + markup_pct)


def rounded(amount: Decimal, step: Decimal, *, up: bool) -> Decimal:
    """Return an amount as the nearest whole number of steps, or the next one up.

    Parameters
    ----------
    amount, step : dollars; the step in whole cents, above 0

    Examples
    --------
    >>> rounded(Decimal("1232.01"), Decimal(5), up=False), rounded(Decimal("1232.01"), Decimal(5), up=True)
    (Decimal('1230.00'), Decimal('1235.00'))
    """
    return cents((amount / step).quantize(Decimal(1), ROUND_CEILING if up else ROUND_HALF_UP) * step)


def dollars(amount: Decimal) -> str:
    """Return an amount as it is printed, whatever the language.

    Examples
    --------
    >>> dollars(Decimal("1234.5")), dollars(Decimal("-3"))
    ('$1,234.50', '-$3.00')
    """
    return f"{'-' if amount < 0 else ''}${abs(amount):,.2f}"


def percent(share_pct: Decimal) -> str:
    """Return a percentage to at most three decimals, without idle zeros.

    Examples
    --------
    >>> percent(Decimal("8.875")), percent(Decimal("20.0")), percent(Decimal("33.33333"))
    ('8.875%', '20%', '33.333%')
    """
    return _without_idle_zeros(f"{share_pct.quantize(Decimal('0.001'), ROUND_HALF_UP):,f}") + "%"


def plain_number(number: Decimal) -> str:
    """Return a quantity to at most two decimals, without idle zeros.

    Examples
    --------
    >>> plain_number(Decimal("33.333")), plain_number(Decimal("20.0")), plain_number(Decimal("1200"))
    ('33.33', '20', '1,200')
    """
    return _without_idle_zeros(f"{cents(number):,.2f}")


def _without_idle_zeros(text: str) -> str:
    return text.rstrip("0").rstrip(".")
