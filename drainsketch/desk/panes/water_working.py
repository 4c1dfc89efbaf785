"""How a figure of the Water pane was made: its steps in their order, as many on a line as go, since the pane is low."""

import re
from collections.abc import Iterator
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QWidget

from drainsketch.desk.theme import tones_of
from drainsketch.water.working import Step

SIDES_PX, ABOVE_PX = 10, 3
GAP = "\u00a0 · \u00a0"  # between steps on one line
UNIT_AFTER, NO_BREAK = re.compile(r"(?<=\d) (?=[^\W\d_])"), "\u00a0"  # a figure keeps its unit
ASK = "Choose a row to see how its figures were made."


class Working(QScrollArea):
    """The steps of one row."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = QLabel()
        self.label.setWordWrap(True)
        self.label.setContentsMargins(SIDES_PX, ABOVE_PX, SIDES_PX, ABOVE_PX)
        self.label.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.setWidget(self.label)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def show_steps(self, steps: tuple[Step, ...] | None) -> None:
        """Show these steps, as many on a line as go whole; None asks for a row."""
        quiet = tones_of(self).quiet
        if steps is None:
            self.label.setText(f"<span style='color:{quiet}'>{ASK}</span>")
            return
        room = self.viewport().width() - 2 * SIDES_PX
        rows = "".join(
            f"<div>{GAP.join(_in_line(step, quiet) for step in line)}</div>"
            for line in _lines(steps, self.label.fontMetrics(), room)
        )
        notes = dict.fromkeys(f"{s.what}: {s.note}" for s in steps if s.note)
        said = f"<div style='color:{quiet};margin-top:3px'>{escape('; '.join(notes))}</div>" if notes else ""
        self.label.setText(rows + said)

    @property
    def wanted_px(self) -> int:
        """How high it has to be to show every step."""
        return self.label.heightForWidth(self.viewport().width())


def _lines(steps: tuple[Step, ...], metrics: QFontMetrics, room: int) -> Iterator[list[Step]]:
    """Yield the steps of each line, in their order."""
    line: list[Step] = []
    for step in steps:
        said = GAP.join(f"{s.what}: {s.arithmetic}" for s in (*line, step))
        if line and metrics.horizontalAdvance(said) > room:
            yield line
            line = []
        line.append(step)
    yield line


def _in_line(step: Step, quiet: str) -> str:
    made = escape(UNIT_AFTER.sub(NO_BREAK, step.arithmetic))
    return f"<span style='color:{quiet}'>{escape(step.what)}:</span> {made}"
