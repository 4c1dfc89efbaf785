"""What ``check --json`` and ``takeoff --json`` print: documented, versioned, stable.

Lengths, levels, depths and clearances are feet, slopes ft/ft, pipe sizes inches, flows cfs; numbers are written in full. Version 1. A new
key may be added within a version; a key is removed or changes its meaning only with a new version.
"""

from typing import Any, Literal

import msgspec
from msgspec import Struct

from drainsketch.exports.cut_report import CutSheetRow, cut_report
from drainsketch.exports.storm_report import played_report
from drainsketch.exports.water_report import WaterReport, water_report
from drainsketch.findings import Finding
from drainsketch.network.results import Crossing
from drainsketch.review import Review
from drainsketch.study import Study, remedies_of
from drainsketch.takeoff.loading_words import load_name
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words

VERSION = 1
Pair = tuple[float, float]


class PlaceRow(Struct, frozen=True):
    """Where a finding is: ids of things, plan point (ft), station on a run (ft from its downstream end)."""

    ids: tuple[str, ...]
    point: Pair | None
    station_ft: float | None


class CureRow(Struct, frozen=True):
    """A way out, solved before it is offered; it ends the trouble of the things in ``settles``.

    ``keeps_limits``: every limit holds with it; else the water leaves with less cover or clearance than is asked.
    """

    kind: str
    text: str
    note: str
    settles: tuple[str, ...]
    keeps_limits: bool


class FindingRow(Struct, frozen=True):
    """A finding; ``value`` and ``limit`` are in ``unit``. ``reason`` says which limits are in conflict, '' where none are."""

    level: Literal["stop", "settle", "note"]
    kind: str
    text: str
    remedy: str
    place: PlaceRow
    value: float | None
    limit: float | None
    unit: str
    source: str
    reason: str = ""
    cures: tuple[CureRow, ...] = ()


class InvertRow(Struct, frozen=True):
    """The invert of an arriving run."""

    run: str
    invert_ft: float


class PitRow(Struct, frozen=True):
    """The pit of a dry well; ``depth_ft`` is below the lowest invert, ``dug_ft`` from the ground. ``outline``: its corners in plan."""

    length_ft: float
    width_ft: float
    depth_ft: float
    floor_ft: float | None
    dug_ft: float | None
    outline: tuple[Pair, ...]


class StructureRow(Struct, frozen=True):
    """A structure; levels are null until there are shots."""

    id: str
    kind: str
    point: Pair
    rim_ft: float | None
    ground_ft: float | None
    inverts_in: tuple[InvertRow, ...]
    invert_out_ft: float | None
    spare_lower_ft: float | None = None  # how much lower the grate and its ground may be before something breaks
    spare_higher_ft: float | None = None  # how much higher an outfall may be
    spare_keeps: str = ""  # 'limits', or 'fall' where only that it drains is left to break
    pit: PitRow | None = None


class RunRow(Struct, frozen=True):
    """A run in flow order; ``from`` and ``to`` are as drawn where it reaches no outfall.

    Least cover is that of the whole run, negative where pipe stands out of the ground. ``least_cover_outside_taper_ft`` leaves
    out the last feet to an open outfall, where no cover is asked (it is that of the whole run where all of it lies there).
    """

    id: str
    from_: str = msgspec.field(name="from")
    to: str
    length_ft: float
    use: str
    pipe: str
    diameter_in: float
    slope: float | None
    invert_up_ft: float | None
    invert_down_ft: float | None
    least_cover_ft: float | None
    least_cover_outside_taper_ft: float | None
    greatest_cover_ft: float | None
    least_cut_ft: float | None
    greatest_cut_ft: float | None
    chance_of_fall: float | None = None  # given the reading error of the job


class PathRow(Struct, frozen=True):
    """The way of the water from an inlet to its outfall."""

    inlet: str
    outfall: str
    runs: tuple[str, ...]
    length_ft: float
    fall_ft: float | None
    tightest_run: str | None
    slope_to_spare: float | None


class CheckReport(Struct, frozen=True):
    """The review of a job. ``water`` is what its storm does."""

    format: Literal["drainsketch-check"]
    version: int
    findings: tuple[FindingRow, ...]
    structures: tuple[StructureRow, ...]
    runs: tuple[RunRow, ...]
    paths: tuple[PathRow, ...]
    crossings: tuple[Crossing, ...]
    water: WaterReport | None = None
    cut_sheets: tuple[CutSheetRow, ...] = ()


class TakeoffRow(Struct, frozen=True):
    """One line of the takeoff."""

    item: str
    key: str
    group: str
    quantity: float
    unit: str
    rule: str
    arithmetic: str
    owners: tuple[str, ...]


class LoadRow(Struct, frozen=True):
    """A line of the loading list: ``key`` is that of a takeoff line, or the name of a tool, which has no quantity."""

    place: str
    item: str
    key: str
    quantity: float | None
    unit: str
    crossings: tuple[int, ...]


class TakeoffReport(Struct, frozen=True):
    """The takeoff of a job."""

    format: Literal["drainsketch-takeoff"]
    version: int
    stops: int  # findings at stop level: with any, the depths behind these quantities do not stand yet
    lines: tuple[TakeoffRow, ...]
    loading: tuple[LoadRow, ...] = ()


