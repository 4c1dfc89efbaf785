"""The price workbook: its formulas recomputed by a spreadsheet engine (the library formulas), its cells read with openpyxl."""

import io
import warnings
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from msgspec.structs import replace

from drainsketch.exports.price_xlsx import price_xlsx
from drainsketch.files.prices import prices_in_use
from drainsketch.job.price_book import PriceRow
from drainsketch.job.price_terms import PriceTerms
from drainsketch.job.pricing import Extra, Pricing
from drainsketch.pricing import price_of
from drainsketch.review import Review, analyse
from drainsketch.takeoff.price.results import Price
from tests.exports.yards import SAMPLES, hostile, sample

PRICES = prices_in_use()
WAYS: dict[str, dict[str, Any]] = {
    "margin, tax on the sale, up": {},
    "mark-up, tax on cost, nearest": {
        "profit_as": "mark-up",
        "profit_pct": Decimal("27.5"),
        "tax_on": "cost",
        "round_way": "nearest",
        "round_to": Decimal("0.25"),
        "overhead_pct": Decimal("9.125"),
    },
}


def priced(review: Review, **terms: Any) -> tuple[Price, PriceTerms]:
    asked = replace(PRICES, terms=replace(PRICES.terms, **terms))
    return price_of(review, asked), asked.terms


