"""Findings: what the review has to say about a job.

A finding carries no sentence. It has a kind and parameters, so that screen, paper and JSON word and translate it alike
(``wording.py``), a place the window can fly to, and a number against a limit with the limit's source. The kinds stand in
``resources/catalogue/findings.toml``: level, unit of the number, source of the limit.
"""

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Literal

from msgspec import Struct

from drainsketch.resources import table

Level = Literal["stop", "settle", "note"]
LEVELS: tuple[Level, ...] = ("stop", "settle", "note")

Param = str | float | int | tuple[str, ...] | None


class Place(Struct, frozen=True):
    """Where a finding is: the things it concerns, a plan point (ft) and a station (ft from the run's downstream end)."""

    ids: tuple[str, ...] = ()
    point: tuple[float, float] | None = None
    station_ft: float | None = None


class Finding(Struct, frozen=True):
    """One thing to say. ``value`` and ``limit`` are in ``unit``; ``params`` are named figures in canonical units."""

    kind: str
    level: Level
    place: Place
    params: tuple[tuple[str, Param], ...] = ()
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""


def finding(
    kind: str,
    place: Place,
    *,
    value: float | None = None,
    limit: float | None = None,
    params: Mapping[str, Param] | None = None,
    **more: Param,
) -> Finding:
    """Return a finding of a registered kind; level, unit and source come from the table of kinds.

    Raises
    ------
    KeyError : the kind is not in ``resources/catalogue/findings.toml``
    """
    row = table("catalogue/findings.toml")[kind]
    return Finding(
        kind=kind,
        level=row["level"],
        place=place,
        params=(*(params or {}).items(), *more.items()),
        value=value,
        limit=limit,
        unit=row.get("unit", ""),
        source=row.get("source", ""),
    )


FIRST = ("levels_misclose", "levels_not_adjusted")
DEADLY = ("gas", "electric")


def worst_first(findings: list[Finding]) -> tuple[Finding, ...]:
    """Return the findings ordered stop, settle, note; within a level by what they are, then by crossing number and place.

    Levels that do not close come first in theirs: all others stand on them. Then what is about gas and electric lines, which kill.
    """
    return tuple(sorted(findings, key=_rank))


def _rank(f: Finding) -> tuple[Any, ...]:
    number = next((value for name, value in f.params if name == "number"), 0)
    # the kind of a service, or its id, which begins with it
    service = str(next((value for name, value in f.params if name == "service"), ""))
    return (
        LEVELS.index(f.level),
        f.kind not in FIRST,
        not service.startswith(DEADLY),
        f.kind,
        number,
        [_counted(i) for i in f.place.ids],
        f.place.station_ft or 0.0,
    )


@lru_cache(maxsize=20_000)
def _counted(name: str) -> tuple[str | int, ...]:
    """Return an id in pieces that sort as people count: R2 before R10."""
    return tuple([int(part) if i % 2 else part for i, part in enumerate(re.split("([0-9]+)", name))])
