"""Pits of dry wells: what is dug for them, their stone, and what covers it."""

from msgspec import Struct

from drainsketch.network.pits import Pit, pits_of
from drainsketch.takeoff.works import Works


class PitHole(Struct, frozen=True):
    """The hole of a dry well: stone up to the lowest invert, topsoil under the turf, and what was dug between the two."""

    structure_id: str
    pit: Pit
    depth_ft: float
    stone_ft: float  # thickness of each
    cap_ft: float

    @property
    def dug_ft3(self) -> float:
        """Return the volume dug, ft3."""
        return self.pit.area_ft2 * self.depth_ft

    @property
    def stone_ft3(self) -> float:
        """Return the room for stone, its voids included, ft3."""
        return self.pit.area_ft2 * self.stone_ft

    @property
    def cap_ft3(self) -> float:
        """Return the topsoil over it, ft3."""
        return self.pit.area_ft2 * self.cap_ft

    @property
    def back_ft(self) -> float:
        """Return how thick the earth is that goes back over the stone, ft."""
        return self.depth_ft - self.stone_ft - self.cap_ft

    @property
    def back_ft3(self) -> float:
        """Return the earth that goes back over the stone, ft3."""
        return self.pit.area_ft2 * self.back_ft

    def sum_of(self, thick_ft: float) -> str:
        """Return the volume of a layer of the pit in figures."""
        ft3 = self.pit.area_ft2 * thick_ft
        sides = f"{self.pit.length_ft:.2f} ft x {self.pit.width_ft:.2f} ft"
        return f"{self.structure_id} {sides} x {thick_ft:.3f} ft = {ft3:.1f} ft3"


def pit_holes(works: Works) -> tuple[PitHole, ...]:
    """Return the holes of the dry wells whose size and levels are known, in job order.

    Upright sides, level top at the ground of the well; stone from the floor to the lowest invert, no higher than the ground.
    Source: solid geometry; stone to the invert is what the storm is reckoned with. Check: tests/takeoff/test_pits.py
    """
    cap_ft = works.job.criteria.topsoil_cap_in / 12
    found = []
    for name, pit in pits_of(works.job, works.levels).items():
        if pit.dug_ft:
            stone_ft = min(pit.depth_ft, pit.dug_ft)
            found.append(PitHole(name, pit, pit.dug_ft, stone_ft, min(cap_ft, pit.dug_ft - stone_ft)))
    return tuple(found)
