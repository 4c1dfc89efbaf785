"""The legend sheet: every line, area, symbol, lettering and finding level of the look on one page, named in trade words."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

from drainsketch.look import LETTERING, LEVEL_SIGNS, STYLES, SYMBOLS
from drainsketch.sheets.book import replace_file
from drainsketch.wording import Words

ROW_PT = 25.0
COLUMN_PT = 182.0
TOP_PT = 84.0
FOOT_PT = 26.0


def write_legend(out_path: Path, lang: str = "en") -> None:
    """Write the legend sheet, a letter page on its side.

    Raises
    ------
    SheetError : the file cannot be written
    """
    from reportlab.pdfgen.canvas import Canvas

    from drainsketch.sheets.fonts import PLAIN, load_fonts
    from drainsketch.sheets.scale import PAPERS

    load_fonts()

    words = Words(lang)
    height, width = PAPERS["letter"]
    data = BytesIO()
    canvas = Canvas(data, pagesize=(width, height), lang=lang, initialFontName=PLAIN)
    canvas.setTitle(words.word("sheets.legend.sheet_title"))
    canvas.setViewerPreference("PrintScaling", "None")
    _paint(canvas, words, height)
    canvas.showPage()
    canvas.save()
    data.seek(0)
    replace_file(out_path, data)


def _paint(canvas: Any, words: Words, height: float) -> None:
    """Paint heading and four columns: lines and areas (two), symbols, lettering and levels."""
    from drainsketch.sheets.fonts import load_fonts
    from drainsketch.sheets.plan_page import paint_item
    from drainsketch.sheets.strip import Print, Swatch, style_entry, symbol_entry

    load_fonts()
    left = 32.0
    paint_item(canvas, Print(left, height - 48, words.word("sheets.legend.sheet_title"), 15, bold=True))
    names = list(STYLES)
    per_column = -(-len(names) // 2)
    samples = [name for name in SYMBOLS if name not in LEVEL_SIGNS.values()]
    columns: list[tuple[str, list[str]]] = [
        ("styles", names[:per_column]),
        ("", names[per_column:]),
        ("symbols", samples),
    ]
    row_pt = min(ROW_PT, (height - TOP_PT - FOOT_PT) / max(len(keys) for _, keys in columns))
    for i, (heading, keys) in enumerate(columns):
        x, y = left + i * COLUMN_PT, height - TOP_PT
        if heading:
            paint_item(canvas, Print(x, y + 12, words.word(f"sheets.legend.{heading}"), 10.5, bold=True))
        for key in keys:
            entry = symbol_entry(key, words) if heading == "symbols" else style_entry(key, words)
            y -= row_pt
            size = 24.0 if key == "north" else 0.0
            paint_item(canvas, Swatch(x + 16, y + 3, entry.style, entry.symbol, entry.text, size))
            paint_item(canvas, Print(x + 40, y, entry.name, 10))
    x, y = left + 3 * COLUMN_PT, height - TOP_PT
    y = _letterings(canvas, words, x, y)
    y -= 52
    paint_item(canvas, Print(x, y + 12, words.word("sheets.legend.levels"), 10.5, bold=True))
    for level, symbol in LEVEL_SIGNS.items():
        y -= ROW_PT + 4
        paint_item(canvas, Swatch(x + 16, y + 3, symbol=symbol, text="A"))
        paint_item(canvas, Print(x + 40, y + 3, words.word(f"sheets.level.{level}"), 10, bold=True))
        for line in _lines(words.word(f"sheets.level_means.{level}"), 130):
            y -= 11.5
            paint_item(canvas, Print(x + 40, y + 3, line))


def _lines(text: str, width: float) -> list[str]:
    from drainsketch.sheets.fonts import NARROW, wrapped

    return wrapped(text, NARROW, 9, width)


def _letterings(canvas: Any, words: Words, x: float, y: float) -> float:
    """Paint a sample of each lettering; return how far down they reach."""
    from reportlab.lib.colors import HexColor

    from drainsketch.sheets.fonts import font_of
    from drainsketch.sheets.plan_page import paint_item
    from drainsketch.sheets.strip import Print

    paint_item(canvas, Print(x, y + 12, words.word("sheets.legend.letterings"), 10.5, bold=True))
    for name, how in LETTERING.items():
        y -= ROW_PT
        canvas.setFillColor(HexColor(how.color))
        canvas.setFont(font_of(how), how.size_pt)
        canvas.drawString(x, y, words.word(f"sheets.lettering.{name}"))
    return y
