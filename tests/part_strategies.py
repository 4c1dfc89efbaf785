"""Any parts of a job besides its plan: trench sections, waste, price, offer, work plan, options aside, a drawing under it."""

from typing import Any, get_args

from hypothesis import strategies as st

from drainsketch.job.kinds import HeapKind
from drainsketch.job.levelling import LaidReading, Laying
from drainsketch.job.model import Backdrop, BackdropLine, Heap, Option, Run, Structure
from drainsketch.job.options import name_key
from drainsketch.job.pricing import Extra, Offer, PriceChange, Pricing, TermChanges
from drainsketch.job.sections import Fabric, Goods, Lawn, Sections, WasteRule
from drainsketch.job.work import Order, WorkPlan
from tests.strategies_of import kinds, maybe, numbers, points, words


def sections() -> st.SearchStrategy[Sections]:
    """Trenches away from the defaults."""
    return st.builds(
        Sections,
        solid_bed_in=numbers(0, 24),
        solid_over_in=maybe(numbers(0, 24)),
        base_in=numbers(0, 24),
        fabric=kinds(Fabric),
        lawn=kinds(Lawn),
        marking_tape=st.booleans(),
    )


def wastes() -> st.SearchStrategy[tuple[WasteRule, ...]]:
    """No rule, or one."""
    return maybe(st.builds(WasteRule, goods=kinds(Goods), pct=numbers(0, 100))).map(lambda r: () if r is None else (r,))


def pricings() -> st.SearchStrategy[Pricing]:
    """Prices, terms and lines of one job alone."""
    change = st.builds(
        PriceChange, item=words.filter(bool), of=words, price=maybe(numbers(0, 1e6)), taxed=maybe(st.booleans())
    )
    terms = st.builds(TermChanges, tax_pct=maybe(numbers(0, 30)), crew=maybe(st.integers(1, 50)))
    extra = st.builds(
        Extra, name=words.filter(bool), quantity=numbers(0.1, 1e6), unit=words, price=maybe(numbers(0, 1e6))
    )
    return st.builds(
        Pricing,
        changes=st.lists(change, max_size=1).map(tuple),
        terms=terms,
        extras=st.lists(extra, max_size=2).map(tuple),
    )


def offers() -> st.SearchStrategy[Offer]:
    """What an offer says."""
    return st.builds(Offer, excluded=st.lists(words, max_size=2).map(tuple), show_lines=st.booleans(), note=words)


def works() -> st.SearchStrategy[WorkPlan]:
    """Days and order of work."""
    days = st.just("") | st.dates().map(lambda day: f"{day.year:04d}-{day.month:02d}-{day.day:02d}")
    return st.builds(
        WorkPlan,
        ticket_asked=days,
        start=days,
        ticket_number=words,
        ticket_wait_days=maybe(st.integers(0, 365)),
        order=st.sampled_from(get_args(Order)),
        open_ft_day=maybe(numbers(0, 5_000)),
    )


def heaps(thing_id: str, wide: bool = False) -> st.SearchStrategy[Heap]:
    """A heap or a fill area."""
    ring = st.lists(points(wide), min_size=3, max_size=6).map(tuple)
    return st.sampled_from(get_args(HeapKind)).flatmap(
        lambda kind: st.builds(
            Heap,
            id=st.just(thing_id),
            kind=st.just(kind),
            points=ring,
            fill_in=maybe(numbers(0, 240)) if kind == "fill area" else st.none(),
            name=words,
        )
    )


@st.composite
def options(draw: st.DrawFn, name: str, spouts: tuple[str, ...] = (), setups: tuple[str, ...] = ()) -> Option:
    """An option aside: empty, or of one run that may be fed by a downspout, and shot from a setup of the book or a typed height."""
    if draw(st.booleans()):
        return Option(name=name, note=draw(words))
    spout = draw(maybe(st.sampled_from(spouts))) if spouts else None
    two = (
        Structure(id="D1", kind="downspout inlet", point=(10.0, 5.0), downspout=spout),
        Structure(id="B2", kind="basin", point=(20.0, 5.0)),
    )
    setup = draw(maybe(st.sampled_from(setups))) if setups else None
    height = None if setup is not None else draw(numbers(-2_000, 30_000))
    reading = LaidReading(id="laid-1", run="R1", station_ft=5.0, reading_ft=4.25, height_ft=height, setup=setup)
    laying = Laying(setup=setup, readings=(reading,) if draw(st.booleans()) else ())
    return Option(name=name, structures=two, runs=(Run(id="R1", start="D1", end="B2"),), laying=laying)


def backdrops(wide: bool = False) -> st.SearchStrategy[Backdrop]:
    """A drawing from elsewhere."""
    line = st.builds(
        BackdropLine,
        points=st.lists(points(wide), min_size=2, max_size=5).map(tuple),
        layer=words,
        closed=st.booleans(),
    )
    return st.builds(Backdrop, source=words, shown=st.booleans(), lines=st.lists(line, max_size=3).map(tuple))


@st.composite
def parts(
    draw: st.DrawFn, wide: bool = False, spouts: tuple[str, ...] = (), setups: tuple[str, ...] = ()
) -> dict[str, Any]:
    """The fields of a job that are not drawn as drains, rain or limits."""
    names = draw(st.lists(words.filter(str.strip), max_size=3, unique_by=name_key))
    aside = tuple(draw(options(name, spouts, setups)) for name in names[1:])
    return {
        "heaps": tuple(draw(heaps(f"heap-{i}", wide)) for i in range(draw(st.integers(0, 2)))),
        "sections": draw(sections()),
        "waste": draw(wastes()),
        "pricing": draw(pricings()),
        "offer": draw(offers()),
        "work": draw(works()),
        "option": names[0] if names else "",
        "option_at": draw(st.integers(0, len(aside))),
        "aside": aside,
        "backdrop": draw(maybe(backdrops(wide))),
    }
