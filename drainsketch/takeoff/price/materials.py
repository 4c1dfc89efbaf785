"""Materials: every takeoff line that is bought, at the price of the book."""

from collections.abc import Sequence

from drainsketch.job.price_book import Lookup, PriceRow, Which, items
from drainsketch.takeoff.price.lines import priced
from drainsketch.takeoff.price.money import counted
from drainsketch.takeoff.price.results import Covered, PricedLine
from drainsketch.takeoff.results import TakeoffLine

# lines that are not bought: what is dug is labor, what is hauled off is disposal
HELD_BY = {
    "trench_drain": "dig_run",
    "trench_solid": "dig_run",
    "basin_holes": "dig_holes",
    "dry_well_holes": "dig_dry_wells",
    "backfill_dry_well": "backfill",
    "spoil_left": "spread_spoil",
    "spoil_spread": "spread_spoil",
    "spoil_bank": "tip_ton",
    "spoil_loose": "haul_load",
    "spoil_loads": "haul_load",
    "spoil_room": "backfill",
}
STOCK = ("sticks", "coils")


def materials(takeoff: Sequence[TakeoffLine], book: Lookup) -> tuple[list[PricedLine], list[Covered]]:
    """Return the priced lines of what is bought, and the takeoff lines that another line of the price holds.

    Pipe is priced once: by the foot where the book has such a price, or else by the stick or coil that is bought.
    """
    lines, covered = [], []
    for line in takeoff:
        by = HELD_BY.get(line.item) or _pipe_held_by(line, book)
        if by:
            covered.append(Covered(line.item, line.params, by))
        else:
            row = book.row(_which(line))
            lines.append(priced(line.item, counted(line.quantity), row, line.params, line.owners))
    return lines, covered


def _which(line: TakeoffLine) -> Which:
    return items()[line.item].which(line.item, dict(line.params))


def _pipe_held_by(line: TakeoffLine, book: Lookup) -> str:
    """Return the item that pays for a line of pipe in its place; '' where it is priced itself."""
    shape, _, use = line.item.partition("_")
    if shape in STOCK and _by_the_foot(line, use, book) is not None:
        return f"pipe_{use}"
    if shape == "pipe" and _by_the_foot(line, use, book) is None:
        return f"stock_{use}"
    return ""


def _by_the_foot(line: TakeoffLine, use: str, book: Lookup) -> PriceRow | None:
    item = f"pipe_{use}"
    row = book.row(items()[item].which(item, dict(line.params)))
    return row if row is not None and row.price is not None else None
