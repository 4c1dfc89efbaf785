"""What stands at the foot of the level book: how its lines close, and the page check."""

from drainsketch.desk.panes.book_rows import reading_text, signed
from drainsketch.ground.chain import chain
from drainsketch.ground.closures import page_check
from drainsketch.ground.results import Closure
from drainsketch.job.kinds import Units
from drainsketch.job.levelling import LevelBook
from drainsketch.job.plain import plain
from drainsketch.job.sights import sights_of
from drainsketch.review import Review
from drainsketch.wording import Words

SLIPS = ("reading_beyond_rod", "reading_below_zero", "setup_without_backsight", "setup_adrift", "benchmark_twice")
MOST_CLOSURES, MOST_SLIPS = 2, 2
NAME_LENGTH = 16
EMPTY = "Give a benchmark its level, then type the sights as they are taken: point, BS on the benchmark, IS or FS."
OPEN = "Not closed yet: end on a benchmark to see how well the levels run."


def foot(review: Review) -> tuple[str, bool]:
    """Return the words at the foot of the book, and whether it can be trusted: no slip, and lines within the allowance.

    A reading that cannot be, or a setup that hangs on nothing, goes before how the lines close.
    """
    book, levels, units = review.job.book, review.book, review.job.header.units
    if not any(True for _ in sights_of(book)):
        return EMPTY, True
    slips = [f for kind in SLIPS for f in review.findings if f.kind == kind]
    if slips:
        words = Words.of(review.job)
        if len(slips) == 1:
            return f"{words.sentence(slips[0])} {words.remedy(slips[0])}", False
        more = f" {len(slips) - MOST_SLIPS} more in Findings." if len(slips) > MOST_SLIPS else ""
        return f"{'  '.join(words.sentence(f) for f in slips[:MOST_SLIPS])}{more}", False
    unread = next((s for _, s in sights_of(book) if s.reading_ft is None), None)
    if unread is not None:
        return (
            f"{plain(unread.at, NAME_LENGTH) or 'A row'} has no reading: type it, or delete the row (Ctrl+Delete).",
            False,
        )
    off = [c for c in levels.closures if not c.holds]
    told = (off or list(levels.closures))[-MOST_CLOSURES:]
    said = [_closure(c, units, adjust=book.adjust) for c in told]
    if len(levels.closures) > len(told):
        said.append(f"{len(levels.closures)} closures, {len(off)} beyond the allowance.")
    return "  ".join([*(said or [OPEN]), *_page(book, units)]), not off


def _closure(c: Closure, units: Units, *, adjust: bool) -> str:
    start, end = plain(c.start, NAME_LENGTH), plain(c.end, NAME_LENGTH)
    way = f"Loop on {start}" if c.start == c.end else f"{start} to {end}"
    allowed = reading_text(c.allowance_ft, units)
    if adjust and not c.holds:
        off = f"{Words(units=units).length(abs(c.misclosure_ft))} {'above' if c.misclosure_ft > 0 else 'below'}"
        return f"{way} comes back {off}, allowed {allowed}: not adjusted, level it again."
    against = "within" if c.holds else "beyond"
    return f"{way}: misclosure {signed(c.misclosure_ft, units)}, {against} the allowance of {allowed}."


def _page(book: LevelBook, units: Units) -> list[str]:
    check = page_check(book, chain(book))
    if check is None:
        return []
    agrees = abs(check.difference_ft - check.rise_ft) < 1e-6
    back, fore = reading_text(check.backsights_ft, units), reading_text(check.foresights_ft, units)
    same = "as the levels say" if agrees else f"but the levels say {signed(check.rise_ft, units)}"
    return [f"Page check: BS {back} less FS {fore} is {signed(check.difference_ft, units)}, {same}."]
