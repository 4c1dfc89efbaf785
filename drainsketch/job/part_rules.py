"""What makes price, waste and work plan of a job whole, beyond the bounds of their single numbers."""

from collections.abc import Iterator, Sequence
from datetime import date as day

from drainsketch.job.model import Job
from drainsketch.job.price_terms import MOST_MARGIN_PCT


def part_faults(job: Job) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong): days that are none, things named twice, a profit that no price could have."""
    work = job.work
    days = [("work.ticket_asked", work.ticket_asked), ("work.start", work.start)]
    days += [(f"work.days_off[{i}]", off) for i, off in enumerate(work.days_off)]
    for path, said in days:
        if said and not _is_day(said):
            yield path, f"{said} is not a day of the calendar; write it as 2026-04-14"
    rows = [(c.item, c.of, c.size_in, c.second) for c in job.pricing.changes]
    yield from _twice("pricing.changes", rows, "the same row of the price book")
    yield from _twice("waste", [rule.goods for rule in job.waste], "the same goods")
    yield from _twice("work.workdays", work.workdays, "the same day")
    terms = job.pricing.terms
    if (terms.profit_as is None) != (terms.profit_pct is None):
        missing = "profit_as" if terms.profit_as is None else "profit_pct"
        yield f"pricing.terms.{missing}", "missing; say the profit as mark-up or as margin, and how much"
    elif terms.profit_as == "margin" and terms.profit_pct is not None and terms.profit_pct > MOST_MARGIN_PCT:
        yield (
            "pricing.terms.profit_pct",
            f"{terms.profit_pct:g} is no margin on the price; write at most {MOST_MARGIN_PCT}",
        )


def _is_day(said: str) -> bool:
    try:
        day.fromisoformat(said)
    except ValueError:
        return False
    return True


def _twice(path: str, keys: Sequence[object], what: str) -> Iterator[tuple[str, str]]:
    for i, key in enumerate(keys):
        if key in keys[:i]:
            yield f"{path}[{i}]", f"{what} stands twice; keep one"
