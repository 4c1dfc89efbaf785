"""The cut sheets within ``check --json``: what every figure of the printed sheets comes from."""

from msgspec import Struct

from drainsketch.review import Review, cut_sheet_of


class CutPoint(Struct, frozen=True):
    """A row of a cut sheet: ``cut_ft`` is from the ground to the trench bottom; readings are null while there is no height."""

    station_ft: float
    what: tuple[str, ...]  # 'structure B1', 'bend 1', 'crossing 2', 'grade break', 'ground break', 'station'
    ground_ft: float
    ground_is_a_guess: bool
    invert_ft: float
    cut_ft: float
    reading_pipe_ft: float | None
    reading_bottom_ft: float | None


class CutSheetRow(Struct, frozen=True):
    """The cut sheet of a run from its downstream end up; its trench bottom lies ``bottom_below_invert_ft`` below the invert."""

    run: str
    length_ft: float
    bottom_below_invert_ft: float
    rows: tuple[CutPoint, ...]


def cut_report(review: Review) -> tuple[CutSheetRow, ...]:
    """Return the cut sheet of every run that can be laid, upstream to downstream."""
    found = []
    for flow in review.network.runs:
        sheet = cut_sheet_of(review, flow.id)
        if sheet is not None:
            rows = tuple(
                CutPoint(
                    station_ft=row.station_ft,
                    what=tuple(f"{m.kind} {m.name}".strip() for m in row.marks),
                    ground_ft=row.ground_ft,
                    ground_is_a_guess=row.guess,
                    invert_ft=row.invert_ft,
                    cut_ft=row.cut_ft,
                    reading_pipe_ft=row.reading_ft,
                    reading_bottom_ft=row.bottom_reading_ft,
                )
                for row in sheet.rows
            )
            found.append(CutSheetRow(flow.id, flow.length_ft, sheet.grade.bottom_below_invert_ft, rows))
    return tuple(found)
