"""What an offer says, as words: what was found, what will be seen afterward, how long it takes, what it costs and leaves out."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal

from msgspec import Struct

from drainsketch.ground.results import GroundStudy
from drainsketch.job.model import Job
from drainsketch.job.rates import format_duration
from drainsketch.options import Variant
from drainsketch.resources import table
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.option_table import name_of
from drainsketch.sheets.owner_goods import Goods
from drainsketch.sheets.storm_words import depth_said_in, is_held, rain_words
from drainsketch.sheets.text import plain
from drainsketch.sheets.water_marks import LEAST_DEPTH_FT, volume_text
from drainsketch.takeoff.price.money import CENT, dollars
from drainsketch.takeoff.price.results import Price
from drainsketch.takeoff.price.shown import shown_parts
from drainsketch.water.rain import played_min
from drainsketch.water.storm.facts import standing_of
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words


class Amount(Struct, frozen=True):
    """A line of the price: what it is, how much, and whether it is a sum."""

    what: str
    amount: str
    is_sum: bool = False


def no_offer(contents: Contents, words: Words) -> tuple[str, ...]:
    """Return why a price is no offer yet, a sentence each; () when it may be signed, and where there is none."""
    price = contents.price
    if price is None:
        return ()
    missing = sum(line.amount is None for line in price.lines)
    stops = sum(f.level == "stop" and not f.kind.startswith("laid_") for f in contents.review.findings)
    said = []
    if missing:
        said.append(words.word("offer.band.incomplete", count=missing))
    if price.has_examples:
        said.append(words.word("offer.band.example"))
    if stops:
        said.append(words.word("offer.band.stops", count=stops))
    return tuple(said)


def is_offer(contents: Contents, words: Words) -> bool:
    """Return whether there is a price that may be signed."""
    return contents.price is not None and bool(contents.price.lines) and not no_offer(contents, words)


def found_words(contents: Contents, words: Words) -> tuple[str, ...]:
    """Return what was found in the yard: where water stands, by the storm as it was played or by the levels alone.

    Where neither has any stand nothing is said of it: the owner, who sees it stand, knows better than the levels.
    """
    standing = _standing(contents.job, contents.ground, contents.played, words)
    said = [standing] if standing else []
    crossed = {c.other for c in contents.review.crossings if c.other_kind != "run"}
    if crossed:
        said.append(words.word("offer.found.services", count=len(crossed)))
    return tuple(said)


def _standing(job: Job, ground: GroundStudy | None, played: Storm | None, words: Words) -> str:
    before = played.before if played is not None else None
    if before is not None:
        standing, storm = standing_of(before), rain_words(job, words)
        if not standing.area_ft2:
            return ""
        said = [
            words.word(
                "offer.found.storm",
                storm=storm,
                area=float(f"{standing.area_ft2:.2g}"),  # to two figures, as on the page of the storm
                depth=depth_said_in(standing.depth_ft),
            )
        ]
        if not standing.still:
            said.append(words.word("offer.found.gone", stood=format_duration(round(standing.stood_min))))
            return " ".join(said)
        after = format_duration(round(float(before.minute[-1]) - played_min(job.rain)))
        left = volume_text(standing.left_gallons, words)
        said.append(words.word("offer.found.still", left=left[:1].upper() + left[1:], after=after))
        if is_held(before):
            said.append(words.word("offer.found.nowhere"))
        return " ".join(said)
    if ground is None:
        return words.word("offer.found.unshot")
    ponds = [p for p in ground.ponds_now if p.depth_ft >= LEAST_DEPTH_FT]
    if not ponds:
        return ""
    deepest = max(p.said_depth_ft for p in ponds)
    volume = volume_text(sum(p.volume_gal for p in ponds), words)
    return words.word("offer.found.ponds", count=len(ponds), depth=12 * deepest, volume=volume)


def after_words(job: Job, words: Words) -> tuple[str, ...]:
    """Return what the owner will see once the work is done."""

    def word(key: str, **params: object) -> str:
        return words.word(f"offer.after.{key}", **params)

    counts = Counter(s.kind for s in job.structures)
    said = []
    if counts["basin"]:
        said.append(word("grates", count=counts["basin"]))
    if counts["cleanout"]:
        said.append(word("cleanouts", count=counts["cleanout"]))
    open_ends = sum(s.kind == "outfall" and s.outfall not in ("tie-in", "dry well") for s in job.structures)
    if open_ends:
        said.append(word("outlets", count=open_ends))
    if any(run.use == "drain" for run in job.runs):
        cap = job.criteria.topsoil_cap_in
        said.append(word("stone_covered", cap=cap) if cap else word("stone_open"))
    if job.runs:
        said.append(word({"seed and straw": "seed", "sod": "sod"}.get(job.sections.lawn, "left")))
        said.append(word("settling"))
    return tuple(said)


def time_words(contents: Contents, words: Words) -> tuple[str, ...]:
    """Return how long the work takes, in whole days as the work plan has them, and what it waits for; () where nobody can tell."""
    price = contents.price
    if price is None or not price.complete or not price.crew_days:
        return ()
    days = int(price.crew_days.to_integral_value(ROUND_CEILING))
    if contents.work is not None:
        days = max(days, len(contents.work.days))
    return words.word("offer.time.days", days=days), words.word("offer.time.marks")


def dated(job: Job) -> str:
    """Return the date of the offer: that of the job, else today."""
    return job.header.date or date.today().isoformat()


def valid_words(job: Job, price: Price, words: Words) -> str:
    """Return how long an offer may be accepted."""
    begun = date.fromisoformat(dated(job))
    until = begun + min(timedelta(days=price.valid_days), date.max - begun)
    return words.word("offer.head.valid_until", days=price.valid_days, until=until.isoformat())


def amounts(job: Job, price: Price, words: Words) -> Iterator[Amount]:
    """Yield the lines of a price: its parts if the job shows them, tax, the total and how it is paid.

    Parameters
    ----------
    price : one in which every line has a price; where invented figures are in it, every line says so
    """

    def line(key: str, amount: Decimal, name: str = "", *, is_sum: bool = False) -> Amount:
        what = name or words.word(f"offer.price.{key}")
        what = words.word("offer.price.example", what=what) if price.has_examples else what
        return Amount(what, dollars(amount), is_sum)

    if job.offer.show_lines:
        for part in shown_parts(price):
            own = part.line
            yield line(part.key, part.amount, words.priced(own.item, own.params) if own is not None else "")
    steps = {step.key: step.amount for step in price.steps}
    if steps["tax"] or steps["rounding"] or job.offer.show_lines:
        yield line("sale", steps["sale"], is_sum=job.offer.show_lines)
    for key in ("tax", "rounding"):
        if steps[key]:
            yield line(key, steps[key])
    yield line("total", price.total, is_sum=True)
    if price.deposit and price.balance is not None:
        yield line("deposit", price.deposit)
        yield line("balance", price.balance)


def option_amounts(options: Sequence[Variant], words: Words) -> Iterator[Amount]:
    """Yield the options that may be chosen, each with its total; one that has none, or is stopped, or is an example, says so."""
    for one in options:
        price = one.price
        if price is None or not price.complete or one.figures.stops:
            said = words.word("options.open")
        elif price.has_examples:
            said = words.word("offer.price.example", what=dollars(price.total))
        else:
            said = dollars(price.total)
        yield Amount(name_of(one.name, words), said)


def allowance_words(contents: Contents, words: Words) -> tuple[str, ...]:
    """Return what the price has for paving of which nobody said what it is made of, its share of overhead and profit in it."""
    price = contents.price
    said = Goods(contents.review, words).unknown()
    if price is None or not said:
        return ()
    cost = sum((line.amount or Decimal(0) for line in price.lines), Decimal(0))
    own = sum((line.amount or Decimal(0) for line in price.lines if line.item == "paving_unknown"), Decimal(0))
    sale = price.step("sale")
    if not own or not cost or sale is None:
        return ()
    share = dollars((sale.amount * own / cost).quantize(CENT))
    share = words.word("offer.price.example", what=share) if price.has_examples else share
    return (f"{said} {words.word('offer.goods.unknown_price', share=share)}",)


def excluded_words(job: Job, words: Words) -> tuple[str, ...]:
    """Return what is not included: the job's own list, else what is usual to leave out (common practice, no source)."""
    own = tuple(said for line in job.offer.excluded if (said := plain(line)))
    return own or usual_exclusions(words.lang)


def usual_exclusions(lang: str = "en") -> tuple[str, ...]:
    """Return what is usual to leave out of an offer, in a language."""
    return tuple(table(f"translations/{lang}/offer.toml")["excluded"]["usual"].values())
