"""Quantities in words: lengths, levels, flows and the rest in a job's units, their units in a language."""

from collections.abc import Iterable
from typing import Any, Protocol

from drainsketch.job import units as u
from drainsketch.job.kinds import Units
from drainsketch.job.rates import format_flow, format_rain, format_velocity, format_volume, quantity_text
from drainsketch.resources import table

# takeoff units: exact by the international foot (0.3048 m) and pound (0.45359237 kg), NIST SP 811
METRIC = {
    "ft": (0.3048, "m"),
    "ft2": (0.3048**2, "m2"),
    "yd3": (0.9144**3, "m3"),
    "ton": (2000 * 0.45359237 / 1000, "t"),
}

Params = Iterable[tuple[str, Any]]


class CountedLine(Protocol):
    """What is needed of a takeoff line to word it."""

    @property
    def item(self) -> str: ...
    @property
    def rule(self) -> str: ...
    @property
    def params(self) -> Params: ...
    @property
    def quantity(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def arithmetic(self) -> str: ...
    @property
    def waste_pct(self) -> float: ...
    @property
    def buy(self) -> float | None: ...
    @property
    def buy_unit(self) -> str: ...
    @property
    def buy_each(self) -> float: ...


class Measures:
    """How quantities are written.

    Parameters
    ----------
    lang : a folder of ``resources/translations``
    units : how lengths are written
    """

    def __init__(self, lang: str = "en", units: Units = "ft-in") -> None:
        self.lang = lang
        self.units: Units = units

    def length(self, feet: float) -> str:
        """Return a length in the job's units."""
        return self.measure(u.format_length(feet, self.units))

    def level(self, feet: float) -> str:
        """Return a level in the job's units."""
        return u.format_level(feet, self.units)

    def feet(self, feet: int) -> str:
        """Return a length that is always so many whole feet: ``5 ft``, in a metric job ``1.52 m``."""
        return self.length(feet) if self.units == "m" else self.measure(f"{feet} ft")

    def inches(self, inches: float) -> str:
        """Return a pipe or basin size."""
        return self.measure(u.format_inches(inches, self.units))

    def slope(self, slope: float) -> str:
        """Return a slope."""
        return u.format_slope(slope)

    def area(self, square_feet: float) -> str:
        """Return an area."""
        return self.measure(u.format_area(square_feet, self.units))

    def flow(self, cfs: float) -> str:
        """Return a flow of water."""
        return format_flow(cfs, self.units)

    def rain(self, in_h: float) -> str:
        """Return an intensity of rain."""
        return self.measure(format_rain(in_h, self.units))

    def velocity(self, ft_s: float) -> str:
        """Return how fast water runs."""
        return self.measure(format_velocity(ft_s, self.units))

    def volume(self, gallons: float) -> str:
        """Return a volume of water."""
        return format_volume(gallons, self.units)

    def measure(self, text: str) -> str:
        """Return a figure with its unit in words of this language: ``4 in`` is ``4 pulg`` in Spanish."""
        said: dict[str, str] = table(f"translations/{self.lang}/sheets.toml")["measure"]
        for unit, word in said.items():
            if text.endswith(f" {unit}"):
                return text.removesuffix(unit) + word
        return text


class Counts(Measures):
    """Lines of the takeoff in words: how much of them there is, and what is bought."""

    def word(self, key: str, /, **params: Any) -> str:
        """Return a word of a table by its dotted key."""
        raise NotImplementedError

    def measured(self, line: CountedLine) -> tuple[float, str]:
        """Return the quantity of a takeoff line and the word of its unit, metric in a metric job."""
        return self._in_unit(line.quantity, line.unit)

    def _in_unit(self, amount: float, unit: str) -> tuple[float, str]:
        factor, unit = METRIC.get(unit, (1.0, unit)) if self.units == "m" else (1.0, unit)
        return amount * factor, self.unit(unit, amount * factor)

    def unit(self, unit: str, amount: float) -> str:
        """Return the word of a unit of the takeoff after an amount of it: ``1 load``, ``2 loads``."""
        return self.word(f"takeoff.unit.{unit}", count=1 if quantity_text(amount) == "1" else 2)

    def to_buy(self, line: CountedLine) -> tuple[float, str] | None:
        """Return how much of a takeoff line is bought, and the word of what it is handed over in; None where it is not bought."""
        if line.buy is None:
            return None
        if line.buy_unit in table(f"translations/{self.lang}/takeoff.toml")["pack"]:
            count = 1 if line.buy == 1 else 2
            return line.buy, self.word(f"takeoff.pack.{line.buy_unit}", count=count)
        return self._in_unit(line.buy, line.buy_unit)

    def bought(self, line: CountedLine, *, with_each: bool = False) -> str:
        """Return what is bought of a takeoff line as it is written; '' where it is not bought, or just what is used.

        Parameters
        ----------
        with_each : say how much is in each roll or bag
        """
        if (bought := self.to_buy(line)) is None or (line.buy == line.quantity and line.buy_each == 1):
            return ""
        said = f"{quantity_text(bought[0])} {bought[1]}"
        if not with_each or line.buy_each == 1:
            return said
        each, unit = self._in_unit(line.buy_each, line.unit)
        return self.word("takeoff.purchase.packed", bought=said, each=quantity_text(each), unit=unit)

    def earth(self, yd3: float) -> str:
        """Return a volume of earth: ``4.2 cu yd``, in a metric job ``3.2 m³``."""
        factor, unit = METRIC["yd3"] if self.units == "m" else (1.0, "yd3")
        return f"{yd3 * factor:.1f} {self.unit(unit, yd3 * factor)}"

    def counted(self, line: CountedLine) -> tuple[str, str]:
        """Return the quantity of a takeoff line as it is written, and the word of its unit."""
        quantity, unit = self.measured(line)
        return quantity_text(quantity), unit

    def arithmetic(self, line: CountedLine) -> str:
        """Return how a takeoff line was worked out, which is always in feet, as a metric job is told, and what that makes to buy."""
        said = line.arithmetic
        if self.units == "m" and said:
            said = self.word("takeoff.worked", arithmetic=said)
        bought = self.bought(line, with_each=True)
        if not bought:
            return said
        need, unit = self._in_unit(line.quantity * (1 + line.waste_pct / 100), line.unit)
        goes_back = line.buy is not None and line.buy * line.buy_each < line.quantity
        shared = any(b.get("together") and line.item in b["items"] for b in table("catalogue/buying.toml").values())
        key = "spoiled" if goes_back else "together" if shared else "with_waste" if line.waste_pct else "buy"
        params = {"pct": f"{line.waste_pct:g}", "need": f"{quantity_text(need)} {unit}", "bought": bought}
        return f"{said}; {self.word(f'takeoff.purchase.{key}', **params)}"
