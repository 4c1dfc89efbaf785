"""What the takeoff returns."""

from msgspec import Struct


class TakeoffLine(Struct, frozen=True):
    """One line of the takeoff.

    ``item`` is a key of the words table with ``params`` filled in; ``group`` is one of GROUPS. ``rule`` is the key of the
    sentence that says how it is counted; ``arithmetic`` is the sum with this job's numbers, so that 'why 6.4 tons?' has
    an answer. ``owners`` are the runs and structures it was counted from.

    ``quantity`` is what is used. What is bought is ``buy`` of ``buy_unit`` (None: not bought), each of which is ``buy_each`` of
    ``unit``: 43 rolls of 10 ft2, or 5.5 tons of one ton. ``waste_pct`` of the quantity is bought beyond it, before rounding up.
    """

    item: str
    group: str
    quantity: float
    unit: str
    rule: str
    arithmetic: str
    params: tuple[tuple[str, str | float], ...] = ()
    owners: tuple[str, ...] = ()
    waste_pct: float = 0.0
    buy: float | None = None
    buy_unit: str = ""
    buy_each: float = 1.0

    @property
    def bought(self) -> float:
        """Return how much is bought, in ``unit``; the quantity where nobody says how it is bought."""
        return self.quantity if self.buy is None else self.buy * self.buy_each


GROUPS = ("pipe", "fittings", "structures", "trench", "stone and soil", "surface")
