"""The choice that belongs to the tool in hand: which service, which outfall, which pipe."""

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from drainsketch.desk.icons import icon
from drainsketch.desk.panes.form import Choice
from drainsketch.desk.panes.signs import swatch_icon
from drainsketch.desk.theme import tones_of
from drainsketch.desk.tools.catalogue import TOOLS
from drainsketch.look import STYLES

ICON_PX = 22


class ChoiceBar(QWidget):
    """Name of the tool in hand, and its choices where it has any. What was chosen is kept for each tool."""

    chosen = Signal(str, str)  # tool, choice
    picked = Signal()  # an entry was chosen in the open list

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._tools = {tool.name: tool for tool in TOOLS}
        self._kept: dict[str, str] = {}
        self._tool = ""
        self._sign = QLabel()
        self._name = QLabel()
        self.choice = Choice()
        self.choice.setIconSize(QSize(28, 16))
        self.choice.setFixedHeight(32)
        self.choice.setMinimumWidth(190)
        self.choice.activated.connect(self._take)
        line = QHBoxLayout(self)
        line.setContentsMargins(10, 0, 6, 0)
        line.addWidget(self._sign)
        line.addWidget(self._name)
        line.addSpacing(8)
        line.addWidget(self.choice)
        line.addStretch(1)

    def show_tool(self, name: str) -> None:
        """Show the tool in hand and its choices."""
        tool = self._tools.get(name)
        if tool is None:
            return
        self._tool = name
        self._sign.setPixmap(icon(tool.icon, tones_of(self)).pixmap(QSize(ICON_PX, ICON_PX), self.devicePixelRatioF()))
        self._name.setText(tool.label)
        self.choice.clear()
        for text in tool.choices:
            style = STYLES.get(f"service.{text}")
            if style is not None:
                self.choice.addItem(swatch_icon(style), text, text)
            else:
                self.choice.addItem(text, text)
        self.choice.setCurrentIndex(max(0, self.choice.findData(self._kept.get(name, ""))))
        self.choice.setVisible(bool(tool.choices))
        self.choice.setAccessibleName(f"What to draw with {tool.label}")
        self.choice.setToolTip(f"{tool.label}: what to draw")

    def changeEvent(self, event: QEvent) -> None:
        """Draw the sign of the tool in the tones of a window that turned dark or light."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "choice"):
            self.show_tool(self._tool)

    def take_focus(self) -> None:
        """Take the keyboard, where the tool in hand has a choice."""
        if self.choice.isVisible():
            self.choice.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _take(self, index: int) -> None:
        by_list = self.choice.from_list
        self._kept[self._tool] = self.choice.itemData(index)
        self.chosen.emit(self._tool, self._kept[self._tool])
        if by_list:
            self.picked.emit()
