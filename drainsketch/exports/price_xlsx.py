"""A price as a workbook that goes on reckoning: quantities, prices and terms are cells, all that follows from them is formulas."""

import io
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from drainsketch.exports.price_text import invented, said_unit
from drainsketch.exports.text import write_export
from drainsketch.exports.xlsx import SAFE_OPTIONS, cell_text, write_particulars, write_takeoff_lines
from drainsketch.job.price_terms import PriceTerms
from drainsketch.review import Review
from drainsketch.takeoff.price.results import GROUPS, Price, PricedLine, Step
from drainsketch.wording import Words

COLUMNS = ("group", "item", "quantity", "unit", "unit_price", "amount", "taxed", "source", "arithmetic")
WIDTHS = (13, 50, 11, 12, 12, 13, 8, 11, 80)
QUANTITY, EACH, AMOUNT, TAXED = "C", "E", "F", "G"
HALF = "1E-9"  # what is just half a cent in figures goes up in every program, whatever its floating point makes of it


def price_xlsx(review: Review, made: Price, terms: PriceTerms, lang: str = "en") -> bytes:
    """Return a price as an .xlsx workbook: the price, the takeoff it comes from, and the particulars of the job.

    Amounts are quantity times price, and every sum, share, tax and rounding is a formula over them: who changes a quantity, a price or
    a share in the workbook sees the total follow. What has no price has no amount, and the total says so.
    """
    import xlsxwriter

    words = Words.of(review.job, lang)
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, SAFE_OPTIONS) as book:
        book.set_properties({"title": cell_text(review.job.header.title or words.word("sheets.untitled"))})
        _PriceSheet(book, words).write(made, terms)
        write_takeoff_lines(book, words, review)
        write_particulars(book, words, review.job)
    return stream.getvalue()


def write_price_xlsx(review: Review, made: Price, terms: PriceTerms, path: str | Path, lang: str = "en") -> None:
    """Write the price workbook, whole or not at all. Raises SheetError when the file cannot be written."""
    write_export(path, price_xlsx(review, made, terms, lang))


class _PriceSheet:
    """The sheet with the price, written from the top down."""

    def __init__(self, book: Any, words: Words) -> None:
        self._words = words
        self._yes = words.word("price.yes")  # what the column of taxed lines is summed by
        self._sheet = book.add_worksheet(words.word("price.sheet"))
        money = '"$"#,##0.00;[Red]-"$"#,##0.00'
        self._head = book.add_format({"bold": True, "bottom": 1, "valign": "top", "text_wrap": True})
        self._plain = book.add_format({"text_wrap": True, "valign": "top"})
        self._number = book.add_format({"num_format": "#,##0.00", "valign": "top"})
        self._money = book.add_format({"num_format": money, "valign": "top"})
        self._share = book.add_format({"num_format": "0.0##%", "valign": "top"})
        self._strong = book.add_format({"bold": True, "top": 1, "num_format": money, "valign": "top"})
        self._warning = book.add_format({"bold": True, "font_color": "#B00020", "valign": "top"})
        self._row = 0

    def write(self, made: Price, terms: PriceTerms) -> None:
        """Write warnings, lines, and the steps from their sum to the total."""
        sheet, words = self._sheet, self._words
        for said in self._warnings(made):
            sheet.write_string(self._row, 0, cell_text(said), self._warning)
            self._row += 1
        top = self._row
        for column, (name, width) in enumerate(zip(COLUMNS, WIDTHS, strict=True)):
            sheet.set_column(column, column, width)
            sheet.write_string(top, column, cell_text(words.word(f"price.column.{name}")), self._head)
        first = self._row = top + 1
        for group in dict.fromkeys((*GROUPS, *(line.group for line in made.lines))):
            begins, above = self._row, Decimal(0)
            for line in (some for some in made.lines if some.group == group):
                self._line(line, begins, above)
                above += line.amount or 0
        if made.lines:
            self._steps(made, terms, (first + 1, self._row))
        sheet.freeze_panes(top + 1, 2)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(top)
        sheet.set_footer("&C&P / &N")

    def _warnings(self, made: Price) -> list[str]:
        words = self._words
        found = list(invented(made, words))
        missing = sum(line.amount is None for line in made.lines)
        return found + ([words.word("price.not_complete", lines=missing)] if missing else [])

    def _line(self, line: PricedLine, begins: int, above: Decimal) -> None:
        """Write a line. ``begins`` is the first row of its group, ``above`` the sum of the group's lines above it."""
        sheet, words, row = self._sheet, self._words, self._row
        self._row += 1
        sheet.write_string(row, 0, cell_text(words.word(f"price.group.{line.group}")), self._plain)
        sheet.write_string(row, 1, cell_text(words.priced(line.item, line.params)), self._plain)
        sheet.write_string(row, 3, cell_text(said_unit(line, words)), self._plain)
        sheet.write_string(row, 6, self._yes if line.taxed else words.word("price.no"), self._plain)
        sheet.write_string(row, 7, cell_text(words.word(f"price.source.{line.source.replace(' ', '_')}")), self._plain)
        sheet.write_string(row, 8, cell_text(line.arithmetic), self._plain)
        if line.quantity is not None:
            sheet.write_number(row, 2, float(line.quantity), self._number)
        if line.unit_price is not None:
            sheet.write_number(row, 4, float(line.unit_price), self._money)
        if line.amount is None:
            sheet.write_string(row, 5, cell_text(words.word("price.none")), self._warning)
        elif line.item == "minimum_labor" and row > begins:
            sheet.write_number(row, 4, float(line.amount + above), self._money)
            others = f"SUM({AMOUNT}{begins + 1}:{AMOUNT}{row})"
            self._formula(row, f"MAX(0,{EACH}{row + 1}-{others})", line.amount)
        else:
            self._formula(row, _to_cent(f"{QUANTITY}{row + 1}*{EACH}{row + 1}"), line.amount)

    def _steps(self, made: Price, terms: PriceTerms, rows: tuple[int, int]) -> None:
        """Write the steps as formulas over the lines in ``rows`` (first and last, as the sheet numbers them)."""
        self._row += 1
        at: dict[str, str] = {}
        amounts = f"{AMOUNT}{rows[0]}:{AMOUNT}{rows[1]}"
        taxed = f'SUMIF({TAXED}{rows[0]}:{TAXED}{rows[1]},"{self._yes}",{amounts})'
        for step in _with_least(made):
            row, self._row = self._row, self._row + 1
            at[step.key] = f"{AMOUNT}{row + 1}"
            input_ = self._input(step, made, terms, row)
            formula = _formula_of(step.key, terms, at, f"{EACH}{row + 1}", amounts, taxed)
            key = "so_far" if step.key == "total" and not made.complete else step.key
            self._sheet.write_string(row, 1, cell_text(self._words.word(f"price.step.{key}")), self._plain)
            if input_ is not None:
                value, look = input_
                self._sheet.write_number(row, 4, float(value), look)
            self._formula(row, formula, step.amount, strong=step.key in ("cost", "sale", "total", "balance"))
            self._sheet.write_string(row, 8, cell_text(step.arithmetic), self._plain)

    def _input(self, step: Step, made: Price, terms: PriceTerms, row: int) -> tuple[Decimal, Any] | None:
        """Return the figure that a step goes by, and how it is shown; None where it goes by other cells alone."""
        shares = {
            "overhead": terms.overhead_pct,
            "profit": terms.profit_pct,
            "tax": terms.tax_pct,
            "deposit": terms.deposit_pct,
        }
        if step.key in shares:
            return shares[step.key] / 100, self._share
        if step.key == "minimum" and made.least_job is not None:
            return made.least_job, self._money
        return (terms.round_to, self._money) if step.key == "rounding" else None

    def _formula(self, row: int, formula: str, value: Decimal, *, strong: bool = False) -> None:
        self._sheet.write_formula(row, 5, f"={formula}", self._strong if strong else self._money, float(value))


