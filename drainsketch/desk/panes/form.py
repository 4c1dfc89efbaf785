"""A form of labeled fields. What is typed is read, applied at once, or refused with a sentence under the field."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHelpEvent, QKeyEvent, QKeySequence, QPaintEvent
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QToolTip,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.panes.fields import Field
from drainsketch.desk.panes.values import Value, read, refusal, written
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError
from drainsketch.job.kinds import Units

UNDOING = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)
FRAME_PX = 18  # of a line to type in: its border and padding
Write = Callable[[Field, Value], None]


class Choice(QComboBox):
    """A combo box that takes no letters and no wheel while it is closed: letters are keys of the tools."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.from_list = False  # what is being chosen is chosen in the open list
        self.by_mouse = False  # and the mouse opened it

    def showPopup(self) -> None:
        """Open the list."""
        self.from_list, self.by_mouse = True, QApplication.mouseButtons() != Qt.MouseButton.NoButton
        super().showPopup()

    def hidePopup(self) -> None:
        """Close the list; what is chosen in it is told at about the same time."""
        super().hidePopup()
        QTimer.singleShot(0, self, self._closed)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave letters and digits to others, lest they choose another entry unseen."""
        if _is_letter(event):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the words as far as there is room, and an ellipsis for the rest."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        option.currentText = self._elided()
        painter = QStylePainter(self)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)

    def event(self, event: QEvent) -> bool:
        """Say in a tooltip what does not fit."""
        if event.type() == QEvent.Type.ToolTip and self._elided() != self.currentText():
            assert isinstance(event, QHelpEvent)  # what a tooltip is asked for with
            QToolTip.showText(event.globalPos(), self.currentText(), self)
            return True
        return super().event(event)

    def _elided(self) -> str:
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        room = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, self
        )
        sign = 0 if option.currentIcon.isNull() else option.iconSize.width() + 4
        width = room.width() - sign - 2
        return self.fontMetrics().elidedText(self.currentText(), Qt.TextElideMode.ElideRight, width)

    def _closed(self) -> None:
        self.from_list = self.view().isVisible()

    def wheelEvent(self, event: QEvent) -> None:
        """Leave the wheel alone."""
        event.ignore()


class Entry(QLineEdit):
    """A line to type in; Escape gives the typing up, and undo is the window's once the typing was taken."""

    given_up = Signal()
    tip = ""  # what the field is about

    def event(self, event: QEvent) -> bool:
        """Keep Escape from the window's shortcut, and say in a tooltip what does not fit."""
        if event.type() == QEvent.Type.ToolTip:
            margins = self.textMargins()
            room = self.width() - margins.left() - margins.right() - FRAME_PX
            self.setToolTip(self.text() if self.fontMetrics().horizontalAdvance(self.text()) > room else self.tip)
        if isinstance(event, QKeyEvent) and not self.isModified() and any(event.matches(own) for own in UNDOING):
            event.ignore()
            return True
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape and not self._is_closing():
            if event.type() == QEvent.Type.ShortcutOverride:
                event.accept()
                return True
            if event.type() == QEvent.Type.KeyPress:
                self.given_up.emit()
                return True
        return super().event(event)

    def _is_closing(self) -> bool:
        """Whether Escape is for the dialog around it, since there is no typing to give up."""
        return isinstance(self.window(), QDialog) and not self.isModified()


def _is_letter(event: QKeyEvent) -> bool:
    held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
    return not held and event.text().isprintable() and bool(event.text().strip())


