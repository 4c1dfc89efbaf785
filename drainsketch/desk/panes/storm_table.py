"""What a storm comes to, before and with the drains: a small table of labels."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from drainsketch.desk.panes.storm_words import Fact

HEADS = ("", "Today", "With drains")


class StormTable(QWidget):
    """Rows of facts; the figures stand at the right of their columns."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.facts: tuple[Fact, ...] = ()
        self._only: int | None = None  # the column of figures that there is room for; None for both
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(1)
        self._grid.setColumnStretch(0, 1)

    def show_facts(self, facts: tuple[Fact, ...]) -> None:
        """Show these rows; they stay while they are the same."""
        if facts == self.facts:
            return
        self.facts = facts
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for row, fact in enumerate(facts):
            cells = (fact.label, *(HEADS[1:] if row == 0 else (fact.before, fact.after)))
            for column, text in enumerate(cells):
                label = QLabel(f"<b>{text}</b>" if fact.heading and column == 0 else text, self)
                label.setToolTip(fact.tip)
                label.setProperty("quiet", (column == 0) != fact.heading)
                if column:
                    label.setAlignment(Qt.AlignmentFlag.AlignRight)
                self._grid.addWidget(label, row, column)

        self._hide()

    def show_only(self, column: int | None) -> None:
        """Show one column of figures where there is no room for both, 1 today and 2 with the drains; None for both."""
        if column != self._only:
            self._only = column
            self._hide()

    def _hide(self) -> None:
        for row in range(len(self.facts)):
            for column in (1, 2):
                item = self._grid.itemAtPosition(row, column)
                widget = item.widget() if item is not None else None
                if widget is not None:
                    widget.setVisible(self._only in (None, column))

    def value(self, label: str) -> tuple[str, str]:
        """Return the figures of a row, before and with the drains."""
        return next((f.before, f.after) for f in self.facts if f.label == label)
