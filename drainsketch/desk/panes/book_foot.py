"""What stands at the foot of the level book: how its lines close, and the page check."""

from drainsketch.desk.panes.book_rows import reading_text, signed
from drainsketch.ground.chain import chain
from drainsketch.ground.closures import page_check
from drainsketch.ground.results import BookLevels, Closure
from drainsketch.job.model import LevelBook, Units
from drainsketch.job.plain import plain
from drainsketch.job.sights import sights_of

MOST_CLOSURES = 2
NAME_LENGTH = 16
EMPTY = "Give a benchmark its level, then type the sights as they are taken: point, BS on the benchmark, IS or FS."
OPEN = "Not closed yet: end on a benchmark to see how well the levels run."


def foot(book: LevelBook, levels: BookLevels, units: Units) -> tuple[str, bool]:
    """Return the words at the foot of the book, and whether all its lines close within the allowance."""
    if not any(True for _ in sights_of(book)):
        return EMPTY, True
    off = [c for c in levels.closures if abs(c.misclosure_ft) > c.allowance_ft + 1e-6]
    told = (off or list(levels.closures))[-MOST_CLOSURES:]
    said = [_closure(c, units) for c in told]
    if len(levels.closures) > len(told):
        said.append(f"{len(levels.closures)} closures, {len(off)} beyond the allowance.")
    return "  ".join([*(said or [OPEN]), *_page(book, units)]), not off


def _closure(c: Closure, units: Units) -> str:
    start, end = plain(c.start, NAME_LENGTH), plain(c.end, NAME_LENGTH)
    way = f"Loop on {start}" if c.start == c.end else f"{start} to {end}"
    within = abs(c.misclosure_ft) <= c.allowance_ft + 1e-6
    against = "within" if within else "beyond"
    return f"{way}: misclosure {signed(c.misclosure_ft, units)}, {against} the allowance of {reading_text(c.allowance_ft, units)}."


def _page(book: LevelBook, units: Units) -> list[str]:
    check = page_check(book, chain(book))
    if check is None:
        return []
    agrees = abs(check.difference_ft - check.rise_ft) < 1e-6
    back, fore = reading_text(check.backsights_ft, units), reading_text(check.foresights_ft, units)
    same = "as the levels say" if agrees else f"but the levels say {signed(check.rise_ft, units)}"
    return [f"Page check: BS {back} less FS {fore} is {signed(check.difference_ft, units)}, {same}."]
