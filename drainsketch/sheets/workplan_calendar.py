"""The calendar of the work: months drawn as grids, with what is opened each day, its hold points and the days of the ticket."""

from calendar import SUNDAY, Calendar
from collections import Counter
from collections.abc import Sequence
from datetime import date
from itertools import groupby
from typing import Any

from msgspec import Struct
from reportlab.lib.colors import HexColor
from reportlab.platypus import CondPageBreak, Flowable, Spacer

from drainsketch.look import INK, LEVEL_COLORS, PAPER, QUIET
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, printable, shortened, wrapped
from drainsketch.sheets.para import QUIET_TEXT, STRONG, Section, para, schedule_flowables
from drainsketch.sheets.schedules import Column, Schedule
from drainsketch.sheets.workplan_pages import ticket_flowables
from drainsketch.takeoff.workplan.dates import WEEKDAYS
from drainsketch.takeoff.workplan.results import PlannedWork, WorkDay
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words

Names = dict[int, list[str]]
SIZE_PT, LINE_PT, PAD_PT, HEAD_PT, IDLE_PT = 9.0, 11.0, 3.0, 15.0, 22.0
MOST_LINES = 4
WORKED, OFF, GRID = "#eef2e6", "#f0f0ee", "#b9c0c8"


class Cell(Struct, frozen=True):
    """What stands in one day: lines under its number, its hold points, the days of the ticket at its foot."""

    lines: tuple[str, ...] = ()
    hold: str = ""
    ticket: tuple[tuple[str, str], ...] = ()  # text and color
    is_off: bool = False

    @property
    def height_pt(self) -> float:
        """Return the height it asks for."""
        rows = 1 + len(self.lines) + bool(self.hold) + len(self.ticket)
        return max(IDLE_PT, rows * LINE_PT + 2 * PAD_PT + 2)


class Month(Flowable):  # type: ignore[misc]
    """One month as a grid of weeks; weeks with nothing in them are low."""

    def __init__(self, year: int, month: int, cells: dict[date, Cell], heads: Sequence[str], width: float) -> None:
        super().__init__()
        self._weeks = Calendar(SUNDAY).monthdatescalendar(year, month)
        self._month, self._cells, self._heads, self._width = month, cells, heads, width
        self._heights = [
            max((cells[d].height_pt for d in week if d in cells and d.month == month), default=IDLE_PT)
            for week in self._weeks
        ]

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the room the month takes."""
        return self._width, HEAD_PT + sum(self._heights)

    def draw(self) -> None:
        """Paint the grid from its top."""
        canvas: Any = self.canv
        wide = self._width / 7
        y = sum(self._heights)
        canvas.setFont(NARROW_BOLD, SIZE_PT)
        canvas.setFillColor(HexColor(INK))
        for i, head in enumerate(self._heads):
            canvas.drawString(i * wide + PAD_PT, y + 4, head)
        for week, high in zip(self._weeks, self._heights, strict=True):
            y -= high
            for i, day in enumerate(week):
                if day.month == self._month:
                    self._cell(canvas, day, (i * wide, y, wide, high))

    def _cell(self, canvas: Any, day: date, box: tuple[float, float, float, float]) -> None:
        x, y, wide, high = box
        cell = self._cells.get(day, Cell())
        canvas.setStrokeColor(HexColor(GRID))
        canvas.setLineWidth(0.6)
        canvas.setFillColor(HexColor(WORKED if cell.lines else OFF if cell.is_off else PAPER))
        canvas.rect(x, y, wide, high, stroke=1, fill=1)
        top = y + high - PAD_PT - SIZE_PT
        canvas.setFillColor(HexColor(INK if cell.lines or cell.ticket else QUIET))
        canvas.setFont(NARROW_BOLD, SIZE_PT)
        first, *others = cell.lines or ("",)
        canvas.drawString(x + PAD_PT, top, str(day.day))
        canvas.drawRightString(x + wide - PAD_PT, top, first)
        canvas.setFont(NARROW, SIZE_PT)
        for line in others:
            top -= LINE_PT
            canvas.drawString(x + PAD_PT, top, line)
        if cell.hold:
            top -= LINE_PT
            self._band(canvas, cell.hold, INK, (x, top, wide))
        for text, color in cell.ticket:
            top -= LINE_PT
            self._band(canvas, text, color, (x, top, wide))

    def _band(self, canvas: Any, text: str, color: str, at: tuple[float, float, float]) -> None:
        x, base, wide = at
        canvas.setFillColor(HexColor(color))
        canvas.rect(x + 1.5, base - 2.4, wide - 3, LINE_PT - 0.6, stroke=0, fill=1)
        canvas.setFillColor(HexColor(PAPER))
        canvas.setFont(NARROW_BOLD, SIZE_PT)
        canvas.drawString(x + PAD_PT, base, shortened(printable(text), NARROW_BOLD, SIZE_PT, wide - 2 * PAD_PT))
        canvas.setFillColor(HexColor(INK))


def calendar_pages(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return ticket and calendar; without a first day the days as a table; [] where nothing is planned."""
    plan = contents.work
    if plan is None or not plan.days:
        return []
    say = Sayings(words)
    story: list[Flowable] = [
        CondPageBreak(260),
        Section(say.word("sheet.calendar"), names),
        *ticket_flowables(plan, say),
    ]
    cells = calendar_cells(contents, plan, say, width / 7 - 2 * PAD_PT)
    if plan.days[0].day is None:
        story.append(para(say.word("sheet.undated"), QUIET_TEXT))
        story += schedule_flowables(_as_table(plan, say), width, names)
    if not cells:
        return story
    story.append(para(say.word("sheet.calendar_note"), QUIET_TEXT))
    heads = [say.word(f"weekday.{name}") for name in (WEEKDAYS[SUNDAY], *WEEKDAYS[:SUNDAY])]
    months = [key for key, _ in groupby(sorted(cells), key=lambda d: (d.year, d.month))]
    for year, month in months:
        grid = Month(year, month, cells, heads, width)
        title = f"{say.word(f'month.{month}')} {year}"
        story += [CondPageBreak(grid.wrap(0, 0)[1] + 34), Spacer(0, 4), para(title, STRONG), grid]
    return story


