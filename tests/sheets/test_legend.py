from pathlib import Path

import pdfplumber
import pytest

from drainsketch.errors import SheetError
from drainsketch.look import STYLES, SYMBOLS
from drainsketch.sheets.legend import write_legend
from drainsketch.sheets.strip import style_entry, symbol_entry
from drainsketch.wording import Words
from tests.sheets.reading import least_type_pt, overlapping_text


def test_the_legend_sheet_names_everything_of_the_look_on_one_page(tmp_path: Path) -> None:
    write_legend(tmp_path / "legend.pdf")
    words = Words()
    with pdfplumber.open(tmp_path / "legend.pdf") as pdf:
        (page,) = pdf.pages
        text = page.extract_text()
        assert overlapping_text(page) == []
        assert least_type_pt(page) >= 8.99
        assert all(c["x0"] > 0 and c["x1"] < page.width and c["y0"] > 18 for c in page.chars)
    assert all(style_entry(name, words).name in text for name in STYLES)
    assert all(
        symbol_entry(name, words).name in text for name in SYMBOLS if name not in ("octagon", "triangle", "disc")
    )
    assert all(word in text for word in ("STOP", "SETTLE", "NOTE"))


def test_a_legend_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SheetError):
        write_legend(tmp_path / "nowhere" / "legend.pdf")
