"""The rows of the cut sheet pane as words: what stands at a station, what to dig and read, and what was read as laid."""

from collections.abc import Sequence

from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.levelling import LaidReading
from drainsketch.job.model import Job
from drainsketch.job.units import format_as_read, format_length, format_off, format_reading
from drainsketch.network.cutsheet import SAME_FT, CutMark, CutRow, CutSheet, can_be_read
from drainsketch.network.laid import Belly, LaidPoint, LaidRun, tolerance_ft, worst_off
from drainsketch.review import Review
from drainsketch.wording import Words

COLUMNS = (
    "Station",
    "What",
    "On pipe",
    "As laid",
    "Off plan",
    "On bottom",
    "Cut to trench bottom",
    "Ground",
    "Invert",
)
WHAT, ON_PIPE, AS_LAID, VERDICT = 1, 2, 3, 4
NOT_SHOT = "Not shot yet."
DO = {False: "Lift and bed it again", True: "Dig deeper"}  # by whether the pipe is high
NONE, CROSSING = "–", "◇ {}"  # a crossing goes by its flag, as on the plan


class PaneRow(Struct, frozen=True):
    """One row: the station to read at, its cells, how the reading there stands ('' while not shot), and where it is on the plan."""

    station_ft: float
    cells: tuple[str, ...]
    state: str  # '', 'holds' or 'lay again'
    point: Point | None
    tip: str = ""


def pane_rows(review: Review, sheet: CutSheet) -> tuple[PaneRow, ...]:
    """Return the rows of a run, the downstream end first, and after them readings past its upstream end."""
    job, words = review.job, Words(units=review.job.header.units)
    laid = review.laid.get(sheet.run_id)
    readings = {r.id: r for r in review.laying.readings}
    rows = []
    for row in sheet.rows:
        point = next((p for p in laid.points if abs(p.station_ft - row.station_ft) <= SAME_FT), None) if laid else None
        reading = readings[point.reading] if point is not None else _adrift(laid, row.station_ft)
        state = "lay again" if reading is not None else ""
        if point is not None and _holds(point, laid, job):
            state = "holds"
        cells = _cells(row, _read(reading, point, laid, words), _other_height(reading, sheet, words), words)
        at = reading.station_ft if reading is not None else row.station_ft
        tip = "\n".join(filter(None, (*_told(point, laid, words), *_taken(reading, words), _tip(row, sheet, words))))
        rows.append(PaneRow(at, cells, state, row.point, tip))
    return (*rows, *(_past_end(r, words) for r in (laid.beyond if laid else ())))


def mark_words(marks: Sequence[CutMark], crossing: str = "crossing {}") -> str:
    """Return what stands at a station, '' at a plain one; ``crossing`` says one by its number."""
    said = {
        "structure": "{}",
        "bend": "bend {}",
        "grade break": "grade break",
        "ground break": "ground breaks",
        "crossing": crossing,
        "station": "",
    }
    return ", ".join(said[m.kind].format(m.name) for m in marks if m.kind != "station")


def off_words(off_ft: float, words: Words) -> str:
    """Return how far a pipe is off the plan, as readings are taken: ``low 3/4 in``, ``high 0.04 ft``, ``on plan``."""
    said = format_off(off_ft, words.units)
    if said.split(" ")[0] in ("0", "0.00"):
        return "on plan"
    return f"{'high' if off_ft > 0 else 'low'} {said}"


def both_notations(reading_ft: float, words: Words) -> str:
    """Return a reading as it was typed, and as the sheet has its numbers where that is another notation."""
    typed, sheet = format_as_read(reading_ft, words.units), format_reading(reading_ft, words.units)
    return typed if typed == sheet else f"{typed} is {sheet}"


def verdict_words(laid: LaidRun | None, words: Words) -> tuple[str, str]:
    """Return the sign ('', 'holds', 'lay again') and the sentence of the verdict on a run."""
    if laid is None or not (laid.points or laid.beyond or laid.adrift):
        return "", NOT_SHOT
    lacking = ""
    if laid.lacking:
        first = ", ".join(_short(station, marks, words) for station, marks in laid.lacking[:3])
        more = len(laid.lacking) - 3
        lacking = f" Not shot yet: {first}{f' and {more} more' if more > 0 else ''}."
    if laid.beyond:
        lacking += f" Past the end: {len(laid.beyond)}."
    if laid.adrift:
        lacking += f" Without a height: {len(laid.adrift)}."
    if laid.verdict == "lay again":
        return "lay again", _why(laid, words) + lacking
    if laid.verdict == "not shot":
        return "", lacking.strip()
    return "holds", ("Holds so far." if laid.lacking else "Holds.") + lacking


def _why(laid: LaidRun, words: Words) -> str:
    """Return what is to be done with pipe that is off: low pipe is lifted and bedded, high pipe dug deeper, the worst first."""
    said = [
        f"{DO[p.off_ft > 0]} at station {words.length(p.station_ft)}: {off_words(p.off_ft, words)}"
        for p in worst_off(laid)
    ]
    standing = _standing(laid, words, ";" if said else "Lay it again at")
    return f"{'. '.join(said)}{standing}."


