"""How the window shares its room: tools, plan over profile, panes beside them."""

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QWidget

MOST_PANE_PX = 520
MOST_STRIP_PX = 620
STRIP_PART = 0.42  # of the height, whatever page the strip shows, so that its tabs stay under the pointer
MOST_UPPER_PX = 560
UPPER_PART = 0.38  # of the panes' height; the lists below take the rest, where an open finding needs it


class Rooms(QWidget):
    """The middle of the window. Until the user moves a border, the shares follow the size of the screen."""

    def __init__(
        self,
        tools: QWidget,
        plan: QWidget,
        strip: QWidget,
        panes: tuple[QWidget, QWidget],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._moved = False
        self.strip = strip
        self.side = QSplitter(Qt.Orientation.Vertical)
        for pane in panes:
            self.side.addWidget(pane)
        self.middle = QSplitter(Qt.Orientation.Vertical)
        self.middle.addWidget(plan)
        self.middle.addWidget(strip)
        self.across = QSplitter(Qt.Orientation.Horizontal)
        self.across.addWidget(self.middle)
        self.across.addWidget(self.side)
        for at, splitter in enumerate((self.across, self.middle, self.side)):
            splitter.setObjectName(f"border{at}")
            splitter.setChildrenCollapsible(False)
            splitter.setHandleWidth(2)
            splitter.setStretchFactor(0, 1)
            splitter.splitterMoved.connect(self._was_moved)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(0)
        line.addWidget(tools)
        line.addWidget(self.across, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room anew."""
        super().resizeEvent(event)
        if not self._moved:
            self.share(self.width(), self.height())

    def share(self, width_px: int, height_px: int) -> None:
        """Give the panes about a quarter of the width and the strip four tenths of the height."""
        pane = min(MOST_PANE_PX, max(280, round(0.245 * width_px)))
        strip = min(MOST_STRIP_PX, max(150, round(STRIP_PART * height_px)))
        self.across.setSizes([max(1, width_px - pane), pane])
        self.middle.setSizes([max(1, height_px - strip), strip])
        upper = min(round(UPPER_PART * height_px), MOST_UPPER_PX)
        self.side.setSizes([upper, height_px - upper])

    def saved(self) -> list[QByteArray]:
        """Return where the user put the borders; nothing when they were never moved."""
        return [s.saveState() for s in (self.across, self.middle, self.side)] if self._moved else []

    def restore(self, states: list[QByteArray]) -> None:
        """Put the borders where they were."""
        if len(states) == 3:
            self._moved = all(
                s.restoreState(state) for s, state in zip((self.across, self.middle, self.side), states, strict=True)
            )

    def _was_moved(self) -> None:
        self._moved = True
