"""The work plan: order of work, trench that is opened and closed the same day, hold points, ticket and what is to be settled."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from itertools import islice
from math import inf

from drainsketch.job.price_terms import PriceTerms
from drainsketch.job.work import WorkPlan
from drainsketch.network.cutsheet import point_at
from drainsketch.network.results import Crossing, Network
from drainsketch.takeoff.earth import Earth
from drainsketch.takeoff.price.money import cents
from drainsketch.takeoff.price.results import PricedLine
from drainsketch.takeoff.spoil import hauled_share, loose_yd3
from drainsketch.takeoff.trench import FT3_PER_YD3
from drainsketch.takeoff.workplan.blocks import SAME_FT, Bit, Line, Spot, blocks_of
from drainsketch.takeoff.workplan.dates import day_of, worked_days
from drainsketch.takeoff.workplan.filling import Cut, Days, Placed, TooLongError
from drainsketch.takeoff.workplan.hauling import hauled
from drainsketch.takeoff.workplan.hours import gone_ft3, shared_hours
from drainsketch.takeoff.workplan.notes import notes_of
from drainsketch.takeoff.workplan.order import sequence
from drainsketch.takeoff.workplan.results import Pace, PlannedWork, Stretch, Task, TaskKind, WorkDay
from drainsketch.takeoff.workplan.ticket import ticket_of
from drainsketch.takeoff.works import Works

HUNDREDTH = Decimal("0.01")


def planned_work(
    works: Works,
    earth: Earth,
    network: Network,
    crossings: Sequence[Crossing],
    labor: Sequence[PricedLine],
    terms: PriceTerms,
    not_workable: Collection[str] = (),
) -> PlannedWork:
    """Return the work of a job, day by day.

    Blocks of work follow each other in the order of the job; a run is cut into stretches at stations, each as long as can be dug,
    laid, checked and closed within the hours of the day and under the feet of trench that may lie open.

    Parameters
    ----------
    labor : the lines of the price; those that are hours of labor are planned
    terms : crew, hours a day, truck
    not_workable : runs whose pipe cannot be laid as it lies, and the structures at their ends: they stand on no day, since there
        is no depth to dig them to

    The hours of all tasks and of what could not be planned add up to the crew hours of the price, to the hundredth.
    Source: arithmetic. Check: tests/takeoff/workplan/test_plan.py
    """
    work = works.job.work
    order = [name for name in sequence(works, network, work.order) if name not in not_workable]
    shared = shared_hours(works, earth, labor, terms.crew)
    blocks, left = blocks_of(works, earth, order, crossings, shared)
    hidden = [c for c in crossings if c.other_kind != "run" and not c.seen]
    days = Days(float(terms.day_hours), work.open_ft_day or None)
    too_long = False
    try:
        _fill(days, blocks, hidden, shared.hours.get("", {}))
    except TooLongError:
        days, blocks, too_long = Days(float(terms.day_hours), None), [], True
    if not blocks:
        left = {owner: sum(of.values()) for owner, of in shared.hours.items()}
    total = _crew_hours(labor, terms)
    rounded = _in_hundredths([p.hours for day in days.placed for p in day] + list(left.values()), total)
    unplanned = tuple(zip(left, rounded[len(rounded) - len(left) :], strict=True))
    dates = _dates(work, len(days.placed))
    gone = {owner: ft3 for owner, ft3 in gone_ft3(earth).items() if owner not in not_workable}
    planned = _days(days, rounded, dates, earth, works, terms, gone) if blocks else ()
    stretches = tuple(_stretch(n, cut, earth, network) for n, cut in enumerate(days.cuts, start=1))
    ticket, notes = ticket_of(work, planned)
    notes += notes_of(works, planned, labor, not_workable, hidden, tuple(left), terms, too_long=too_long)
    return PlannedWork(
        days=planned,
        stretches=stretches,
        paces=tuple(_paces(blocks, float(terms.day_hours), work.open_ft_day or None)),
        ticket=ticket,
        notes=tuple(sorted(notes, key=lambda n: ("stop", "settle", "note").index(n.level))),
        crew=terms.crew,
        day_hours=terms.day_hours,
        hours=total,
        unplanned=tuple((owner, hours or Decimal(0)) for owner, hours in unplanned),
        tolerance_in=works.job.laying.tolerance_in,
    )


def _fill(
    days: Days, blocks: Sequence[Line | Spot], hidden: Sequence[Crossing], whole: Mapping[TaskKind, float]
) -> None:
    """Put all tasks on days: those of the whole job, the services nobody saw, the blocks, what is left at the end."""
    if not blocks:
        return
    days.add([Bit("mark_out")])
    if hidden:
        ids = tuple(dict.fromkeys(i for c in hidden for i in (c.run_id, c.other)))
        days.add([Bit("test_holes", ids=ids, crossings=tuple(c.number for c in hidden))])
    days.work(blocks)
    named = {"spread", "turf"}  # what is done to the whole job and has a name of its own
    others = (Bit(kind if kind in named else "other", hours=hours) for kind, hours in whole.items())
    days.add([*others, Bit("flush"), Bit("record")])


def _paces(blocks: Sequence[Line | Spot], day_hours: float, most_ft: float | None) -> Iterator[Pace]:
    for line in blocks:
        if isinstance(line, Line):
            low, high = line.along.low_ft, line.along.high_ft
            hours = line.hours(low, high)
            if hours > 0 and high - low > SAME_FT:
                hours_ft = hours / (high - low)
                yield Pace(line.run_id, hours_ft, min(day_hours / hours_ft, most_ft or inf))


def _crew_hours(labor: Sequence[PricedLine], terms: PriceTerms) -> Decimal:
    """Return how long the crew is on the job, as the price has it."""
    crew = sum((line.quantity or Decimal(0) for line in labor if line.unit == "crew_hour"), Decimal(0))
    hands = sum((line.quantity or Decimal(0) for line in labor if line.unit == "hour"), Decimal(0))
    return cents(crew + hands / terms.crew)


def _in_hundredths(hours: Sequence[float | None], total: Decimal) -> list[Decimal | None]:
    """Return hours to the hundredth so that they add up to their total: what rounding takes from one it gives to a later one."""
    exact = sum(h or 0.0 for h in hours)
    found: list[Decimal | None] = []
    run, said = 0.0, Decimal(0)
    last = max((i for i, h in enumerate(hours) if h is not None), default=-1)
    for i, one in enumerate(hours):
        if one is None:
            found.append(None)
            continue
        run += one
        share = Decimal(run / exact) if exact > 0 else Decimal(0)
        to = total if i == last else (share * total).quantize(HUNDREDTH, ROUND_HALF_UP)
        found.append(to - said)
        said = to
    return found


def _dates(work: WorkPlan, count: int) -> list[date | None]:
    start = day_of(work.start)
    if start is None:
        return [None] * count
    off = {date.fromisoformat(day) for day in work.days_off}
    found: list[date | None] = list(islice(worked_days(start, work.workdays, off), count))
    return found + [None] * (count - len(found))


def _days(
    days: Days,
    rounded: Sequence[Decimal | None],
    dates: Sequence[date | None],
    earth: Earth,
    works: Works,
    terms: PriceTerms,
    gone: Mapping[str, float],
) -> tuple[WorkDay, ...]:
    """Return the days with their hours to the hundredth, their spoil and its loads."""
    swell = works.job.criteria.swell
    spoil = _spoil_yd3(days, earth, gone)
    load = min(float(terms.truck_yd3), float(terms.truck_tons / terms.spoil_tons_per_yd3) * swell)
    off = hauled_share(earth, works.job)  # the rest is spread on the yard
    leaves = hauled([loose_yd3(v * off, swell) for v in spoil], load)
    found, at = [], 0
    for i, placed in enumerate(days.placed):
        tasks = tuple(_task(p, hours) for p, hours in zip(placed, rounded[at : at + len(placed)], strict=True))
        at += len(placed)
        found.append(
            WorkDay(
                number=i + 1,
                day=dates[i],
                tasks=tasks,
                hours=sum((t.hours for t in tasks if t.hours is not None), Decimal("0.00")),
                open_ft=days.opened_ft[i],
                spoil_yd3=spoil[i],
                hauled_yd3=spoil[i] * off,
                loads=leaves.loads[i],
                spoil_gone=leaves.gone[i] + 1,
                overnight=tuple(dict.fromkeys(days.overnight[i])),
            )
        )
    return tuple(found)


def _task(placed: Placed, hours: Decimal | None) -> Task:
    bit = placed.bit
    from_ft, to_ft = bit.span_ft or (None, None)
    return Task(bit.kind, bit.owner, bit.ids, hours, placed.stretch, from_ft, to_ft, bit.crossings, placed.goes_on)


def _spoil_yd3(days: Days, earth: Earth, gone: Mapping[str, float]) -> list[float]:
    """Return what is dug for good on each day, yd3 in the bank; on the day a stretch or a hole is opened."""
    found = [0.0] * len(days.placed)
    for cut in days.cuts:
        whole = cut.line.along.high_ft - cut.line.along.low_ft
        share = cut.line.along.share(cut.from_ft, cut.to_ft) if whole > 0 else 1.0
        found[cut.opened - 1] += gone.get(cut.line.run_id, 0.0) * share
    holes = {h.structure_id for h in earth.holes} | {p.structure_id for p in earth.pits}
    for i, placed in enumerate(days.placed):
        for owner in dict.fromkeys(p.bit.owner for p in placed if p.bit.owner in holes):
            holes.discard(owner)
            found[i] += gone.get(owner, 0.0)
    for owner in holes & {*gone}:  # no hour was counted for it
        found[-1] += gone[owner]
    return [v / FT3_PER_YD3 for v in found]


def _stretch(number: int, cut: Cut, earth: Earth, network: Network) -> Stretch:
    name = cut.line.run_id
    work = next(r.work for r in earth.runs if r.work.run.id == name)
    flow = next(f for f in network.runs if f.id == name)
    assert work.grade is not None
    bottom = work.grade.invert_at(cut.from_ft) - work.grade.bottom_below_invert_ft
    return Stretch(
        number=number,
        run_id=name,
        from_ft=cut.from_ft,
        to_ft=cut.to_ft,
        deepest_ft=cut.line.along.deepest_ft(cut.from_ft, cut.to_ft),
        low=point_at(flow, cut.from_ft),
        low_ground_ft=bottom + cut.line.along.cut_at(cut.from_ft),
        low_bottom_ft=bottom,
        opened=cut.opened,
        closed=cut.closed,
    )
