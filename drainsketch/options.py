"""The options of a job side by side: what each takes to build, how it drains, and what it costs.

Pure, and no figure is worked out here: each comes from the takeoff, the review, the study, the played storm or the price of
that option's own job.
"""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict, fields

from drainsketch.job.model import Job
from drainsketch.job.options import option_jobs, options_of
from drainsketch.job.prices import Prices
from drainsketch.pricing import price_of
from drainsketch.review import Review, analyse
from drainsketch.study import Study, drained_inlets, play, study
from drainsketch.takeoff.price.hauling import STONE
from drainsketch.takeoff.price.results import Price
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.water.heads import BOXES
from drainsketch.water.results import Water
from drainsketch.water.storm.facts import Standing, standing_of
from drainsketch.water.storm.results import Storm

PIPE_DRAIN, PIPE_SOLID, BASIN, SPOIL, LOADS = "pipe_drain", "pipe_solid", "basin_body", "spoil_loose", "haul_load"


class Figures(Struct, frozen=True):
    """What one option comes to, or how much more that is than another one. None is not known: no grade, no rain, nothing played, no
    price or not a whole one.

    ``dug_yd3`` is trench and holes in the bank, ``stone_tons`` all stone, base course and gravel brought in, short tons, ``spoil_yd3`` loose, ``spoil_loads`` by the truck of
    the price terms. ``undrained`` counts basins and downspout inlets whose water gets to no outfall. ``comes_out_cfs`` is what comes
    out of grates at the peak of the storm, ``freeboard_ft`` the least that water stays below a grate then, ``fullest`` the greatest
    share of what a pipe carries full. ``stands_ft2`` is ground under water at the worst of the played storm, ``stands_min`` for how
    long any stands, ``left_gal`` what is left at its end. ``crew_hours`` and ``crew_days`` are on the job.
    """

    drain_ft: float
    solid_ft: float
    basins: int
    dug_yd3: float
    stone_tons: float
    spoil_yd3: float
    spoil_loads: int | None
    flattest: float | None  # ft/ft
    deepest_ft: float | None
    stops: int
    settles: int
    notes: int
    undrained: int
    comes_out_cfs: float | None
    freeboard_ft: float | None
    fullest: float | None
    stands_ft2: float | None
    stands_min: float | None
    left_gal: float | None
    crew_hours: Decimal | None
    crew_days: Decimal | None
    total_usd: Decimal | None


class Variant(Struct, frozen=True):
    """One option with all that is said of it. ``undrained`` and ``comes_out`` name the inlets behind the figures.

    ``storm`` is None where it was not played, ``price`` where no prices were given.
    """

    name: str
    note: str
    is_drawn: bool
    study: Study
    storm: Storm | None
    price: Price | None
    figures: Figures
    undrained: tuple[str, ...]
    comes_out: tuple[str, ...]

    @property
    def job(self) -> Job:
        """The job of this option alone."""
        return self.study.review.job


def compared(
    job: Job, prices: Prices | None = None, *, played: bool = False, before: Sequence[Variant] = ()
) -> tuple[Variant, ...]:
    """Return every option of a job in order, looked at one by one; a job without options aside has one.

    Parameters
    ----------
    prices : what to price them with; None leaves the price out
    played : whether to play the storm over each, which takes a good part of a second apiece
    before : those of an earlier job; what has not changed since is kept

    Examples
    --------
    >>> from drainsketch.job.edits.options import add_option
    >>> [(one.name, one.figures.basins) for one in compared(add_option(Job(), "Short"))]
    [('Option 1', 0), ('Short', 0)]
    """
    kept = {one.name: one for one in before}
    last = before[0].study if before else None
    found = []
    for at, (option, (name, own)) in enumerate(zip(options_of(job), option_jobs(job), strict=True)):
        old = kept.get(name)
        closer = old.study if old is not None and _is_same(old.job, own) else None
        if closer is None:
            earlier = old.study if old is not None else last
            closer = study(analyse(own, earlier.review if earlier is not None else None), earlier)
        storm = None
        if played:
            again = old is not None and old.study is closer and old.storm is not None
            storm = old.storm if again and old is not None else play(closer)
        price = price_of(closer.whole, prices) if prices is not None else None
        found.append(_variant(name, option.note, at == job.option_at, closer, storm, price))
        last = closer
    return tuple(found)


def difference(of: Figures, first: Figures) -> Figures:
    """Return how much more of each figure an option has than another one; None where either is not known."""
    less: dict[str, Any] = {}
    for name, mine in asdict(of).items():
        theirs = getattr(first, name)
        less[name] = None if mine is None or theirs is None else mine - theirs
    return Figures(**less)


def _is_same(job: Job, other: Job) -> bool:
    """Return whether two jobs are made of the same objects."""
    return all(getattr(job, f.name) is getattr(other, f.name) for f in fields(Job))


def _variant(name: str, note: str, is_drawn: bool, closer: Study, storm: Storm | None, price: Price | None) -> Variant:
    review, water = closer.whole, closer.water
    drained = drained_inlets(closer.review)
    undrained = tuple(s.id for s in review.job.structures if s.kind in BOXES and s.id not in drained)
    return Variant(
        name=name,
        note=note,
        is_drawn=is_drawn,
        study=closer,
        storm=storm,
        price=price,
        figures=_figures(review, water, undrained, standing_of(storm.after) if storm is not None else None, price),
        undrained=undrained,
        comes_out=water.over,
    )


def _figures(
    review: Review, water: Water, undrained: tuple[str, ...], standing: Standing | None, price: Price | None
) -> Figures:
    lines, grades = review.takeoff, list(review.workable.values())
    levels = [f.level for f in review.findings]
    has_storm = bool(water.arrivals)
    stands = [head for s in review.job.structures if s.kind in BOXES and (head := water.stands(s.id)) is not None]
    full = [f.flow_cfs / f.full_cfs for f in water.pipes.values() if f.full_cfs]
    loads = [line.quantity for line in price.lines if line.item == LOADS] if price is not None else []
    return Figures(
        drain_ft=_sum(lines, PIPE_DRAIN),
        solid_ft=_sum(lines, PIPE_SOLID),
        basins=round(_sum(lines, BASIN)),
        dug_yd3=sum(line.quantity for line in lines if line.group == "trench" and line.unit == "yd3"),
        stone_tons=sum(line.quantity for line in lines if line.item in STONE),
        spoil_yd3=_sum(lines, SPOIL),
        spoil_loads=int(sum(count or 0 for count in loads)) if price is not None else None,
        flattest=min((g.least_slope for g in grades), default=None),
        deepest_ft=max((g.greatest_cut_ft for g in grades), default=None),
        stops=levels.count("stop"),
        settles=levels.count("settle"),
        notes=levels.count("note"),
        undrained=len(undrained),
        comes_out_cfs=sum(e.flow_cfs for e in water.escapes.values()) if has_storm else None,
        freeboard_ft=min((head.freeboard_ft for head in stands), default=None),
        fullest=max(full, default=None),
        stands_ft2=standing.area_ft2 if standing is not None else None,
        stands_min=standing.stood_min if standing is not None else None,
        left_gal=standing.left_gallons if standing is not None else None,
        crew_hours=price.crew_hours if price is not None and price.complete else None,
        crew_days=price.crew_days if price is not None and price.complete else None,
        total_usd=price.total if price is not None and price.complete else None,
    )


def _sum(lines: Iterable[TakeoffLine], item: str) -> float:
    return sum(line.quantity for line in lines if line.item == item)
