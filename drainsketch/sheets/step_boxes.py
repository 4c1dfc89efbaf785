"""Steps with a box to tick before each, flowing over as many lines as they take; a hold point stands in a frame."""

from typing import Any

from msgspec import Struct
from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable

from drainsketch.look import INK, PAPER
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, printable, width_of, wrapped

SIZE_PT, LINE_PT, BOX_PT = 10.0, 16.0, 9.5
AFTER_BOX_PT, BETWEEN_PT, PAD_PT = 4.0, 12.0, 3.0
HOLD_SHADE = "#dfe3e8"


class Step(Struct, frozen=True):
    """One step: what is written beside its box, and whether it is a hold point."""

    text: str
    is_hold: bool = False


class StepBoxes(Flowable):  # type: ignore[misc]
    """The steps of one block of work, in the order they are done."""

    def __init__(self, steps: tuple[Step, ...]) -> None:
        super().__init__()
        self._steps = steps
        self._placed: list[tuple[float, int, Step, list[str], float]] = []
        self._lines = 1

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the room the steps take."""
        self._placed, x, line = [], 0.0, 0
        for step in self._steps:
            font = NARROW_BOLD if step.is_hold else NARROW
            text = printable(step.text)
            room = width - BOX_PT - AFTER_BOX_PT - 2 * PAD_PT
            rows = wrapped(text, font, SIZE_PT, room)
            wide = BOX_PT + AFTER_BOX_PT + max(width_of(row, font, SIZE_PT) for row in rows)
            wide += 2 * PAD_PT if step.is_hold else 0.0
            if x > 0 and (x + wide > width or len(rows) > 1):
                x, line = 0.0, line + 1
            self._placed.append((x, line, step, rows, wide))
            if len(rows) > 1:
                x, line = 0.0, line + len(rows)
            else:
                x += wide + BETWEEN_PT
        self._lines = line + 1 if x > 0 else max(1, line)
        return width, self._lines * LINE_PT

    def draw(self) -> None:
        """Paint boxes and words."""
        canvas: Any = self.canv
        canvas.setLineWidth(1.0)
        canvas.setStrokeColor(HexColor(INK))
        for left, line, step, rows, wide in self._placed:
            base = (self._lines - line) * LINE_PT - LINE_PT + 4.0
            if step.is_hold:
                canvas.setFillColor(HexColor(HOLD_SHADE))
                canvas.rect(left, base - 3.5, wide, LINE_PT - 1.5, stroke=1, fill=1)
            x = left + PAD_PT if step.is_hold else left
            canvas.setFillColor(HexColor(PAPER))
            canvas.rect(x, base - 1.2, BOX_PT, BOX_PT, stroke=1, fill=1)
            canvas.setFillColor(HexColor(INK))
            canvas.setFont(NARROW_BOLD if step.is_hold else NARROW, SIZE_PT)
            for i, row in enumerate(rows):
                canvas.drawString(x + BOX_PT + AFTER_BOX_PT, base - i * LINE_PT, row)
