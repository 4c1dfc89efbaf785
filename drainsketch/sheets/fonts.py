"""The embedded fonts: how wide words are on paper, what can be printed at all, and how words are broken into lines."""

from functools import cache
from io import BytesIO

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from drainsketch.look import Lettering, lettering_of
from drainsketch.resources import resource
from drainsketch.sheets.labels import lines_of
from drainsketch.sheets.marks import Label
from drainsketch.sheets.text import LINE_LENGTH, plain

PLAIN, BOLD, NARROW, NARROW_BOLD = "DejaVuSans", "DejaVuSans-Bold", "DejaVuSansCondensed", "DejaVuSansCondensed-Bold"
LINE_FEED = 1.2  # line distance, times the type size
UNKNOWN = "□"  # printed for a character the fonts do not have


@cache
def load_fonts() -> None:
    """Register the shipped fonts with the PDF writer, once."""
    for name in (PLAIN, BOLD, NARROW, NARROW_BOLD):
        pdfmetrics.registerFont(TTFont(name, BytesIO(resource(f"fonts/{name}.ttf").read_bytes())))


def font_of(lettering: Lettering) -> str:
    """Return the font of a lettering."""
    if lettering.condensed:
        return NARROW_BOLD if lettering.bold else NARROW
    return BOLD if lettering.bold else PLAIN


def printable(text: str, longest: int = LINE_LENGTH) -> str:
    """Return a user's text fit to print: plain, with a square for each character the fonts do not have."""
    load_fonts()
    known = pdfmetrics.getFont(NARROW_BOLD).face.charToGlyph
    return "".join(c if ord(c) in known else UNKNOWN for c in plain(text, longest))


def width_of(text: str, font: str, size_pt: float) -> float:
    """Return the width of a text, pt."""
    load_fonts()
    return float(pdfmetrics.stringWidth(text, font, size_pt))


def measure_label(label: Label) -> tuple[float, float]:
    """Return width and height of a label's words on paper, pt."""
    lines = [(printable(text), lettering_of(name)) for text, name in lines_of(label)]
    width = max(width_of(text, font_of(how), how.size_pt) for text, how in lines)
    return width + 1.0, sum(how.size_pt * LINE_FEED for _, how in lines)


def wrapped(text: str, font: str, size_pt: float, width_pt: float, *, most: int = 100) -> list[str]:
    """Return a text broken into lines no wider than ``width_pt``; a word too long is broken where it must be.

    Parameters
    ----------
    most : no more lines than this; the last one then ends in an ellipsis
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        rest = word
        while rest:
            tried = f"{line} {rest}" if line else rest
            if width_of(tried, font, size_pt) <= width_pt:
                line, rest = tried, ""
            elif line:
                lines.append(line)
                line = ""
            else:
                cut = max(1, _fitting(rest, font, size_pt, width_pt))
                lines.append(rest[:cut])
                rest = rest[cut:]
    lines += [line] if line else []
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], shortened(f"{lines[most - 1]} {lines[most]}", font, size_pt, width_pt)]


def shortened(text: str, font: str, size_pt: float, width_pt: float) -> str:
    """Return a text cut with an ellipsis where it is wider than ``width_pt``."""
    if width_of(text, font, size_pt) <= width_pt:
        return text
    return text[: _fitting(text, font, size_pt, width_pt - width_of("…", font, size_pt))].rstrip() + "…"


def _fitting(text: str, font: str, size_pt: float, width_pt: float) -> int:
    """Return how many leading characters fit."""
    width = 0.0
    for i, character in enumerate(text):
        width += width_of(character, font, size_pt)
        if width > width_pt:
            return i
    return len(text)