def _standing(laid: LaidRun, words: Words, lead: str) -> str:
    """Return where water would stand deepest, '' where it would not."""
    belly = max(laid.bellies, key=lambda b: b.depth_ft, default=None)
    if belly is None:
        return ""
    return (
        f"{lead} station {words.length(belly.low_ft)}: water would stand {format_off(belly.depth_ft, words.units)} deep"
    )


def _short(station_ft: float, marks: Sequence[CutMark], words: Words) -> str:
    return mark_words(marks) or words.length(station_ft)


def _cells(row: CutRow, read: tuple[str, str], height: str, words: Words) -> tuple[str, ...]:
    on_pipe, on_bottom = (
        NONE if z is None or not can_be_read(z) else format_reading(z, words.units)
        for z in (row.reading_ft, row.bottom_reading_ft)
    )
    return (
        words.length(row.station_ft),
        ", ".join(filter(None, (mark_words(row.marks, CROSSING), height))),
        on_pipe,
        *read,
        on_bottom,
        words.length(row.cut_ft),
        ("≈" if row.guess else "") + words.level(row.ground_ft),
        words.level(row.invert_ft),
    )


def _taken(reading: LaidReading | None, words: Words) -> tuple[str, ...]:
    if reading is None:
        return ()
    stood = f"rod on {reading.rod_on}"
    if reading.height_ft is not None:
        stood = f"read from {words.level(reading.height_ft)}, {stood}"
    return both_notations(reading.reading_ft, words), stood


def _adrift(laid: LaidRun | None, station_ft: float) -> LaidReading | None:
    """Return the reading at a station whose setup has no height now, or None."""
    near = (r for r in (laid.adrift if laid else ()) if abs(r.station_ft - station_ft) <= SAME_FT)
    return next(near, None)


def _other_height(reading: LaidReading | None, sheet: CutSheet, words: Words) -> str:
    """Return from which height a reading was taken, where that is not the one of the sheet; else ''."""
    if reading is None or reading.height_ft is None:
        return ""
    height = words.level(reading.height_ft)
    is_same = sheet.height_ft is not None and words.level(sheet.height_ft) == height
    return "" if is_same else f"read from {height}"


def _read(reading: LaidReading | None, point: LaidPoint | None, laid: LaidRun | None, words: Words) -> tuple[str, str]:
    """Return a reading as it was typed, and how the pipe lies by it."""
    if reading is None:
        return "", ""
    written = format_as_read(reading.reading_ft, words.units)
    if point is None or laid is None or reading.height_ft is None:
        return written, "✗ no height"
    off = off_words(point.off_ft, words)
    if point.ok and _belly_at(laid, point.station_ft) is not None:
        return written, "✗ holds water"
    return written, f"✓ {off}" if point.ok else f"✗ {off}"


def _told(point: LaidPoint | None, laid: LaidRun | None, words: Words) -> tuple[str, ...]:
    """Return how a reading stands to the plan, in full."""
    if point is None or laid is None:
        return ()
    belly = _belly_at(laid, point.station_ft)
    if belly is None:
        return (off_words(point.off_ft, words),)
    depth = format_off(belly.level_ft - point.invert_ft, words.units)
    return off_words(point.off_ft, words), f"water stands {depth} deep"


def _belly_at(laid: LaidRun, station_ft: float) -> Belly | None:
    return next((b for b in laid.bellies if b.from_ft <= station_ft <= b.to_ft and b.depth_ft > 1 / 192), None)


def _holds(point: LaidPoint, laid: LaidRun | None, job: Job) -> bool:
    belly = _belly_at(laid, point.station_ft) if laid is not None else None
    return point.ok and (belly is None or belly.depth_ft <= tolerance_ft(job.laying))


def _past_end(reading: LaidReading, words: Words) -> PaneRow:
    written = format_as_read(reading.reading_ft, words.units)
    cells = (words.length(reading.station_ft), "past end", NONE, written, "✗ no pipe there", *(NONE,) * 4)
    return PaneRow(reading.station_ft, cells, "lay again", None, "\n".join(_taken(reading, words)))


def _tip(row: CutRow, sheet: CutSheet, words: Words) -> str:
    said = [mark_words(row.marks)] if mark_words(row.marks) else []
    if words.units == "ft-in":
        said.append(f"cut to trench bottom {format_length(row.cut_ft, 'ft')}")
    if row.trouble == "above the line":
        said.append("Set up again: the pipe is above the line of sight.")
    if row.trouble == "beyond the rod":
        said.append("Set up again: the reading is longer than a 25 ft rod.")
    if row.is_close:
        said.append(
            f"The fall from the row before is less than a reading is rounded to; hold the slope, {words.slope(sheet.grade.slope)}."
        )
    return "\n".join(said)
