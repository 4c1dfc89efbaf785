"""The drawing tools beside the plan: grouped, two abreast, each with its icon."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QScrollArea, QToolButton, QVBoxLayout, QWidget

from drainsketch.desk.actions import Actions
from drainsketch.desk.theme import tones_of
from drainsketch.desk.tools.catalogue import TOOLS, ToolSpec

ABREAST = 2
ICON_PX = 24
BUTTON_PX = 36


class ToolButton(QToolButton):
    """A tool with its key written small in the corner."""

    def __init__(self, key: str) -> None:
        super().__init__()
        self._key = key

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the button, then the key."""
        super().paintEvent(event)
        with QPainter(self) as painter:
            font = self.font()
            font.setPixelSize(9)
            painter.setFont(font)
            painter.setPen(QColor(tones_of(self).quiet))
            painter.drawText(
                self.rect().adjusted(0, 0, -3, -1),
                int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom),
                self._key,
            )


class Toolbox(QScrollArea):
    """A slim column of tool buttons; it scrolls only where the screen is too low."""

    def __init__(self, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Tools")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(4, 2, 4, 4)
        box.setSpacing(0)
        for group in dict.fromkeys(tool.group for tool in TOOLS):
            caption = QLabel(group[:1].upper() + group[1:])
            caption.setProperty("caption", True)
            grid = QGridLayout()
            grid.setContentsMargins(0, 0, 0, 2)
            grid.setSpacing(1)
            for at, tool in enumerate(t for t in TOOLS if t.group == group):
                grid.addWidget(self._button(actions, tool), at // ABREAST, at % ABREAST)
            grid.setColumnStretch(ABREAST, 1)
            box.addWidget(caption)
            box.addLayout(grid)
        box.addStretch(1)
        self.setWidget(body)
        self.setFixedWidth(ABREAST * (BUTTON_PX + 1) + 10)

    @staticmethod
    def _button(actions: Actions, tool: ToolSpec) -> QToolButton:
        button = ToolButton(tool.key)
        button.setDefaultAction(actions.by_name[f"tool.{tool.name}"])
        button.setIconSize(QSize(ICON_PX, ICON_PX))
        button.setFixedSize(BUTTON_PX, BUTTON_PX)
        button.setAccessibleName(tool.label)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button
