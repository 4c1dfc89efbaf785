"""The workbook, reopened with an independent reader (openpyxl)."""

from pathlib import Path

import openpyxl
import pytest

from drainsketch.exports.xlsx import takeoff_xlsx, write_takeoff_xlsx
from drainsketch.job.edits.change import change_header
from drainsketch.review import analyse
from drainsketch.wording import Words
from tests.exports.test_price_xlsx import recomputed
from tests.exports.yards import SAMPLES, hostile, sample


@pytest.mark.parametrize("name", SAMPLES)
def test_the_workbook_carries_every_line_in_full(name: str, tmp_path: Path) -> None:
    job, review = sample(name)
    write_takeoff_xlsx(job, review, tmp_path / "t.xlsx")
    book = openpyxl.load_workbook(
        tmp_path / "t.xlsx", data_only=True
    )  # figures as they were written beside the formulas
    read = list(book.worksheets[0].iter_rows(values_only=True))
    asked = ("Part", "Item", "Quantity", "Unit", "How it is counted", "Arithmetic", "Counted from")
    assert read[0] == (*asked, "Waste, %", "To buy", "Bought by", "In each")
    assert len(read) - 1 == len(review.takeoff)
    words = Words("en", job.header.units)
    for row, line in zip(read[1:], review.takeoff, strict=True):
        assert row[2] == pytest.approx(line.quantity, rel=1e-12)
        assert row[1] == words.item(line)
        assert str(row[5]).startswith(" ".join(line.arithmetic.split()))
        assert (row[8] or None) == (None if line.buy is None else pytest.approx(line.buy, rel=1e-12))
        assert (row[10] or None) == (None if line.buy_each == 1 else line.buy_each)
    assert "Call 811" in " ".join(str(cell.value) for row in book.worksheets[1].rows for cell in row)


@pytest.mark.parametrize("units", ["ft-in", "m"])
@pytest.mark.parametrize("name", SAMPLES)
def test_a_spreadsheet_engine_buys_the_same(name: str, units: str, tmp_path: Path) -> None:
    job = change_header(sample(name)[0], units=units)
    review, words = analyse(job), Words.of(job)
    cells = recomputed(takeoff_xlsx(job, review), tmp_path / "t.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "t.xlsx").worksheets[0]
    live = 0
    for row, line in enumerate(review.takeoff, start=2):
        if str(sheet.cell(row, 9).value).startswith("="):
            live += 1
            bought = words.to_buy(line)
            assert bought is not None
            assert float(cells[f"I{row}"]) == pytest.approx(bought[0], abs=1e-4), line.item
    assert live or name == "courtyard.drainjob"


def test_no_cell_is_a_formula_or_a_link(tmp_path: Path) -> None:
    job, review = hostile()
    write_takeoff_xlsx(job, review, tmp_path / "t.xlsx")
    book = openpyxl.load_workbook(tmp_path / "t.xlsx")
    cells = [cell for sheet in book for row in sheet.rows for cell in row]
    assert all(cell.data_type in ("s", "n", "inlineStr", "f") and cell.hyperlink is None for cell in cells)
    assert all(cell.column == 9 and str(cell.value).startswith("=ROUNDUP(") for cell in cells if cell.data_type == "f")
    assert any(str(cell.value).startswith("=HYPERLINK") for cell in cells)
