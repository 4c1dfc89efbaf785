"""The pages of the cut sheets and of the pipe as built: one table a run, to be read and written on at the trench."""

from collections.abc import Sequence
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, LongTable, Spacer, TableStyle

from drainsketch.job.model import Job
from drainsketch.look import INK, PAPER
from drainsketch.review import Review
from drainsketch.sheets.cut_tables import CutTable, benchmark_words, built_tables, cut_tables, without_sheet
from drainsketch.sheets.para import (
    CELL,
    CELL_RIGHT,
    CELL_STRONG,
    HEAD,
    HEAD_RIGHT,
    QUIET_TEXT,
    SMALL_STRONG,
    STRONG,
    Section,
    para,
)
from drainsketch.wording import Words

Names = dict[int, list[str]]
READ = ParagraphStyle("read", parent=CELL_RIGHT, fontName=CELL_STRONG.fontName, fontSize=11, leading=12.5)
LEFT = (1,)  # columns whose words stand at the left
ROWS_TOGETHER = 12  # a table of no more rows is not broken over pages
READ_SHADE, HEAD_SHADE, LINE = "#eef2e6", "#e9edf1", "#b9c0c8"
WRITE_PT = 4.5  # above and below, so that a row takes a pencil


def cut_pages(job: Job, review: Review, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the cut sheets of all runs; [] while there are no grades."""
    tables, lost = cut_tables(job, review, words), without_sheet(review)
    if not tables and not lost:
        return []
    metric = words.units == "m"
    story: list[Flowable] = [
        CondPageBreak(220),
        Section(words.word("sheets.cut.title"), names),
        para(words.word("sheets.cut.note"), QUIET_TEXT),
        *([para(said, STRONG)] if (said := benchmark_words(review, words)) else []),
        para(words.word("sheets.cut.caution_grade"), SMALL_STRONG),
        para(words.word("sheets.cut.caution_trench"), SMALL_STRONG),
    ]
    if lost:
        story.append(para(words.word("sheets.cut.no_sheet", runs=", ".join(map(words.name, lost))), STRONG))
    read = (5, 6) if metric else (6, 7)
    for table in tables:
        story += _of_run(table, words, width, names, read=read, write=read[1] + 1)
    return story


def built_pages(job: Job, review: Review, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the pipe as built: measured inverts of every run that was shot; [] while nothing was."""
    tables = built_tables(job, review, words)
    if not tables:
        return []
    note = words.word("sheets.built.note", tolerance=words.inches(job.laying.tolerance_in))
    story: list[Flowable] = [
        CondPageBreak(180),
        Section(words.word("sheets.built.title"), names),
        para(note, QUIET_TEXT),
    ]
    for table in tables:
        story += _of_run(table, words, width, names, read=(3,), write=None)
    return story


class _Rows(LongTable):  # type: ignore[misc]
    """The rows of a run; what goes on over the page carries the head of the run along, or it would be read as another's."""

    carried: tuple[tuple[str, ParagraphStyle], ...] = ()

    def split(self, width: float, height: float) -> list[Flowable]:
        """Return the part that fits, and the rest under the head of the run."""
        parts = super().split(width, height)
        if len(parts) != 2:
            return list(parts)
        parts[1].carried = self.carried
        return [parts[0], *(para(text, style) for text, style in self.carried), parts[1]]


def _of_run(
    table: CutTable, words: Words, width: float, names: Names, *, read: Sequence[int], write: int | None
) -> list[Flowable]:
    """Return the heading and the table of one run.

    Parameters
    ----------
    read : the columns that are read out at the trench, made to stand out
    write : the column that is left to be written in
    """
    said = ((table.about, CELL), (table.height, STRONG))
    head: list[Flowable] = [Section(table.title, names, level=1), *(para(text, style) for text, style in said)]
    made = _table(table, width, read, write)
    made.carried = ((words.word("sheets.cut.continued", title=table.title), STRONG), *said)
    notes: list[Flowable] = [para(note, CELL_STRONG) for note in table.notes]
    if len(table.rows) <= ROWS_TOGETHER:
        return [KeepTogether([*head, made, *notes]), Spacer(0, 4)]
    return [CondPageBreak(200), *head, made, *notes, Spacer(0, 4)]


def _table(table: CutTable, width: float, read: Sequence[int], write: int | None) -> _Rows:
    count = len(table.heads)
    shares = [1.6 if i == 1 else 1.25 if i in read or i == write else 1.0 for i in range(count)]
    widths = [width * s / sum(shares) for s in shares]
    body: list[list[Any]] = [[para(h, HEAD if i in LEFT else HEAD_RIGHT) for i, h in enumerate(table.heads)]]
    for row in table.rows:
        body.append(
            [para(t, CELL_STRONG if i in LEFT else READ if i in read else CELL_RIGHT) for i, t in enumerate(row)]
        )
    style: list[tuple[Any, ...]] = [
        ("FONT", (0, 0), (-1, -1), CELL.fontName, CELL.fontSize),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 1), (-1, -1), WRITE_PT),
        ("BOTTOMPADDING", (0, 1), (-1, -1), WRITE_PT),
        ("BACKGROUND", (0, 0), (-1, 0), HexColor(HEAD_SHADE)),
        ("LINEBELOW", (0, 0), (-1, 0), 0.9, HexColor(INK)),
        ("LINEBELOW", (0, 1), (-1, -1), 0.5, HexColor(LINE)),
        ("NOSPLIT", (0, 0), (0, min(2, len(table.rows)))),
    ]
    style += [("BACKGROUND", (i, 1), (i, -1), HexColor(READ_SHADE)) for i in read]
    if write is not None:
        style += [
            ("BACKGROUND", (write, 1), (write, -1), HexColor(PAPER)),
            ("GRID", (write, 1), (write, -1), 1.2, HexColor(INK)),
        ]
    return _Rows(body, colWidths=widths, repeatRows=1, style=TableStyle(style), hAlign="LEFT")
