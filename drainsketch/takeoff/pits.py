"""Pits of dry wells: what is dug for them, their stone, and what covers it."""

import shapely
from msgspec import Struct

from drainsketch.network.pits import Pit, pits_of
from drainsketch.takeoff.cover import Paving, layers_of
from drainsketch.takeoff.works import Works

LEAST_FT2 = 1e-6


class Lid(Struct, frozen=True):
    """What lies over a part of a pit's stone: its area, and how thick each is, ft."""

    area_ft2: float
    cap_ft: float = 0.0  # topsoil, where it is not paved
    base_ft: float = 0.0  # base course, under paving
    not_earth_ft: float = 0.0  # of paving that is broken out or lifted before anyone digs
    fill_ft: float = 0.0  # from the stone up to the topsoil or the base course
    in_stone: bool = False  # that is stone too


class PitHole(Struct, frozen=True):
    """The hole of a dry well: stone up to the lowest invert, and over it topsoil or paving with what fills the room between."""

    structure_id: str
    pit: Pit
    depth_ft: float
    stone_ft: float  # floor to lowest invert
    lids: tuple[Lid, ...]

    @property
    def paving_ft3(self) -> float:
        """Return the paving over it that is broken out or lifted, ft3."""
        return sum(lid.area_ft2 * lid.not_earth_ft for lid in self.lids)

    @property
    def dug_ft3(self) -> float:
        """Return the volume of earth dug, ft3: paving that is broken out or lifted is not in it."""
        return self.pit.area_ft2 * self.depth_ft - self.paving_ft3

    @property
    def more_stone_ft3(self) -> float:
        """Return the stone over the lowest invert, up to the base course under paving, ft3."""
        return sum(lid.area_ft2 * lid.fill_ft for lid in self.lids if lid.in_stone)

    @property
    def stone_ft3(self) -> float:
        """Return the room for stone, its voids included, ft3."""
        return self.pit.area_ft2 * self.stone_ft + self.more_stone_ft3

    @property
    def cap_ft3(self) -> float:
        """Return the topsoil over it, ft3."""
        return sum(lid.area_ft2 * lid.cap_ft for lid in self.lids)

    @property
    def base_ft3(self) -> float:
        """Return the base course over it, ft3."""
        return sum(lid.area_ft2 * lid.base_ft for lid in self.lids)

    @property
    def back_ft3(self) -> float:
        """Return the earth that goes back over the stone, ft3."""
        return sum(lid.area_ft2 * lid.fill_ft for lid in self.lids if not lid.in_stone)

    @property
    def gone_ft3(self) -> float:
        """Return the earth that comes out and does not go back, ft3."""
        return max(0.0, self.dug_ft3 - self.back_ft3)

    @property
    def wrap_ft2(self) -> float:
        """Return the outside of its stone: floor, top and four sides at their mean height, ft2."""
        area_ft2 = self.pit.area_ft2
        return 2 * area_ft2 + 2 * (self.pit.length_ft + self.pit.width_ft) * self.stone_ft3 / area_ft2

    def sum_of(self, thick_ft: float) -> str:
        """Return the volume of a layer as large as the pit in figures."""
        ft3 = self.pit.area_ft2 * thick_ft
        sides = f"{self.pit.length_ft:.2f} ft x {self.pit.width_ft:.2f} ft"
        return f"{self.structure_id} {sides} x {thick_ft:.3f} ft = {ft3:.1f} ft3"

    def over(self, thick: str, *, in_stone: bool | None = None) -> str:
        """Return the volume of what lies over its stone in figures; ``thick`` is a field of ``Lid``."""
        some = [lid for lid in self.lids if getattr(lid, thick) > 0 and in_stone in (None, lid.in_stone)]
        if len(self.lids) == 1:
            return self.sum_of(getattr(some[0], thick))
        parts = [f"{lid.area_ft2:.2f} ft2 x {getattr(lid, thick):.3f} ft" for lid in some]
        ft3 = sum(lid.area_ft2 * getattr(lid, thick) for lid in some)
        return f"{self.structure_id} {' + '.join(parts)} = {ft3:.1f} ft3"


def pit_holes(works: Works, paving: Paving) -> tuple[PitHole, ...]:
    """Return the holes of the dry wells whose size and levels are known, in job order.

    Upright sides, level top at the ground of the well; stone from the floor to the lowest invert, no higher than the ground. Under
    paving its base course lies over that in place of topsoil, and between the two what fills a trench under paving.
    Source: solid geometry; stone to the invert is what the storm is reckoned with. Check: tests/takeoff/test_pits.py
    """
    found = []
    for name, pit in pits_of(works.job, works.levels).items():
        if pit.dug_ft and pit.area_ft2 > 0:
            stone_ft = min(pit.depth_ft, pit.dug_ft)
            lids = _lids(works, pit, paving, pit.dug_ft - stone_ft)
            found.append(PitHole(name, pit, pit.dug_ft, stone_ft, lids))
    return tuple(found)


def _lids(works: Works, pit: Pit, paving: Paving, room_ft: float) -> tuple[Lid, ...]:
    """Return what lies over a pit's stone, part by part of its plan; ``room_ft`` is from the stone to the ground."""
    sections = works.job.sections
    bare_ft2, found = pit.area_ft2, []
    if paving.whole is not None:
        areas = shapely.area(shapely.intersection(paving.shapes, pit.shape)).tolist()
        for under_ft2, kind in zip(areas, paving.kinds, strict=True):
            area_ft2 = min(under_ft2, bare_ft2)
            if area_ft2 <= LEAST_FT2:
                continue
            bare_ft2 -= area_ft2
            layers = layers_of(kind, sections)
            over_ft, surfacing_ft = min(room_ft, layers.over_fill_ft), min(room_ft, layers.surfacing_ft)
            found.append(
                Lid(
                    area_ft2=area_ft2,
                    base_ft=over_ft - surfacing_ft,
                    not_earth_ft=min(room_ft, layers.not_earth_ft),
                    fill_ft=room_ft - over_ft,
                    in_stone=sections.paved_fill == "stone",
                )
            )
    if bare_ft2 > LEAST_FT2:
        cap_ft = min(works.job.criteria.topsoil_cap_in / 12, room_ft)
        found.append(Lid(area_ft2=bare_ft2, cap_ft=cap_ft, fill_ft=room_ft - cap_ft))
    return tuple(found)
