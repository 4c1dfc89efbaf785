"""What is sold beside pipe and basins, in plain words: paving cut and put back, stone, soil spread and hauled off, lawn, small parts.

Every kind of line that a price charges is said by a sentence here, in ``owner.work_in_words``, or by a row of the quantities.
Check: tests/sheets/test_owner_goods.py
"""

from collections.abc import Iterator

from drainsketch.review import Review
from drainsketch.takeoff.cover import KINDS
from drainsketch.takeoff.earth import Earth, earth
from drainsketch.takeoff.heaps import LEAST_YD3, Spread, spread_over
from drainsketch.takeoff.price.results import Price
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.spoil import spoil_yd3
from drainsketch.takeoff.surfaces import Patch, opened
from drainsketch.wording import Words

# the small parts that are named together, each with the lines it stands for
PARTS = {
    "fittings": ("bend", "wye", "tee", "reducer", "adapter", "coupling", "end_cap", "basin_opening"),
    "grates": ("grate", "riser", "grate_screw"),
    "uprights": ("cleanout_upright", "downspout_upright"),
    "sock": ("sock",),
    "fabric": ("fabric",),
    "tape": ("marking_tape",),
}
LAWNS = {"sod": "sod", "lawn_seed": "seed", "lawn_left": "left"}
CHARGES = {
    "machine": ("trencher_day", "mini_excavator_day"),
    "deliveries": ("delivery_stone", "delivery_topsoil", "delivery_goods"),
    "dump": ("haul_load", "tip_ton"),
}


class Goods:
    """What is counted on a job, as its owner is told of it."""

    def __init__(self, review: Review, words: Words) -> None:
        self._words, self._job = words, review.job
        self._lines = {line.item: line for line in reversed(review.takeoff)}
        self._dug: Earth = earth(review.works, review.stacks)
        self._patches: tuple[Patch, ...] = ()
        if any(run.cut_ft2 > 0 for run in self._dug.runs) or self._dug.holes or self._dug.pits:
            self._patches = opened(review.works, self._dug).patches

    def built(self) -> Iterator[str]:
        """Yield what goes in with the pipe: stone, topsoil, small parts."""
        for key, item in (("stone_solid", "stone_solid"), ("stone_basin", "stone_basin"), ("apron", "splash_stone")):
            if line := self._lines.get(item):
                yield self._word(key, amount=self._amount(line))
        if line := self._lines.get("topsoil_cap"):
            yield self._word("topsoil", cap=float(dict(line.params)["cap_in"]))
        parts = tuple(
            self._word(f"part.{name}") for name, some in PARTS.items() if any(item in self._lines for item in some)
        )
        if parts:
            yield self._word("parts", parts=parts)

    def put_back(self) -> Iterator[str]:
        """Yield what is cut open and put back, and where the soil goes."""
        for paved in KINDS:
            if some := [p for p in self._patches if p.paved == paved]:
                yield self._word(f"paving.{paved}", **self._opened(some), **self._thick())
        if self._lines.get("base_course"):
            yield self._word("base", thick=self._job.sections.base_in)
        for fill in self._fills():
            yield self._word(
                "fill",
                fill=self._words.name(fill.heap.id),
                # as much of it as there is soil for
                area=max(1, round(fill.area_ft2 * fill.spread_yd3 / fill.room_yd3)),
                deep=fill.heap.fill_in,
                volume=fill.spread_yd3,
            )
        if line := self._lines.get("spoil_loose"):
            yield self._word("hauled", volume=line.quantity)
        for item, key in LAWNS.items():
            if line := self._lines.get(item):
                yield self._word(f"lawn.{key}", area=round(line.quantity))
        if line := self._lines.get("mulch"):
            yield self._word("mulch", thick=float(dict(line.params)["thick_in"]))

    def seen(self) -> Iterator[str]:
        """Yield what of it is to be seen afterward."""
        if some := [p for p in self._patches if p.paved != "unknown"]:
            yield self._word("seen.patches", **self._opened(some))
        if some := [p for p in self._patches if p.paved == "unknown"]:
            yield self._word("seen.unknown", **self._opened(some))
        for fill in self._fills():
            yield self._word("seen.fill", fill=self._words.name(fill.heap.id), deep=fill.heap.fill_in)
        if "splash_stone" in self._lines:
            yield self._word("seen.apron")
        if "mulch" in self._lines:
            yield self._word("seen.mulch")

    def unknown(self) -> str:
        """Return which paving is in the price though nobody said what it is made of; '' where none is."""
        some = [p for p in self._patches if p.paved == "unknown"]
        return self._word("unknown", **self._opened(some)) if some else ""

    def _fills(self) -> list[Spread]:
        if not self._job.heaps:
            return []
        spread = spread_over(self._job, self._dug, spoil_yd3(self._dug))
        return [s for s in spread if s.spread_yd3 > LEAST_YD3]

    def _opened(self, patches: list[Patch]) -> dict[str, object]:
        things = tuple(dict.fromkeys(self._words.name(p.obstacle) for p in patches))
        return {"things": things, "area": max(1, round(sum(p.area_ft2 for p in patches)))}

    def _thick(self) -> dict[str, float]:
        s = self._job.sections
        return {"asphalt": s.asphalt_in, "concrete": s.concrete_in, "gravel": s.gravel_in}

    def _amount(self, line: TakeoffLine) -> str:
        return " ".join(self._words.counted(line))

    def _word(self, key: str, **params: object) -> str:
        return self._words.word(f"offer.goods.{key}", **params)


def charged_words(price: Price | None, words: Words) -> Iterator[str]:
    """Yield what else the price charges: the machine, deliveries, the dump, and the lines that were added by hand."""
    if price is None:
        return
    items = {line.item for line in price.lines}
    names = [words.word(f"offer.goods.charge.{key}") for key, some in CHARGES.items() if not items.isdisjoint(some)]
    names += [words.priced(line.item, line.params) for line in price.of_group("extras")]
    if names:
        yield words.word("offer.goods.charged", names=tuple(names))
