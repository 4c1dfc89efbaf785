"""Adding up: contributions of the same article become one line that remembers its sum."""

from drainsketch.takeoff.results import TakeoffLine

Param = str | float


class Tally:
    """Collects contributions to the lines of one group, unit and rule."""

    def __init__(self, group: str, unit: str, rule: str) -> None:
        self._group, self._unit, self._rule = group, unit, rule
        self._write = "{:.0f}".format if unit == "each" else "{:.2f}".format
        self._rows: dict[tuple[str, tuple[tuple[str, Param], ...]], list[tuple[float, str, str]]] = {}

    def add(self, item: str, quantity: float, why: str, owner: str, **params: Param) -> None:
        """Add a quantity; ``why`` is said beside it, ``owner`` is the run or structure it comes from."""
        self._rows.setdefault((item, tuple(params.items())), []).append((quantity, why, owner))

    def lines(self) -> list[TakeoffLine]:
        """Return one line for each article, in the order of item and params."""
        return [self._line(item, params, rows) for (item, params), rows in sorted(self._rows.items())]

    def _line(
        self, item: str, params: tuple[tuple[str, Param], ...], rows: list[tuple[float, str, str]]
    ) -> TakeoffLine:
        quantity = float(sum([r[0] for r in rows]))
        terms = " + ".join([f"{self._write(q)} ({why})" for q, why, _ in rows])
        total = self._write(quantity) if self._unit == "each" else f"{self._write(quantity)} {self._unit}"
        return TakeoffLine(
            item=item,
            group=self._group,
            quantity=quantity,
            unit=self._unit,
            rule=self._rule,
            arithmetic=f"{terms} = {total}",
            params=params,
            owners=tuple(dict.fromkeys([r[2] for r in rows])),
        )
