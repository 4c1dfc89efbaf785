"""The cut sheets as comma-separated values: a line a station, all runs in one file, with what was read as laid."""

from pathlib import Path

from drainsketch.exports.csv import csv_text
from drainsketch.exports.text import inert_cell, write_export
from drainsketch.job.levelling import Laying
from drainsketch.job.model import Job
from drainsketch.job.units import METER_PER_FOOT, format_length
from drainsketch.network.cutsheet import CutMark, CutRow
from drainsketch.network.laid import LaidPoint
from drainsketch.review import Review, cut_sheet_of

COLUMNS = (
    "run",
    "station_ft",
    "what",
    "ground_ft",
    "invert_ft",
    "trench_bottom_ft",
    "cut_to_trench_bottom_ft",
    "cut_to_trench_bottom_ft_in",
    "height_ft",
    "rod_on",
    "reading_pipe_ft",
    "reading_bottom_ft",
    "laid_invert_ft",
    "laid_off_ft",
)
PLACES = 3
Cell = str | float


def cut_sheet_csv(job: Job, review: Review) -> str:
    """Return the cut sheets of all runs as CSV, upstream to downstream, each from its downstream end up.

    Figures are feet to 0.001, or meters to 0.001 in a metric job, as the heads say; what is not known is left empty.
    """
    metric = job.header.units == "m"
    heads: list[Cell] = [
        name.replace("_ft", "_m") if metric and not name.endswith("_ft_in") else name for name in COLUMNS
    ]
    rows = [heads]
    for flow in review.network.runs:
        sheet = cut_sheet_of(review, flow.id)
        laid = review.laid.get(flow.id)
        if sheet is None and flow.id in review.grades:
            rows.append([inert_cell(flow.id), "", "no grade: cannot drain as drawn", *[""] * (len(COLUMNS) - 3)])
        for row in sheet.rows if sheet is not None else ():
            near = (p for p in (laid.points if laid else ()) if abs(p.station_ft - row.station_ft) <= 0.05)
            rows.append(_row(flow.id, row, next(near, None), review.laying, metric))
    return csv_text(rows)


def _row(run: str, row: CutRow, laid: LaidPoint | None, laying: Laying, metric: bool) -> list[Cell]:
    scale = float(METER_PER_FOOT) if metric else 1.0

    def figure(feet: float | None) -> Cell:
        return "" if feet is None else round(feet * scale, PLACES) + 0.0

    return [
        inert_cell(run),
        figure(row.station_ft),
        inert_cell(_what(row.marks)),
        figure(row.ground_ft),
        figure(row.invert_ft),
        figure(row.bottom_ft),
        figure(row.cut_ft),
        inert_cell(format_length(row.cut_ft, "ft-in")),
        figure(laying.height_ft),
        laying.rod_on,
        figure(row.reading_ft),
        figure(row.bottom_reading_ft),
        figure(laid.invert_ft if laid else None),
        figure(laid.off_ft if laid else None),
    ]


def _what(marks: tuple[CutMark, ...]) -> str:
    return ", ".join(f"{m.kind} {m.name}".strip() for m in marks if m.kind != "station")


def write_cut_sheet_csv(job: Job, review: Review, path: str | Path) -> None:
    """Write the cut sheets; UTF-8 with a byte order mark, by which spreadsheet programs know it. Raises SheetError."""
    write_export(path, cut_sheet_csv(job, review).encode("utf-8-sig"))
