"""Comma-separated values (RFC 4180): the takeoff for a spreadsheet, the points for staking out."""

import csv
import io
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.exports.text import inert_cell, write_export
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.review import Review
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.wording import Words

TAKEOFF_COLUMNS = (
    *("group", "item", "quantity", "unit", "rule", "arithmetic", "owners"),
    *("waste_pct", "buy", "buy_unit", "buy_each"),
)


class StakePoint(Struct, frozen=True):
    """A point to stake out or to check in on; ``elevation_ft`` None where the ground is not known."""

    point: Point
    elevation_ft: float | None
    description: str


def takeoff_csv(job: Job, review: Review, lang: str = "en") -> str:
    """Return the takeoff as CSV, in the job's units to 0.0001, each line with its rule and arithmetic."""
    words = Words.of(job, lang)
    rows: list[list[str | float]] = [[words.word(f"takeoff.column.{name}") for name in TAKEOFF_COLUMNS]]
    for line in review.takeoff:
        quantity, unit = words.measured(line)
        rows.append(
            [
                inert_cell(words.word(f"takeoff.group.{line.group}")),
                inert_cell(words.item(line)),
                round(quantity, 4),
                inert_cell(unit),
                inert_cell(words.rule(line)),
                inert_cell(words.arithmetic(line)),
                inert_cell(" ".join(line.owners)),
                *purchase_cells(line, words),
            ]
        )
    return csv_text(rows)


def purchase_cells(line: TakeoffLine, words: Words) -> tuple[float | str, float | str, str, float | str]:
    """Return waste, how much to buy, by what it is bought and how much is in each; '' for what is not bought."""
    bought = words.to_buy(line)
    if bought is None:
        return line.waste_pct or "", "", "", ""
    each = "" if line.buy_each == 1 else round(words.measured(replace(line, quantity=line.buy_each))[0], 4)
    return line.waste_pct, round(bought[0], 4), inert_cell(bought[1]), each


def points_csv(job: Job, review: Review) -> str:
    """Return the points for staking out as CSV: number, northing, easting, elevation, description (P,N,E,Z,D), feet.

    Structures come first (elevation of the rim, inverts in the description), then the bends of runs and the crossings with
    services (ground), then the shots (ground, to check in on). An elevation that is not known is left empty, and one that
    is a guess outside the shots says so.
    """
    rows: list[list[str | float]] = [["P", "N", "E", "Z", "D"]]
    for number, stake in enumerate(stake_points(job, review), start=1):
        level = "" if stake.elevation_ft is None else round(stake.elevation_ft, 3)
        rows.append([number, round(stake.point[1], 3), round(stake.point[0], 3), level, inert_cell(stake.description)])
    return csv_text(rows)


def stake_points(job: Job, review: Review) -> tuple[StakePoint, ...]:
    """Return the points of ``points_csv`` in its order."""
    points = [_structure_stake(review, s.id, s.kind, s.point) for s in job.structures]
    for run in job.runs:
        points += [_ground_stake(review, at, f"{run.id} bend {i}") for i, at in enumerate(run.via, start=1)]
    for crossing in review.crossings:
        what = f"crossing {crossing.number}: {crossing.run_id} with {crossing.other} {crossing.other_kind}"
        points.append(_ground_stake(review, crossing.point, what))
    points += [StakePoint(s.point, s.elevation_ft, f"{s.id} shot {s.name}".strip()) for s in review.shots]
    return tuple(points)


def _structure_stake(review: Review, structure_id: str, kind: str, point: Point) -> StakePoint:
    levels = review.levels.get(structure_id)
    if levels is None:
        return StakePoint(point, None, f"{structure_id} {kind}")
    said = [f"{structure_id} {kind} rim"]
    if levels.no_invert:
        said.append("no invert: cannot drain")
        levels = replace(levels, inverts_in=(), invert_out_ft=None)
    said += [f"inv in {run} {invert:.2f}" for run, invert in levels.inverts_in]
    said += [f"inv out {levels.invert_out_ft:.2f}"] if levels.invert_out_ft is not None else []
    said += ["ground is a guess"] if levels.guess else []
    return StakePoint(point, levels.rim_ft, ", ".join(said))


def _ground_stake(review: Review, point: Point, what: str) -> StakePoint:
    if review.surface is None:
        return StakePoint(point, None, what)
    level, guess = review.surface.level_at(*point)
    return StakePoint(point, level, f"{what}, ground is a guess" if guess else what)


def csv_text(rows: list[list[str | float]]) -> str:
    """Return rows as CSV: quoted where needed, lines end in CR LF (RFC 4180)."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows(rows)
    return text.getvalue()


def write_takeoff_csv(job: Job, review: Review, path: str | Path, lang: str = "en") -> None:
    """Write the takeoff; UTF-8 with a byte order mark, by which spreadsheet programs know it. Raises SheetError."""
    write_export(path, takeoff_csv(job, review, lang).encode("utf-8-sig"))


def write_points_csv(job: Job, review: Review, path: str | Path) -> None:
    """Write the points for staking out; UTF-8, plain ASCII unless a shot's name is not. Raises SheetError."""
    write_export(path, points_csv(job, review).encode())