class Row(QObject):
    """One field of a form: label, editor and the line for what is wrong with it."""

    typed = Signal(object)  # the value read
    picked = Signal()  # an entry was chosen by mouse in an open list

    def __init__(self, field: Field, parent: QWidget, tell: Callable[[str], object] | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self._tell = tell  # says what is wrong in another place than under the field
        self._units: Units = "ft-in"
        self._shown: Value = None
        self._ready = False  # nothing shown yet
        self.label = QLabel(field.label, parent)
        self.label.setWordWrap(True)
        self.fault = QLabel(parent)
        self.fault.setWordWrap(True)
        self.fault.setVisible(False)
        self.fault.setStyleSheet(f"color: {tones_of(parent).stop};")
        self.editor = self._editor(parent)
        self.editor.setObjectName(field.name)
        self.editor.setAccessibleName(field.label)
        self.editor.setSizePolicy(QSizePolicy.Policy.Ignored, self.editor.sizePolicy().verticalPolicy())
        self.label.setBuddy(self.editor)

    @property
    def units(self) -> Units:
        """The units its value is written in."""
        return self._units

    def show(self, value: Value, units: Units) -> None:
        """Show a value, unless the same one is shown already (then what is being typed stays)."""
        if self._ready and value == self._shown and units == self._units:
            return
        self._shown, self._units, self._ready = value, units, True
        self._write_back()
        self.say("")

    def say(self, sentence: str) -> None:
        """Show what is wrong under the field; '' for nothing."""
        before = self.fault.text()
        self.fault.setText(sentence)
        self.editor.setAccessibleDescription(sentence)
        if self._tell is None:
            self.fault.setVisible(bool(sentence))
        elif sentence or before:
            self._tell(sentence)

    def explain(self, tip: str) -> None:
        """Say in a tooltip what the field is about."""
        self.label.setToolTip(tip)
        self.editor.setToolTip(tip)
        if isinstance(self.editor, Entry):
            self.editor.tip = tip

    def refuse(self, sentence: str) -> None:
        """Say what is wrong and put the old value back."""
        self._write_back()
        self.say(sentence)

    def take(self) -> None:
        """Take what is being typed, as if the field were left."""
        if isinstance(self.editor, QPlainTextEdit):
            self._take(self.editor.toPlainText())
        else:
            self._finished()

    def _editor(self, parent: QWidget) -> QWidget:
        field = self.field
        if field.quantity == "choice":
            combo = Choice(parent)
            if field.blank:
                combo.addItem(field.blank, None)
            for value, words in field.choices:
                combo.addItem(words, value)
            combo.activated.connect(self._chosen)
            return combo
        if field.quantity == "flag":
            box = QCheckBox(parent)
            box.setMinimumHeight(32)
            box.clicked.connect(self._ticked)
            return box
        if field.quantity == "notes":
            notes = QPlainTextEdit(parent)
            notes.setPlaceholderText(field.blank)
            notes.setTabChangesFocus(True)
            notes.setFixedHeight(84)
            notes.installEventFilter(self)
            return notes
        line = Entry(parent)
        line.setPlaceholderText(field.blank)
        line.editingFinished.connect(self._finished)
        line.given_up.connect(self._write_back)
        return line

    def _write_back(self) -> None:
        value = self._shown
        if isinstance(self.editor, QComboBox):
            self.editor.setCurrentIndex(self.editor.findData(value))
        elif isinstance(self.editor, QCheckBox):
            self.editor.setChecked(bool(value))
        elif isinstance(self.editor, QPlainTextEdit):
            self.editor.setPlainText(str(value or ""))
        elif isinstance(self.editor, QLineEdit):
            self.editor.setText(written(self.field, value, self._units))
            self.editor.setCursorPosition(0)

    def _chosen(self, index: int) -> None:
        if isinstance(self.editor, QComboBox):
            value = self.editor.itemData(index)
            # who opened the list by keys goes on to the next field by keys
            by_list = isinstance(self.editor, Choice) and self.editor.from_list and self.editor.by_mouse
            if value != self._shown:
                self.typed.emit(value)
            if by_list:
                self.picked.emit()

    def _ticked(self) -> None:
        if isinstance(self.editor, QCheckBox):
            self.typed.emit(self.editor.isChecked())

    def _finished(self) -> None:
        if isinstance(self.editor, QLineEdit):
            self._take(self.editor.text())
            self.editor.setModified(False)  # taken or written back: undo is the window's again

    def _take(self, text: str) -> None:
        if text == written(self.field, self._shown, self._units):
            return
        try:
            value = read(self.field, text, self._units)
        except DrainsketchError as fault:
            self.refuse(str(fault))
            return
        self.say("")
        self.typed.emit(value)
        self._write_back()  # a value written another way ('12.5' for 12' 6") is shown the job's way

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the notes when their field is left."""
        if event.type() == QEvent.Type.FocusOut and isinstance(self.editor, QPlainTextEdit):
            self.take()
        return super().eventFilter(watched, event)


class Form(QWidget):
    """A column of fields. ``write`` applies a value and may raise a DrainsketchError, whose sentence is shown.

    It stands under its field, or where ``tell`` puts it: a form of many short rows does not move under the pointer then.
    """

    picked = Signal()  # an entry was chosen in an open list

    def __init__(
        self,
        fields: tuple[Field, ...],
        write: Write,
        parent: QWidget | None = None,
        *,
        tell: Callable[[str], object] | None = None,
    ) -> None:
        super().__init__(parent)
        self.fields = fields
        self._write = write
        self.rows = tuple(Row(field, self, tell) for field in fields)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 2)
        for at, row in enumerate(self.rows):
            if row.field.beside:
                first = self.rows[at - 1]
                first.label.setText(row.field.beside)
                row.label.hide()
                pair = QHBoxLayout()
                pair.setSpacing(4)
                pair.addWidget(first.editor)
                pair.addWidget(row.editor)
                grid.addLayout(pair, 3 * at - 3, 1)
            elif row.field.quantity == "notes":
                grid.addWidget(row.label, 3 * at, 0, 1, 2)
                grid.addWidget(row.editor, 3 * at + 1, 0, 1, 2)
            else:
                grid.addWidget(row.label, 3 * at, 0)
                grid.addWidget(row.editor, 3 * at, 1)
            grid.addWidget(row.fault, 3 * at + 2, 0, 1, 2)
            row.typed.connect(lambda value, row=row: self._apply(row, value))
            row.picked.connect(self.picked)

    def show_values(self, value_of: Callable[[str], Value], units: Units) -> None:
        """Show the values of all fields."""
        for row in self.rows:
            row.show(value_of(row.field.name), units)

    def row(self, name: str) -> Row:
        """Return the row of a field."""
        return next(row for row in self.rows if row.field.name == name)

    def _apply(self, row: Row, value: Value) -> None:
        try:
            self._write(row.field, value)
        except DrainsketchError as fault:
            row.refuse(refusal(row.field, str(fault), row.units))
            return
        for one in self.rows:
            one.say("")  # what was refused before it is of an earlier step


def column(*parts: QWidget, spacing: int = 6, margins: tuple[int, int, int, int] = (10, 8, 10, 10)) -> QWidget:
    """Return a widget with the parts one under the other."""
    made = QWidget()
    box = QVBoxLayout(made)
    box.setSpacing(spacing)
    box.setContentsMargins(*margins)
    for part in parts:
        box.addWidget(part)
    return made
