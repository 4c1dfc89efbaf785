"""The lettering of the plan on screen: the same fonts as on paper, loaded from the program's own files."""

from functools import cache

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFont, QFontDatabase, QFontMetricsF

from drainsketch.look import LETTERING
from drainsketch.resources import resource

FILES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf")
PX_PER_PT = 4 / 3  # lettering and symbols on screen, as at 96 dots per inch


@cache
def load_fonts() -> tuple[str, ...]:
    """Hand the shipped fonts to Qt once; return the names of their families."""
    families: list[str] = []
    for name in FILES:
        number = QFontDatabase.addApplicationFontFromData(QByteArray(resource(f"fonts/{name}").read_bytes()))
        families += QFontDatabase.applicationFontFamilies(number)
    return tuple(dict.fromkeys(families))


@cache
def lettering_font(name: str) -> QFont:
    """Return the font of a lettering of the look."""
    load_fonts()
    style = LETTERING[name]
    return plan_font(style.size_pt, bold=style.bold, condensed=style.condensed)


@cache
def plan_font(size_pt: float, bold: bool = False, condensed: bool = False) -> QFont:
    """Return a font of the plan by its size on paper."""
    load_fonts()
    font = QFont("DejaVu Sans Condensed" if condensed else "DejaVu Sans")
    if condensed:
        font.setStretch(QFont.Stretch.SemiCondensed)
    font.setPixelSize(max(1, round(size_pt * PX_PER_PT)))
    font.setBold(bold)
    return font


@cache
def metrics(name: str) -> QFontMetricsF:
    """Return the measures of a lettering of the look."""
    return QFontMetricsF(lettering_font(name))


@cache
def plan_metrics(size_pt: float, bold: bool = False, condensed: bool = False) -> QFontMetricsF:
    """Return the measures of a font of the plan."""
    return QFontMetricsF(plan_font(size_pt, bold, condensed))