def calendar_cells(contents: Contents, plan: PlannedWork, say: Sayings, room_pt: float) -> dict[date, Cell]:
    """Return what stands in the calendar, by day: days of work, days of the ticket, days off between them."""
    of_ticket: dict[date, list[tuple[str, str]]] = {}
    ticket, settle = plan.ticket, LEVEL_COLORS["settle"]
    for key, day, color in (
        ("asked", ticket.asked, QUIET),
        ("ready", ticket.ready, LEVEL_COLORS["note"]),
        ("good", ticket.good_through, LEVEL_COLORS["stop"]),
        ("again", ticket.ask_again_by, settle),
    ):
        if day is not None:
            of_ticket.setdefault(day, []).append((say.word(f"sheet.ticket_{key}"), color))
    worked = {d.day: d for d in plan.days if d.day is not None}
    off = {date.fromisoformat(day) for day in contents.job.work.days_off}
    days = {*worked, *of_ticket}
    days |= {day for day in off if days and min(days) <= day <= max(days)}
    return {
        day: Cell(
            lines=_lines(worked[day], plan, say, room_pt) if day in worked else (),
            hold=_holds(worked[day], say) if day in worked else "",
            ticket=tuple(of_ticket.get(day, ())),
            is_off=day in off,
        )
        for day in days
    }


def _holds(day: WorkDay, say: Sayings) -> str:
    return say.word("sheet.holds", holds=len(day.holds)) if day.holds else ""


def _lines(day: WorkDay, plan: PlannedWork, say: Sayings, room_pt: float) -> tuple[str, ...]:
    """Return day, feet opened, and where: as many places as go in, and how many more there are."""
    where = _where(day, plan, say, "short_span")
    for shown in range(len(where), -1, -1):
        rest = len(where) - shown
        told = [*where[:shown], *([say.word("sheet.more", more=rest)] if rest else [])]
        rows = wrapped(printable(", ".join(told)), NARROW, SIZE_PT, room_pt)
        if len(rows) <= MOST_LINES:
            break
    head = say.word("day", number=day.number)
    return (head, *([say.open(day)] if day.open_ft > 0 else []), *rows)


def _where(day: WorkDay, plan: PlannedWork, say: Sayings, span: str) -> list[str]:
    """Return the runs that are opened in a day, those of several stretches with their stations, and the structures worked at."""
    parts = Counter(s.run_id for s in plan.stretches)
    runs = [
        s.run_id if parts[s.run_id] == 1 else say.word(span, run=s.run_id, from_ft=s.from_ft, to_ft=s.to_ft)
        for s in plan.of_day(day.number)
    ]
    return [*runs, *dict.fromkeys(t.owner for t in day.tasks if t.owner and t.stretch == 0)]


def _as_table(plan: PlannedWork, say: Sayings) -> Schedule:
    rows = [
        (say.day(day), "; ".join(_where(day, plan, say, "span")), say.open(day), _holds(day, say)) for day in plan.days
    ]
    columns = (
        Column(say.word("rain.day"), 1.0),
        Column(say.word("rain.where"), 4.0),
        Column(say.word("rain.feet"), 1.3),
        Column(say.word("hold"), 1.2),
    )
    return Schedule(say.word("sheet.days"), columns, tuple(rows), "")
