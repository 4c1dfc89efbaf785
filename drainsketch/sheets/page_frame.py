"""What stands round the text of a page: the title and what stops the job at its head, caution and numbers at its foot."""

from functools import partial
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.platypus import Frame

from drainsketch.look import INK, LEVEL_COLORS, PAPER, QUIET
from drainsketch.sheets.arrange import FOOT_PT, MARGIN
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, printable, shortened, width_of
from drainsketch.wording import Words

LEAST_COLUMN_PT = 520.0
GUTTER_PT = 24.0
HEAD_PT = 16.0
BAND_PAD_PT = 4.0
Size = tuple[float, float]


def columns(size: Size) -> list[Frame]:
    """Return as many columns as the page holds at a readable width."""
    inner, height = size[0] - 2 * MARGIN, size[1] - 2 * MARGIN - FOOT_PT - HEAD_PT
    count = max(1, int((inner + GUTTER_PT) // (LEAST_COLUMN_PT + GUTTER_PT)))
    width = (inner - (count - 1) * GUTTER_PT) / count
    return [
        Frame(MARGIN + i * (width + GUTTER_PT), MARGIN + FOOT_PT, width, height, 0, 0, 0, 0, id=f"column {i}")
        for i in range(count)
    ]


def paint_head(canvas: Any, title: str, band: str, size: Size) -> None:
    """Paint the title of the job, and at its right what stops it."""
    right, low = size[0] - MARGIN, size[1] - MARGIN - HEAD_PT + BAND_PAD_PT
    room = size[0] - 2 * MARGIN - (_paint_band(canvas, band, right, low) + GUTTER_PT if band else 0.0)
    canvas.setFillColor(HexColor(INK))
    canvas.setFont(NARROW_BOLD, 10)
    canvas.drawString(MARGIN, size[1] - MARGIN - 9, shortened(title, NARROW_BOLD, 10, room))


def _paint_band(canvas: Any, text: str, right: float, low: float) -> float:
    """Paint what stops the job as a band that ends at the right, on a line; return how wide that is."""
    wide = width_of(text, NARROW_BOLD, 10) + 2 * BAND_PAD_PT
    canvas.setFillColor(HexColor(LEVEL_COLORS["stop"]))
    canvas.rect(right - wide, low, wide, HEAD_PT - BAND_PAD_PT, stroke=0, fill=1)
    canvas.setFillColor(HexColor(PAPER))
    canvas.setFont(NARROW_BOLD, 10)
    canvas.drawString(right - wide + BAND_PAD_PT, low + 3, text)
    return wide


def paint_foot(canvas: Any, size: Size, words: Words, band: str = "") -> None:
    """Paint the foot of a page once the number of all pages is known.

    Parameters
    ----------
    band : what a drawn page, which has no head, has in its band
    """
    canvas.paint_at_end(partial(_paint_foot, canvas, size, words, band, canvas.sheet_number(), canvas.getPageNumber()))


def _paint_foot(canvas: Any, size: Size, words: Words, band: str, sheet: str, page: int, pages: int) -> None:
    number = words.word("sheets.foot.page", sheet=sheet, page=page, pages=pages)
    room = size[0] - 2 * MARGIN - width_of(number, NARROW, 9) - 12
    if band:
        room -= _paint_band(canvas, band, room + MARGIN, MARGIN - 3) + GUTTER_PT
    canvas.setFillColor(HexColor(QUIET))
    canvas.setFont(NARROW, 9)
    canvas.drawString(MARGIN, MARGIN, shortened(words.word("sheets.foot.caution"), NARROW, 9, room))
    canvas.drawRightString(size[0] - MARGIN, MARGIN, number)


def title_of(title: str, words: Words) -> str:
    """Return what a job is called on paper."""
    return printable(title) or words.word("sheets.untitled")