def check_report(
    review: Review, lang: str = "en", closer: Study | None = None, storm: Storm | None = None
) -> CheckReport:
    """Return the review, the closer look where there is one, and the storm that was played, as ``check --json`` prints it."""
    words = Words.of(review.job, lang)
    played = played_report(review.job, review.levels, storm) if storm is not None else None
    return CheckReport(
        format="drainsketch-check",
        version=VERSION,
        findings=tuple(_finding(f, words, closer) for f in review.findings),
        structures=_structures(review, closer),
        runs=_runs(review, closer),
        paths=tuple(
            PathRow(p.inlet, p.outfall, p.run_ids, p.length_ft, p.fall_ft, p.tightest_run, p.slope_to_spare)
            for p in review.paths
        ),
        crossings=review.crossings,
        water=water_report(review.job, closer.water, played) if closer is not None else None,
        cut_sheets=cut_report(review),
    )


def takeoff_report(review: Review, lang: str = "en") -> TakeoffReport:
    """Return the takeoff as ``takeoff --json`` prints it, in feet whatever the job's units."""
    words = Words(lang)
    stops = sum(f.level == "stop" for f in review.findings)
    rows = tuple(_line(line, words) for line in review.takeoff)
    loading = tuple(
        LoadRow(load.place, load_name(load, words), load.name, load.quantity, load.unit, load.crossings)
        for load in review.loading
    )
    return TakeoffReport(format="drainsketch-takeoff", version=VERSION, stops=stops, lines=rows, loading=loading)


def json_text(report: CheckReport | TakeoffReport) -> str:
    """Return a report as indented JSON."""
    return msgspec.json.format(msgspec.json.encode(report), indent=2).decode()


def report_schema(kind: Literal["check", "takeoff"]) -> dict[str, Any]:
    """Return the JSON Schema of what ``check --json`` or ``takeoff --json`` prints."""
    return msgspec.json.schema(CheckReport if kind == "check" else TakeoffReport)


def _finding(f: Finding, words: Words, closer: Study | None) -> FindingRow:
    place = PlaceRow(ids=f.place.ids, point=f.place.point, station_ft=f.place.station_ft)
    said = (words.sentence(f), words.remedy(f))
    reason, cures = remedies_of(closer, f) if closer is not None else (None, ())
    why = words.reason(reason.links, reason.short_ft, of_run=reason.of_run) if reason is not None else ""
    rows = tuple(CureRow(c.kind, *words.cure(c.kind, c.params), c.structures, c.keeps == "limits") for c in cures)
    return FindingRow(f.level, f.kind, *said, place, f.value, f.limit, f.unit, words.source(f), why, rows)


def _structures(review: Review, closer: Study | None) -> tuple[StructureRow, ...]:
    rows, pits = [], review.pits
    for s in review.job.structures:
        levels = review.levels.get(s.id)
        spare = closer.spare.get(s.id) if closer is not None else None
        p = pits.get(s.id)
        rows.append(
            StructureRow(
                id=s.id,
                kind=s.kind,
                point=s.point,
                rim_ft=levels.rim_ft if levels else s.rim_ft,
                ground_ft=levels.ground_ft if levels else None,
                inverts_in=tuple(InvertRow(run, level) for run, level in levels.inverts_in) if levels else (),
                invert_out_ft=levels.invert_out_ft if levels else None,
                spare_lower_ft=spare.lower_ft if spare else None,
                spare_higher_ft=spare.higher_ft if spare else None,
                spare_keeps=spare.keeps if spare else "",
                pit=PitRow(p.length_ft, p.width_ft, p.depth_ft, p.floor_ft, p.dug_ft, p.outline) if p else None,
            )
        )
    return tuple(rows)


def _runs(review: Review, closer: Study | None) -> tuple[RunRow, ...]:
    flows = {f.id: f for f in review.network.runs}
    rows = []
    for run in review.job.runs:
        flow, grade = flows.get(run.id), review.grades.get(run.id)
        rows.append(
            RunRow(
                id=run.id,
                from_=flow.upstream if flow else run.start,
                to=flow.downstream if flow else run.end,
                length_ft=review.lengths_ft[run.id],
                use=run.use,
                pipe=run.pipe,
                diameter_in=run.diameter_in,
                slope=grade.slope if grade else None,
                invert_up_ft=grade.invert_up_ft if grade else None,
                invert_down_ft=grade.invert_down_ft if grade else None,
                least_cover_ft=grade.least_cover_ft if grade else None,
                least_cover_outside_taper_ft=grade.asked_cover_ft if grade else None,
                greatest_cover_ft=grade.greatest_cover_ft if grade else None,
                least_cut_ft=grade.least_cut_ft if grade else None,
                greatest_cut_ft=grade.greatest_cut_ft if grade else None,
                chance_of_fall=closer.odds.get(run.id) if closer is not None else None,
            )
        )
    return tuple(rows)


def _line(line: TakeoffLine, words: Words) -> TakeoffRow:
    return TakeoffRow(
        item=words.item(line),
        key=line.item,
        group=line.group,
        quantity=line.quantity,
        unit=line.unit,
        rule=words.rule(line),
        arithmetic=words.arithmetic(line),
        owners=line.owners,
    )
