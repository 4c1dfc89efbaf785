"""The takeoff as a workbook: one sheet of quantities with their rules, one with the particulars of the job."""

import io
from pathlib import Path
from typing import Any

from drainsketch.exports.csv import TAKEOFF_COLUMNS, purchase_cells
from drainsketch.exports.text import one_line, write_export
from drainsketch.job.model import Job
from drainsketch.review import Review
from drainsketch.takeoff.buying import buying_of
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.wording import Words

# text stays text, whatever it begins with
SAFE_OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
_LONGEST_CELL = 32_767  # of the file format
_WIDTHS = (16, 52, 12, 8, 60, 70, 24, 12, 10, 14, 10)
WASTE, BUY = 7, 8  # columns; H and I in formulas, C the quantity, K what is in each
_HEADER_ROWS = ("client", "site", "contractor", "benchmark", "date")


def takeoff_xlsx(job: Job, review: Review, lang: str = "en") -> bytes:
    """Return the takeoff as an .xlsx workbook; what is bought of a line is a formula of its quantity and waste where no other line shares in it.

    Text is written as text: nothing in it becomes a formula or a link.
    """
    import xlsxwriter

    words = Words.of(job, lang)
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, SAFE_OPTIONS) as book:
        book.set_properties({"title": cell_text(job.header.title or words.word("sheets.untitled"))})
        write_takeoff_lines(book, words, review)
        write_particulars(book, words, job)
    return stream.getvalue()


def cell_text(text: str) -> str:
    """Return text as a cell takes it: on one line, and no longer than the file format allows."""
    clean = one_line(text)
    return clean if len(clean) <= _LONGEST_CELL else clean[: _LONGEST_CELL - 3] + "..."


def write_takeoff_lines(book: Any, words: Words, review: Review) -> None:
    """Write a sheet with every line of the takeoff."""
    sheet = book.add_worksheet(words.word("sheets.takeoff.title"))
    head = book.add_format({"bold": True, "bottom": 1, "valign": "top"})
    plain = book.add_format({"text_wrap": True, "valign": "top"})
    number = book.add_format({"num_format": "#,##0.00", "valign": "top"})
    count = book.add_format({"num_format": "#,##0", "valign": "top"})
    for column, (name, width) in enumerate(zip(TAKEOFF_COLUMNS, _WIDTHS, strict=True)):
        sheet.set_column(column, column, width)
        sheet.write_string(0, column, cell_text(words.word(f"takeoff.column.{name}")), head)
    lines = review.takeoff
    for row, line in enumerate(lines, start=1):
        sheet.write_string(row, 0, cell_text(words.word(f"takeoff.group.{line.group}")), plain)
        sheet.write_string(row, 1, cell_text(words.item(line)), plain)
        quantity, unit = words.measured(line)
        sheet.write_number(row, 2, quantity, count if line.unit == "each" else number)
        sheet.write_string(row, 3, cell_text(unit), plain)
        sheet.write_string(row, 4, cell_text(words.rule(line)), plain)
        sheet.write_string(row, 5, cell_text(words.arithmetic(line)), plain)
        sheet.write_string(row, 6, cell_text(" ".join(line.owners)), plain)
        buy = _buy_formula(line, row + 1, words)
        for column, value in enumerate(purchase_cells(line, words), start=WASTE):
            if column == BUY and buy and not isinstance(value, str):
                sheet.write_formula(row, column, buy, plain, value)
            elif isinstance(value, str):
                sheet.write_string(row, column, cell_text(value), plain)
            else:
                sheet.write_number(row, column, value, plain)
    sheet.freeze_panes(1, 2)
    sheet.autofilter(0, 0, max(1, len(lines)), len(TAKEOFF_COLUMNS) - 1)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _buy_formula(line: TakeoffLine, row: int, words: Words) -> str:
    """Return what is bought as a formula of quantity and waste in its row of the sheet; '' where it hangs on other rows too."""
    buying = buying_of(line)
    packed = buying is not None and buying.each != 1
    if buying is None or (words.units == "m" and not packed):
        return ""
    each, step = (f"/K{row}" if packed else ""), f"{buying.step:g}"
    return f"=ROUNDUP(ROUND(C{row}*(1+H{row}/100){each}/{step},6),0)*{step}"


def write_particulars(book: Any, words: Words, job: Job) -> None:
    """Write a sheet with the particulars of the job, its notes and cautions."""
    sheet = book.add_worksheet(words.word("sheets.notes"))
    head = book.add_format({"bold": True, "valign": "top"})
    plain = book.add_format({"text_wrap": True, "valign": "top"})
    sheet.set_column(0, 0, 16)
    sheet.set_column(1, 1, 90)
    sheet.write_string(0, 0, cell_text(job.header.title or words.word("sheets.untitled")), head)
    for row, name in enumerate(_HEADER_ROWS, start=1):
        sheet.write_string(row, 0, cell_text(words.word(f"sheets.title_block.{name}")), head)
        sheet.write_string(row, 1, cell_text(getattr(job.header, name)), plain)
    notes = (words.word("sheets.takeoff.note"), words.word("sheets.caution.plan"), words.word("sheets.caution.local"))
    for row, text in enumerate((*notes, job.header.notes), start=len(_HEADER_ROWS) + 2):
        sheet.write_string(row, 1, cell_text(text), plain)


def write_takeoff_xlsx(job: Job, review: Review, path: str | Path, lang: str = "en") -> None:
    """Write the takeoff workbook, whole or not at all. Raises SheetError when the file cannot be written."""
    write_export(path, takeoff_xlsx(job, review, lang))
