"""Quantities in words: lengths, levels, flows and the rest in a job's units, their units in a language."""

from collections.abc import Iterable
from typing import Any, Protocol

from drainsketch.job import units as u
from drainsketch.job.kinds import Units
from drainsketch.job.rates import format_flow, format_rain, format_velocity, format_volume
from drainsketch.resources import table

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
