"""The order of work for the crew: every day with its blocks, boxes to tick, hold points, and how each step is done."""

from decimal import Decimal
from itertools import groupby
from typing import Any, get_args

from reportlab.lib.colors import HexColor
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, LongTable, Spacer, Table, TableStyle

from drainsketch.look import INK, LEVEL_COLORS
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.para import (
    CELL,
    CELL_RIGHT,
    CELL_STRONG,
    HEAD,
    HEAD_RIGHT,
    QUIET_TEXT,
    SMALL,
    SMALL_STRONG,
    STRONG,
    Section,
    para,
)
from drainsketch.sheets.step_boxes import Step, StepBoxes
from drainsketch.takeoff.workplan.results import Note, PlannedWork, Task, TaskKind, WorkDay
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words

Names = dict[int, list[str]]
HEAD_SHADE, LINE = "#e9edf1", "#b9c0c8"
SHARES = (1.6, 0.5, 4.2, 0.9)  # where, hours, steps, time

OF_THE_OFFICE = ("machine_days", "hours_unknown", "example_rates")  # what the price lacks is no business of the crew


def order_pages(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the order of work; where no pipe can be laid as it lies that alone; [] where nothing is planned."""
    plan = contents.work
    if plan is None or not (plan.days or stopped(plan)):
        return []
    say = Sayings(words)
    if not plan.days:
        return [CondPageBreak(120), Section(say.word("sheet.order"), names), *_notes(plan, say, width)]
    order = "basins" if contents.job.work.order == "basins first" else "outfall"
    story: list[Flowable] = [
        CondPageBreak(240),
        Section(say.word("sheet.order"), names),
        para(f"{say.crew(plan)} {say.word(f'order.{order}')}", STRONG),
        *([para(said, SMALL_STRONG)] if (said := say.unplanned(plan)) else []),
        *_notes(plan, say, width),
        para(say.word("sheet.note"), SMALL),
        para(f"{say.word('hold')}. {say.hold(say.word('sheet.every'), plan.tolerance_in)}", SMALL_STRONG),
    ]
    for day in plan.days:
        story += _day(day, plan, say, width)
    return story + _craft(plan, say, names, width)


def stopped(plan: PlannedWork) -> tuple[Note, ...]:
    """Return what is said of pipe that cannot be laid as it lies; () where all can."""
    return tuple(note for note in plan.notes if note.kind == "not_workable")


def ticket_flowables(plan: PlannedWork, say: Sayings) -> list[Flowable]:
    """Return how the locate ticket stands, with what is always said of it."""
    lines = [para("  ·  ".join(say.ticket(plan)), STRONG)]
    return [*lines, *(para(said, SMALL_STRONG) for said in say.cautions)]


def _notes(plan: PlannedWork, say: Sayings, width: float) -> list[Flowable]:
    """Return what has to be stopped for or settled, each with a bar of its level, then the notes."""
    rows: list[list[Any]] = []
    style: list[tuple[Any, ...]] = []
    for note in plan.notes:
        text, remedy = say.note(note)
        if note.level == "note" or note.kind in OF_THE_OFFICE:
            continue
        style.append(("LINEBEFORE", (0, len(rows)), (0, len(rows)), 4, HexColor(LEVEL_COLORS[note.level])))
        rows.append([[para(text, CELL_STRONG), para(remedy, CELL)]])
    story: list[Flowable] = []
    if rows:
        pads = [("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 3)]
        font = ("FONT", (0, 0), (-1, -1), CELL.fontName, CELL.fontSize)
        story = [Table(rows, colWidths=[width], style=TableStyle([font, *pads, *style]), hAlign="LEFT"), Spacer(0, 3)]
    others = (note for note in plan.notes if note.level == "note" and note.kind not in OF_THE_OFFICE)
    return story + [para(" ".join(say.note(note)), SMALL) for note in others]


def _day(day: WorkDay, plan: PlannedWork, say: Sayings, width: float) -> list[Flowable]:
    told = [say.day(day), _tenths(day.hours, say), say.open(day)]
    told += [say.word("loads", loads=day.loads)] if day.loads else []
    head: list[Flowable] = [Spacer(0, 6), para("  ·  ".join(t for t in told if t), STRONG)]
    if said := say.overnight(day):
        head.append(para(said, CELL_STRONG))
    rows: list[list[Any]] = [
        [
            para(say.word("sheet.block"), HEAD),
            para(say.word("sheet.hours"), HEAD_RIGHT),
            para(say.word("sheet.steps"), HEAD),
            para(say.word("sheet.time"), HEAD),
        ]
    ]
    for _, group in groupby(day.tasks, key=lambda t: (t.owner, t.stretch)):
        rows.append(_block(tuple(group), say))
    table = LongTable(rows, colWidths=[width * s / sum(SHARES) for s in SHARES], repeatRows=1, hAlign="LEFT")
    table.setStyle(_style(len(rows)))
    return [KeepTogether([*head, table])] if len(rows) <= 8 else [CondPageBreak(150), *head, table]


def _style(rows: int) -> TableStyle:
    return TableStyle(
        [
            ("FONT", (0, 0), (-1, -1), CELL.fontName, CELL.fontSize),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 4),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ("TOPPADDING", (0, 1), (-1, -1), 4),
            ("BOTTOMPADDING", (0, 1), (-1, -1), 3),
            ("BACKGROUND", (0, 0), (-1, 0), HexColor(HEAD_SHADE)),
            ("LINEBELOW", (0, 0), (-1, 0), 0.9, HexColor(INK)),
            ("LINEBELOW", (0, 1), (-1, -1), 0.5, HexColor(LINE)),
            ("BOX", (3, 1), (3, -1), 1.0, HexColor(INK)),
            ("NOSPLIT", (0, 0), (0, min(2, rows - 1))),
            ("NOSPLIT", (0, -min(3, rows)), (0, -1)),  # no lone row at the head of a page
        ]
    )


def _block(tasks: tuple[Task, ...], say: Sayings) -> list[Any]:
    first = tasks[0]
    where = say.where(next((t for t in tasks if not t.crossings), first)) if first.owner else say.word("whole")
    counted = [t.hours for t in tasks if t.hours is not None]
    hours = _tenths(sum(counted, Decimal(0)), say) if counted else ""
    steps = tuple(Step(_step(task, say), task.is_hold) for task in tasks)
    return [para(where, CELL_STRONG), para(hours, CELL_RIGHT), StepBoxes(steps), ""]


def _step(task: Task, say: Sayings) -> str:
    short = say.word(f"short.{task.kind}") if task.owner else say.task(task)
    if task.crossings:
        short += f": {say.word('crossing', numbers=tuple(str(n) for n in task.crossings))}"
    return f"{short} ({say.word('goes_on')})" if task.goes_on else short


def _tenths(hours: Decimal, say: Sayings) -> str:
    """Return hours to the tenth; less than one as such."""
    if 0 < hours < Decimal("0.05"):
        return f"<{say.word('hours', hours='0.1')}"
    return say.word("hours", hours=f"{hours:.1f}")


def _craft(plan: PlannedWork, say: Sayings, names: Names, width: float) -> list[Flowable]:
    done = {t.kind for d in plan.days for t in d.tasks} - {"other"}
    kinds = [kind for kind in get_args(TaskKind) if kind in done]
    rows = [[para(say.word(f"task.{kind}"), CELL_STRONG), para(say.craft(kind), CELL)] for kind in kinds]
    table = LongTable(rows, colWidths=[width * 0.2, width * 0.8], hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), CELL.fontName, CELL.fontSize),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
                ("LINEBELOW", (0, 0), (-1, -1), 0.5, HexColor(LINE)),
            ]
        )
    )
    return [
        CondPageBreak(220),
        Section(say.word("sheet.craft"), names),
        para(say.word("sheet.craft_note"), QUIET_TEXT),
        table,
    ]