def recomputed(data: bytes, path: Path) -> dict[str, float]:
    """Return every cell of the first sheet as a spreadsheet engine reckons it, by its address."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import formulas

        path.write_bytes(data)
        solved = formulas.ExcelModel().loads(str(path)).finish().calculate()
    first = openpyxl.load_workbook(path).sheetnames[0].upper()
    return {
        str(key).rpartition("!")[2].strip("'"): value.value[0, 0]
        for key, value in solved.items()
        if hasattr(value, "value") and f"]{first}'!" in str(key) and ":" not in str(key)
    }


def column(data: bytes) -> list[tuple[int, Any]]:
    """Return (row, amount cell as written) of the first sheet."""
    sheet = openpyxl.load_workbook(io.BytesIO(data)).worksheets[0]
    return [(cell.row, cell.value) for (cell,) in sheet.iter_rows(min_col=6, max_col=6) if cell.value is not None]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("name", SAMPLES)
def test_a_spreadsheet_engine_reckons_the_same_to_the_cent(name: str, way: str, tmp_path: Path) -> None:
    _, review = sample(name)
    made, terms = priced(review, **WAYS[way])
    lang = "es" if way == "mark-up, tax on cost, nearest" else "en"
    data = price_xlsx(review, made, terms, lang)
    cells = recomputed(data, tmp_path / "p.xlsx")
    rows = column(data)
    amounts = [line.amount for line in made.lines] + [step.amount for step in made.steps]
    assert made.least_job is not None  # a row of its own before the sale, 0 where it is met
    if made.step("minimum") is None:
        amounts.insert(len(made.lines) + [step.key for step in made.steps].index("sale"), Decimal(0))
    assert len(rows) == len(amounts) + 1  # and the heading
    for (row, written), amount in zip(rows[1:], amounts, strict=True):
        if amount is None:
            assert written == {"en": "no price", "es": "sin precio"}[lang]
        else:
            assert str(written).startswith("=")
            assert float(cells[f"F{row}"]) == pytest.approx(float(amount), abs=1e-6), (row, written)


def test_a_changed_quantity_price_or_share_changes_the_total_as_it_should(tmp_path: Path) -> None:
    _, review = sample("corner-lot.drainjob")
    made, terms = priced(review, tax_pct=Decimal(0), round_to=Decimal("0.01"), overhead_pct=Decimal(10))
    book = openpyxl.load_workbook(io.BytesIO(price_xlsx(review, made, terms)))
    sheet = book.worksheets[0]
    top = next(row for row in range(1, sheet.max_row) if sheet.cell(row, 5).value and sheet.cell(row, 3).value)
    top = top if isinstance(sheet.cell(top, 3).value, int | float) else top + 1
    sheet.cell(top, 3).value, sheet.cell(top, 5).value = 7, 11.115
    changed = io.BytesIO()
    book.save(changed)
    cells = recomputed(changed.getvalue(), tmp_path / "p.xlsx")
    # by hand: 7 x 11.115 = 77.805, half a cent up; 10 % overhead on direct cost; 20 % margin
    direct = sum((line.amount or Decimal(0) for line in made.lines[1:]), Decimal("77.81"))
    cost = direct + (direct * Decimal("0.1")).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    total = (cost / Decimal("0.8")).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    last = max(int(address[1:]) for address in cells if address[0] == "F" and address[1:].isdecimal())
    assert float(cells[f"F{top}"]) == pytest.approx(77.81)
    assert float(cells[f"F{last - 2}"]) == pytest.approx(float(total))


def test_the_least_price_holds_once_quantities_are_cut(tmp_path: Path) -> None:
    _, review = sample("corner-lot.drainjob")
    made, terms = priced(review, tax_pct=Decimal(0), round_to=Decimal("0.01"))
    assert made.step("minimum") is None and made.least_job is not None
    book = openpyxl.load_workbook(io.BytesIO(price_xlsx(review, made, terms)))
    sheet = book.worksheets[0]
    for row in range(1, sheet.max_row + 1):
        if isinstance(sheet.cell(row, 3).value, int | float):
            sheet.cell(row, 3).value = 0.001
    changed = io.BytesIO()
    book.save(changed)
    cells = recomputed(changed.getvalue(), tmp_path / "p.xlsx")
    last = max(int(address[1:]) for address in cells if address[0] == "F" and address[1:].isdecimal())
    assert float(cells[f"F{last - 2}"]) == pytest.approx(float(made.least_job))  # the total, over deposit and balance


def test_an_added_line_of_the_user_is_text_and_figures(tmp_path: Path) -> None:
    job, _ = sample("corner-lot.drainjob")
    added = (Extra(name="=1+1", quantity=2.5, unit="@x", price=40.01, taxed=True), Extra(name="+2"))
    review = analyse(replace(job, pricing=Pricing(extras=added)))
    made, terms = priced(review)
    data = price_xlsx(review, made, terms)
    sheet = openpyxl.load_workbook(io.BytesIO(data)).worksheets[0]
    rows = {row[1].value: row for row in sheet.iter_rows() if row[1].value}
    assert (rows["=1+1"][1].data_type, rows["=1+1"][3].value, rows["=1+1"][6].value) == ("s", "@x", "yes")
    assert rows["+2"][5].value == "no price"
    cells = recomputed(data, tmp_path / "p.xlsx")
    assert float(cells[f"F{rows['=1+1'][1].row}"]) == pytest.approx(100.03)  # 2.5 x 40.01 = 100.025, half a cent up


def test_what_has_no_price_is_no_nothing(tmp_path: Path) -> None:
    _, review = sample("corner-lot.drainjob")
    rows: tuple[PriceRow, ...] = tuple(row for row in PRICES.book.rows if row.item != "stone_drain")
    made = price_of(review, replace(PRICES, book=replace(PRICES.book, rows=rows)))
    data = price_xlsx(review, made, PRICES.terms)
    assert "no price" in [value for _, value in column(data)]
    sheet = openpyxl.load_workbook(io.BytesIO(data)).worksheets[0]
    said = " ".join(str(cell.value) for row in sheet.iter_rows() for cell in row)
    assert "NOT COMPLETE" in said and "EXAMPLE PRICES" in said


def test_terms_that_nobody_set_are_told_at_the_top() -> None:
    """Every row of the book may be the user's own: a total by an invented crew or tax is no bid all the same."""
    _, review = sample("corner-lot.drainjob")
    own = replace(PRICES, book=replace(PRICES.book, rows=tuple(replace(r, source="yours") for r in PRICES.book.rows)))
    for terms, told in ((("tax_pct", "crew"), True), ((), False)):
        made = price_of(review, replace(own, example_terms=terms))
        sheet = openpyxl.load_workbook(io.BytesIO(price_xlsx(review, made, own.terms))).worksheets[0]
        top = str(sheet.cell(1, 1).value)
        assert (made.has_examples, top.startswith("EXAMPLE TERMS") and "invented: " in top) == (told, told), top


def test_no_text_of_a_job_is_a_formula_or_a_link() -> None:
    _, review = hostile()
    made, terms = priced(review)
    book = openpyxl.load_workbook(io.BytesIO(price_xlsx(review, made, terms)))
    for sheet in book:
        for row in sheet.rows:
            for cell in row:
                assert cell.hyperlink is None
                if cell.data_type == "f":
                    assert (sheet.title, cell.column) in (("Price", 6), ("Takeoff", 9))
                    assert "HYPERLINK" not in str(cell.value)