def _with_least(made: Price) -> Iterator[Step]:
    """Yield the steps, the least price of a job among them where it is met too: it may not be once a figure is changed."""
    for step in made.steps:
        if step.key == "sale" and made.least_job is not None and made.step("minimum") is None:
            yield Step("minimum", Decimal(0), "")
        yield step


def _formula_of(key: str, terms: PriceTerms, at: Mapping[str, str], given: str, amounts: str, taxed: str) -> str:
    """Return the formula of a step. ``at`` are the cells of the steps so far, ``given`` the cell of its own figure."""

    def cell(step: str) -> str:
        return at.get(step, "0")

    direct, cost, sale = cell("direct"), cell("cost"), cell("sale")
    markup, margin = _to_cent(f"{cost}*{given}"), f"{_to_cent(f'{cost}/(1-{given})')}-{cost}"
    at_sale = _to_cent(f"IF({direct}=0,0,{taxed}*{sale}/{direct})")
    exact = f"({sale}+{cell('tax')})"
    up, nearest = f"ROUNDUP(ROUND({exact}/{given},6),0)", f"ROUND({exact}/{given}+{HALF},0)"
    formulas = {
        "direct": f"SUM({amounts})",
        "overhead": _to_cent(f"{direct}*{given}"),
        "cost": f"{direct}+{cell('overhead')}",
        "profit": margin if terms.profit_as == "margin" else markup,
        "minimum": f"MAX(0,{given}-{cost}-{cell('profit')})",
        "sale": f"{cost}+{cell('profit')}+{cell('minimum')}",
        "tax": _to_cent(f"{at_sale if terms.tax_on == 'sale' else taxed}*{given}"),
        "rounding": f"ROUND({up if terms.round_way == 'up' else nearest}*{given}-{exact},2)",
        "total": f"ROUND({sale}+{cell('tax')}+{cell('rounding')},2)",
        "deposit": _to_cent(f"{cell('total')}*{given}"),
        "balance": f"{cell('total')}-{cell('deposit')}",
    }
    return formulas[key]


def _to_cent(of: str) -> str:
    return f"ROUND({of}+{HALF},2)"
