"""How large a sign is drawn, and where its text stands: the same on screen and paper."""

from drainsketch.look import SYMBOLS
from drainsketch.sheets.marks import Sign

TEXT_PT = 9.0
WHITE_TEXT = ("octagon", "triangle", "disc")  # filled with their ink, so their text is paper-colored


def sign_size(sign: Sign, text_width: float = 0.0) -> float:
    """Return the full width of a sign, pt: its symbol's, or more where its text needs it.

    Parameters
    ----------
    text_width : width of the sign's text at 9 pt, pt
    """
    size = SYMBOLS[sign.symbol].size_pt
    if not sign.text:
        return size
    if sign.symbol.startswith("crossing"):  # a diamond: half the width is left at the top of the figures
        return max(size, text_width + TEXT_PT + 2)
    if sign.symbol == "triangle":
        return max(size + 5, text_width + TEXT_PT + 4)
    return max(size, text_width + 7)


def text_drop(symbol: str) -> float:
    """Return how far below the symbol's center its text is centered, as a part of the full width."""
    return 0.14 if symbol == "triangle" else 0.0


def crossing_symbol(level: str) -> str:
    """Return the symbol that a crossing has on the plan, by the level of the gravest finding about it."""
    name = f"crossing.{level}"
    return name if name in SYMBOLS else "crossing"
