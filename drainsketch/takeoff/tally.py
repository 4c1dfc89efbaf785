"""Adding up: contributions of the same article become one line that remembers its sum."""

from drainsketch.takeoff.results import TakeoffLine

Param = str | float


class Tally:
    """Collects contributions to the lines of one group, unit and rule."""

    def __init__(self, group: str, unit: str, rule: str, between: str = " + ") -> None:
        self._group, self._unit, self._rule, self._between = group, unit, rule, between
        self._rows: dict[tuple[str, tuple[tuple[str, Param], ...]], list[tuple[float, str, str]]] = {}

    def add(self, item: str, quantity: float, term: str, owner: str, **params: Param) -> None:
        """Add a quantity; ``term`` is its part of the arithmetic, ``owner`` the run or structure it comes from."""
        self._rows.setdefault((item, tuple(params.items())), []).append((quantity, term, owner))

    def lines(self) -> list[TakeoffLine]:
        """Return one line for each article, in the order of item and params."""
        return [self._line(item, params, rows) for (item, params), rows in sorted(self._rows.items())]

    def _line(self, item: str, params: tuple[tuple[str, Param], ...], rows: list[tuple[float, str, str]]) -> TakeoffLine:
        quantity = sum(r[0] for r in rows)
        shown = f"{quantity:g}" if self._unit == "each" else f"{quantity:.2f} {self._unit}"
        terms = self._between.join(r[1] for r in rows)
        return TakeoffLine(
            item=item,
            group=self._group,
            quantity=float(quantity),
            unit=self._unit,
            rule=self._rule,
            arithmetic=f"{terms} = {shown}",
            params=params,
            owners=tuple(dict.fromkeys(r[2] for r in rows)),
        )
