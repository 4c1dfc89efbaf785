"""The fills of a profile that gray paper tells apart: the hatch and letter of what is dug by hand, and the key to them all."""

from collections.abc import Iterable, Sequence
from typing import Any

import shapely
from msgspec import Struct
from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable
from shapely import Polygon, box

from drainsketch.look import INK, PAPER, STYLES, Style
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, printable, width_of
from drainsketch.sheets.hatches import hatched
from drainsketch.sheets.paint import paint_line
from drainsketch.sheets.profile_marks import ProfileMarks
from drainsketch.sheets.profile_picture import Drawn
from drainsketch.wording import Words

BOXED = Style(stroke=INK, width_pt=0.6, fill=PAPER)
OUTLINE = Style(stroke=INK, width_pt=0.9)
LETTER_PT = 9.0
SIZE_PT, LINE_PT, SWATCH_PT, BETWEEN_PT = 9.0, 14.0, (18.0, 9.0), 14.0
NAMED = ("hand-dig zone", "topsoil cap", "stone band", "earth")  # in the order of the key


def strips(spots: Iterable[Sequence[Spot]]) -> list[Any]:
    """Return the strips dug by hand as polygons on paper, those that overlap as one."""
    found = shapely.union_all([shapely.make_valid(Polygon(ring)) for ring in spots])
    return [part for part in shapely.get_parts(found).tolist() if part.geom_type == "Polygon" and part.area > 0]


def paint_strips(canvas: Any, found: Iterable[Any]) -> None:
    """Paint hatch and outline of strips dug by hand, black, so that no gray beneath hides them."""
    for strip in found:
        for piece in hatched("by hand", strip):
            assert isinstance(piece, Drawn)
            paint_line(canvas, list(piece.points), piece.style)
        paint_line(canvas, list(strip.exterior.coords), OUTLINE, closed=True)


class Lettering(Struct, frozen=True):
    """The letter of the strips dug by hand, at the foot of the picture, and the boxes that it keeps clear of words."""

    letter: str
    at: tuple[Spot, ...]

    @property
    def boxes(self) -> tuple[Rect, ...]:
        """Return the room of each letter."""
        return tuple((x - 5.0, y - 1.5, x + 5.0, y + LETTER_PT - 0.5) for x, y in self.at)


def lettered(found: Iterable[Any], letter: str, foot: float) -> Lettering:
    """Return where the letter of strips stands: under each, at the foot of the picture; strips side by side share one."""
    at: list[Spot] = []
    for x in sorted((strip.bounds[0] + strip.bounds[2]) / 2 for strip in found):
        if not at or x - at[-1][0] > 11.0:
            at.append((x, foot + 2.5))
    return Lettering(letter, tuple(at))


def paint_letters(canvas: Any, letters: Lettering) -> None:
    """Paint the letters, each in a box of its own over whatever line ends there."""
    for (x, y), (x0, y0, x1, y1) in zip(letters.at, letters.boxes, strict=True):
        paint_line(canvas, [(x0, y0), (x1, y0), (x1, y1), (x0, y1)], BOXED, closed=True)
        canvas.setFont(NARROW_BOLD, LETTER_PT)
        canvas.setFillColor(HexColor(INK))
        canvas.drawCentredString(x, y, letters.letter)


class ProfileKey(Flowable):  # type: ignore[misc]
    """What the fills of the profiles mean: a swatch and a word each, those that are drawn alone."""

    def __init__(self, drawn: Iterable[ProfileMarks], words: Words) -> None:
        super().__init__()
        there = {stroke.style for marks in drawn for stroke in marks.ground}
        self._entries = [
            (style, printable(words.word(f"sheets.profile_key.{style}"))) for style in NAMED if style in there
        ]
        self._placed: list[tuple[float, float, str, str]] = []

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        """Return the room it takes, pt."""
        self._placed, x, row = [], 0.0, 0
        for style, said in self._entries:
            wide = SWATCH_PT[0] + 4.0 + width_of(said, NARROW, SIZE_PT)
            if x > 0 and x + wide > width:
                x, row = 0.0, row + 1
            self._placed.append((x, row * LINE_PT, style, said))
            x += wide + BETWEEN_PT
        self.height = (row + 1) * LINE_PT
        return width, self.height

    def draw(self) -> None:
        """Paint it."""
        canvas, (wide, high) = self.canv, SWATCH_PT
        for x, down, style, said in self._placed:
            y = self.height - down - LINE_PT + 3.0
            paint_line(
                canvas,
                [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)],
                Style(stroke=INK, width_pt=0.5, fill=STYLES[style].fill),
                closed=True,
            )
            if style == "hand-dig zone":
                paint_strips(canvas, [box(x, y, x + wide, y + high)])
            canvas.setFont(NARROW, SIZE_PT)
            canvas.setFillColor(HexColor(INK))
            canvas.drawString(x + wide + 4.0, y + 1.2, said)
