"""Cures: ways out where structures cannot drain, each solved before it is offered."""

from collections.abc import Callable
from typing import cast

from msgspec import Struct

from drainsketch.errors import DrainsketchError
from drainsketch.job.model import Job
from drainsketch.network.amends import Amend, amends
from drainsketch.network.bounds import Bounds
from drainsketch.network.graph import downhill
from drainsketch.network.remedies import Cure
from drainsketch.network.troubles import Trouble
from drainsketch.network.ways import holds, narrowed, runs_down

MOST_WORK = 1500  # runs graded on the search
MOST_RUNS = 60  # on the way of structures that are cured together
MOST_ALONE = 6  # structures for which cures of their own are sought
MOST_SHOWN = 4
LIGHTER = {"fill": "raise_grate", "tie_in_below": "lower_end"}  # what does the same at the same place with less work


class Trial(Struct, frozen=True):
    """What a whole review says of a changed job: the things in trouble, those short of cover apart, and its stops."""

    lost: frozenset[str]
    shallow: frozenset[str]
    stops: frozenset[tuple[str, tuple[str, ...]]]


def find_cures(
    bounds: Bounds, troubles: tuple[Trouble, ...], now: Trial, review: Callable[[Job], Trial]
) -> dict[str, tuple[Cure, ...]]:
    """Return the cures for each structure or run in trouble, by id: those that help all first, then by the least change.

    A cure changes one thing by the smallest amount that a crew can set. It is offered when a review of the whole job with it no
    longer tells of the trouble and nothing at stop level is new. Where cover and clearance can be kept they are; else the cure
    says that they are not. A cure is left out where a lighter one at the same place does as much by no more (``LIGHTER``).
    Check: tests/network/test_cures.py (a second program confirms that each drains; one step less does not do).

    Parameters
    ----------
    now, review : what is said of the job as it stands, and of a job that is tried
    """
    groups: dict[tuple[bool, str], list[Trouble]] = {}
    way = downhill(bounds.network)
    for t in troubles:
        at = t.at
        while at in way:
            at = way[at].downstream
        groups.setdefault((not t.stop, at), []).append(t)
    search = _Search(bounds, now, review)
    found: dict[str, tuple[Cure, ...]] = {}
    alone: list[Trouble] = []
    for _, members in sorted(groups.items(), key=lambda g: g[0]):
        of_all = search.cures(tuple(members))
        found |= {t.thing: of_all for t in members}
        alone += members if len(members) > 1 else []
    for t in alone[:MOST_ALONE]:
        known = frozenset(c.kind for c in found[t.thing])
        found[t.thing] = (*found[t.thing], *search.cures((t,), known))[: MOST_SHOWN + 1]
    return found


def _is_lighter(one: Cure, other: Cure) -> bool:
    """Return whether a cure does at the same place what another does, keeps as much, by no more and with less work."""
    mine, others = dict(one.params), dict(other.params)
    return (
        one.kind == LIGHTER.get(other.kind)
        and mine["structure"] == others["structure"]
        and one.keeps in ("limits", other.keeps)
        and cast(float, mine["by"]) <= cast(float, others["by"]) + 1e-9
    )


class _Search:
    def __init__(self, bounds: Bounds, now: Trial, review: Callable[[Job], Trial]) -> None:
        self._bounds, self._now, self._review = bounds, now, review
        self._left = MOST_WORK

    def cures(self, troubles: tuple[Trouble, ...], known: frozenset[str] = frozenset()) -> tuple[Cure, ...]:
        """Return the cures that end all of some troubles, but for those of kinds that are known already."""
        runs = runs_down(self._bounds, [t.at for t in troubles])
        ranked: list[tuple[tuple[bool, float], Cure]] = []
        for amend in amends(self._bounds, troubles, runs) if len(runs) <= MOST_RUNS else ():
            for fall_only in (False, True) if amend.kind not in known else ():
                if fall_only and not troubles[0].stop:
                    continue
                steps = self._least(amend, runs, fall_only)
                cure = self._tried(amend, steps, troubles, fall_only) if steps else None
                if cure is not None and steps is not None:
                    ranked.append(((fall_only, steps / amend.most), cure))
                    break
        cures = [cure for _, cure in sorted(ranked, key=lambda r: r[0])]
        return tuple(c for c in cures if not any(_is_lighter(other, c) for other in cures))[:MOST_SHOWN]

    def _least(self, amend: Amend, runs: frozenset[str], fall_only: bool) -> int | None:
        """Return the fewest steps of a change with which the runs can be graded; None where none is enough."""

        def works(n: int) -> bool:
            self._left -= len(runs)
            ground = amend.ground(n) if amend.ground is not None else None
            return holds(narrowed(self._bounds, amend.edit(n), runs, ground), fall_only=fall_only)

        if self._left <= 0:
            return None
        try:
            low, high = 0, amend.most
            if not works(high):
                return None
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (low, middle) if works(middle) else (middle, high)
        except DrainsketchError:  # outside the bounds of the model
            return None
        return high

    def _tried(self, amend: Amend, steps: int, troubles: tuple[Trouble, ...], fall_only: bool) -> Cure | None:
        job, now = amend.edit(steps), self._now
        trial = self._review(job)
        things = {t.thing for t in troubles}
        still = trial.lost if troubles[0].stop else trial.lost | trial.shallow
        was = now.lost if troubles[0].stop else now.lost | now.shallow
        if still & things or still - was or trial.stops - now.stops:
            return None
        return Cure(
            amend.kind, amend.said(steps), job, tuple(t.thing for t in troubles), "fall" if fall_only else "limits"
        )
