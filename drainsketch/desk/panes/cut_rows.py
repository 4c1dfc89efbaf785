"""The rows of the cut sheet pane as words: what stands at a station, what to dig and read, and what was read as laid."""

from collections.abc import Sequence

from msgspec import Struct

from drainsketch.job.model import Job, LaidReading, Point
from drainsketch.job.units import format_reading
from drainsketch.network.cutsheet import SAME_FT, CutMark, CutRow, CutSheet, can_be_read
from drainsketch.network.laid import Belly, LaidPoint, LaidRun, tolerance_ft
from drainsketch.review import Review
from drainsketch.wording import Words

COLUMNS = (
    "Station",
    "What",
    "Ground",
    "Invert",
    "Cut",
    "On pipe",
    "On bottom",
    "As laid",
    "Off plan",
)
AS_LAID, VERDICT = 7, 8
NONE = "–"


class PaneRow(Struct, frozen=True):
    """One row: the station to read at, its cells, how the reading there stands ('' while not shot), and where it is on the plan."""

    station_ft: float
    cells: tuple[str, ...]
    state: str  # '', 'holds' or 'dig again'
    point: Point | None
    tip: str = ""


def pane_rows(review: Review, sheet: CutSheet) -> tuple[PaneRow, ...]:
    """Return the rows of a run, the downstream end first, and after them readings past its upstream end."""
    job, words = review.job, Words(units=review.job.header.units)
    laid = review.laid.get(sheet.run_id)
    readings = {r.id: r for r in job.laying.readings}
    rows = []
    for row in sheet.rows:
        point = next((p for p in laid.points if abs(p.station_ft - row.station_ft) <= SAME_FT), None) if laid else None
        reading = readings[point.reading] if point is not None else None
        state = "" if point is None else "holds" if _holds(point, laid, job) else "dig again"
        cells = (*_planned(row, words), *_read(reading, point, laid, words))
        at = reading.station_ft if reading is not None else row.station_ft
        tip = "\n".join(filter(None, (cells[VERDICT], _taken(reading, words), _tip(row, sheet, words))))
        rows.append(PaneRow(at, cells, state, row.point, tip))
    return (*rows, *(_past_end(r, words) for r in (laid.beyond if laid else ())))


def mark_words(marks: Sequence[CutMark]) -> str:
    """Return what stands at a station, '' at a plain one."""
    said = {
        "structure": "{}",
        "bend": "bend {}",
        "grade break": "grade break",
        "crossing": "crossing {}",
        "station": "",
    }
    return ", ".join(said[m.kind].format(m.name) for m in marks if m.kind != "station")


def off_words(off_ft: float, words: Words) -> str:
    """Return how far a pipe is off the plan: ``3/4 in low``, ``on plan``."""
    said = words.inches(abs(off_ft) * 12)
    if said.split(" ")[0] == "0":
        return "on plan"
    return f"{said} {'high' if off_ft > 0 else 'low'}"


def verdict_words(laid: LaidRun | None, words: Words) -> tuple[str, str]:
    """Return the sign ('', 'holds', 'dig again') and the sentence of the verdict on a run."""
    if laid is None or not (laid.points or laid.beyond):
        return "", "Not shot yet."
    lacking = ""
    if laid.lacking:
        first = ", ".join(_short(station, marks, words) for station, marks in laid.lacking[:3])
        more = len(laid.lacking) - 3
        lacking = f" Not shot yet: {first}{f' and {more} more' if more > 0 else ''}."
    if laid.beyond:
        lacking += f" Past the end: {len(laid.beyond)}."
    if laid.verdict == "dig again":
        return "dig again", f"Dig again{_why(laid, words)}.{lacking}"
    if laid.verdict == "not shot":
        return "", lacking.strip()
    return "holds", ("Holds so far." if laid.lacking else "Holds.") + lacking


def _why(laid: LaidRun, words: Words) -> str:
    off = [p for p in laid.points if not p.ok]
    if off:
        worst = max(off, key=lambda p: abs(p.off_ft))
        where = f" at station {words.length(worst.station_ft)}: {off_words(worst.off_ft, words)}"
        return where + _standing(laid, words, ";")
    return _standing(laid, words, " at")


def _standing(laid: LaidRun, words: Words, lead: str) -> str:
    """Return where water would stand deepest, '' where it would not."""
    belly = max(laid.bellies, key=lambda b: b.depth_ft, default=None)
    if belly is None:
        return ""
    return f"{lead} station {words.length(belly.low_ft)}: water would stand {words.inches(belly.depth_ft * 12)} deep"


def _short(station_ft: float, marks: Sequence[CutMark], words: Words) -> str:
    return mark_words(marks) or words.length(station_ft)


def _planned(row: CutRow, words: Words) -> tuple[str, ...]:
    bottom = row.bottom_reading_ft
    return (
        words.length(row.station_ft),
        mark_words(row.marks),
        ("≈" if row.guess else "") + words.level(row.ground_ft),
        words.level(row.invert_ft),
        words.length(row.cut_ft),
        *(NONE if z is None or not can_be_read(z) else _numbers(z, words) for z in (row.reading_ft, bottom)),
    )


def _taken(reading: LaidReading | None, words: Words) -> str:
    return "" if reading is None else f"read from {words.level(reading.height_ft)}, rod on {reading.rod_on}"


def _numbers(reading_ft: float, words: Words) -> str:
    return format_reading(reading_ft, words.units)


def _read(reading: LaidReading | None, point: LaidPoint | None, laid: LaidRun | None, words: Words) -> tuple[str, str]:
    if reading is None:
        return "", ""
    written = _numbers(reading.reading_ft, words)
    if point is None or laid is None:
        return written, ""
    off = off_words(point.off_ft, words)
    said = f"✓ {off}" if point.ok else f"✗ {off}"
    belly = _belly_at(laid, point.station_ft)
    if belly is not None:
        depth = words.inches((belly.level_ft - point.invert_ft) * 12)
        said = f"✗ {off}; water stands {depth}" if point.ok else f"{said}; water stands {depth}"
    return written, said


def _belly_at(laid: LaidRun, station_ft: float) -> Belly | None:
    return next((b for b in laid.bellies if b.from_ft <= station_ft <= b.to_ft and b.depth_ft > 1 / 192), None)


def _holds(point: LaidPoint, laid: LaidRun | None, job: Job) -> bool:
    belly = _belly_at(laid, point.station_ft) if laid is not None else None
    return point.ok and (belly is None or belly.depth_ft <= tolerance_ft(job.laying))


def _past_end(reading: LaidReading, words: Words) -> PaneRow:
    blank = (NONE,) * 5
    cells = (
        words.length(reading.station_ft),
        "past the end",
        *blank,
        _numbers(reading.reading_ft, words),
        "✗ no pipe there",
    )
    return PaneRow(reading.station_ft, cells, "dig again", None)


def _tip(row: CutRow, sheet: CutSheet, words: Words) -> str:
    said = [f"cut {row.cut_ft:.2f} ft"] if words.units != "m" else []
    if row.trouble == "above the line":
        said.append("Set up again: the pipe is above the line of sight.")
    if row.trouble == "beyond the rod":
        said.append("Set up again: the reading is longer than a 25 ft rod.")
    if row.is_close:
        said.append(
            f"The fall from the row before is less than a reading is rounded to; hold the slope, {words.slope(sheet.grade.slope)}."
        )
    return "\n".join(said)
