"""Hours along a run: how much of each task is done up to every station, from the trench itself."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

import numpy as np
from msgspec import Struct

from drainsketch.network.results import Floats
from drainsketch.takeoff.earth import RunEarth
from drainsketch.takeoff.workplan.hours import LAWN, UNDER
from drainsketch.takeoff.workplan.results import TaskKind

STEP_FT = 1.0
BY_CUT: tuple[TaskKind, ...] = ("dig", "backfill")
Zone = tuple[float, float]


class Along(Struct, frozen=True):
    """A run from hole to hole: stations, the cut there, and crew hours up to each by task."""

    station_ft: Floats
    cut_ft: Floats
    volume: Floats  # share of the trench dug up to each station
    done: dict[TaskKind, Floats]
    total: Floats

    @property
    def low_ft(self) -> float:
        """Return where its trench begins, at the downstream end."""
        return float(self.station_ft[0])

    @property
    def high_ft(self) -> float:
        """Return where it ends."""
        return float(self.station_ft[-1])

    def hours(self, from_ft: float, to_ft: float) -> dict[TaskKind, float]:
        """Return the hours of each task between two stations."""
        return {kind: self._between(done, from_ft, to_ft) for kind, done in self.done.items()}

    def share(self, from_ft: float, to_ft: float) -> float:
        """Return the share of the trench's volume between two stations."""
        return self._between(self.volume, from_ft, to_ft)

    def reach_ft(self, from_ft: float, hours: float) -> float:
        """Return the farthest station that so many hours reach from another."""
        limit = float(np.interp(from_ft, self.station_ft, self.total)) + hours
        if limit >= self.total[-1]:
            return self.high_ft
        at = int(np.searchsorted(self.total, limit, side="right"))
        here, then = self.total[at - 1], self.total[at]
        a, b = self.station_ft[at - 1], self.station_ft[at]
        return float(max(from_ft, a + (b - a) * (limit - here) / (then - here)))

    def cut_at(self, station_ft: float) -> float:
        """Return ground minus trench bottom at a station, ft."""
        return float(np.interp(station_ft, self.station_ft, self.cut_ft))

    def deepest_ft(self, from_ft: float, to_ft: float) -> float:
        """Return the greatest cut between two stations, ft."""
        inside = self.cut_ft[(self.station_ft >= from_ft) & (self.station_ft <= to_ft)]
        ends = np.interp([from_ft, to_ft], self.station_ft, self.cut_ft)
        return float(max(0.0, *inside.tolist(), *ends.tolist()))

    def _between(self, done: Floats, from_ft: float, to_ft: float) -> float:
        low, high = np.interp([from_ft, to_ft], self.station_ft, done)
        return float(high - low)


def along(
    run: RunEarth,
    inside_ft: Mapping[str, float],
    hours: Mapping[TaskKind, float],
    zones: Sequence[Zone],
    *,
    by_foot: bool,
    items: Mapping[TaskKind, Mapping[str, float]] = MappingProxyType({}),
    beds: Sequence[Zone] = (),
) -> Along:
    """Return the hours of a run laid out along it.

    Digging and backfill go by the volume of the trench (digging with a trencher by the foot), outside the strips dug by hand and
    inside them each by itself; laying, stone and topsoil by the foot. Sawing and what is put back lie at their
    paving, lawn beside paving and beds, mulch in beds.

    Parameters
    ----------
    inside_ft : how far the run lies within the hole at each end, ft
    hours : crew hours of the run by task
    zones : strips dug by hand, stations, ft
    items : of tasks that are done at some places only, the hours of each item of the price
    beds : stretches in planting beds, stations, ft
    by_foot : whether the machine digs so many feet an hour, whatever the depth
    """
    profile, grade, work = run.work.profile, run.work.grade, run.work
    assert profile is not None
    assert grade is not None  # or nothing would be dug
    low = inside_ft.get(work.downstream, 0.0)
    high = max(low, work.plan_ft - inside_ft.get(work.upstream, 0.0))
    paved = [(s.from_ft, s.to_ft) for s in run.stretches]
    ends = [at for zone in (*zones, *paved, *beds) for at in zone if low < at < high]
    own = profile.station_ft[(profile.station_ft > low) & (profile.station_ft < high)]
    station = np.unique(np.concatenate([[low, high], own, ends, np.arange(np.ceil(low), high, STEP_FT)]))
    station = station[(station >= low) & (station <= high)]
    ground = np.interp(station, profile.station_ft, profile.ground_ft)
    cut = ground - grade.inverts_at(station) + grade.bottom_below_invert_ft
    length = np.diff(station)
    volume = length * (np.maximum(cut[:-1], 0) + np.maximum(cut[1:], 0)) / 2
    middle = (station[:-1] + station[1:]) / 2
    by_hand, under, in_bed = (_within(middle, some) for some in (zones, paved, beds))

    def places(item: str) -> Any:
        """Return which of the pieces an item of the price is done at."""
        if item in UNDER:
            kinds = UNDER[item]
            return _within(middle, [(s.from_ft, s.to_ft) for s in run.stretches if not kinds or s.paved in kinds])
        lawn = ~under & ~in_bed
        return in_bed if item == "spread_mulch" else lawn if item in LAWN else np.ones(len(middle), dtype=bool)

    done: dict[TaskKind, Floats] = {}
    for kind, amount in hours.items():
        weight = volume if kind in BY_CUT else length
        if kind == "dig":
            weight = np.where(by_hand, 0.0, length if by_foot else volume)
        elif kind == "expose":
            weight = np.where(by_hand, volume, 0.0)
        done[kind] = amount * _risen(weight, length)
        if kind in items:
            parts = items[kind].items()
            done[kind] = sum(h * _risen(np.where(places(i), length, 0.0), length) for i, h in parts)  # type: ignore[assignment]
    total = sum(done.values(), np.zeros(len(station)))
    return Along(station, cut, _risen(volume, length), done, total)


def _within(middle: Floats, zones: Sequence[Zone]) -> Any:
    """Return which of the pieces lie in one of some zones."""
    inside = np.zeros(len(middle), dtype=bool)
    for a, b in zones:
        inside |= (a <= middle) & (middle <= b)
    return inside


def _risen(weight: Floats, otherwise: Floats) -> Floats:
    """Return the share done up to each station, 0 to 1."""
    if weight.sum() <= 0:
        weight = otherwise if otherwise.sum() > 0 else np.ones(len(weight))
    risen = np.concatenate([[0.0], np.cumsum(weight)])
    share: Floats = risen / risen[-1] if risen[-1] > 0 else risen
    return share
