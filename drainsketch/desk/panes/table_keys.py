"""Keys in a table belong to it while it has the keyboard, and typing that cannot be read stays open in its cell."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor, QKeyEvent, QKeySequence, QPalette
from PySide6.QtWidgets import QAbstractItemView, QLabel, QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from drainsketch.desk.theme import tones_of

Index = QModelIndex | QPersistentModelIndex
HELD = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.MetaModifier
ENTERS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
ERASERS = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
ENDS = (*ENTERS, Qt.Key.Key_Tab, Qt.Key.Key_Backtab)  # of typing into a cell
OWN = (QKeySequence.StandardKey.SelectAll, QKeySequence.StandardKey.Copy, QKeySequence.StandardKey.Paste)


def is_typing(event: QKeyEvent) -> bool:
    """Return whether a key writes something, so that it is for a cell and not for a tool of the plan."""
    return not event.modifiers() & HELD and bool(event.text().strip()) and event.text().isprintable()


def is_for_table(event: QKeyEvent) -> bool:
    """Return whether a key belongs to a table that has the keyboard; Escape and the F keys are left to the window."""
    key = event.key()  # a bare number: not every letter of every keyboard is one of Qt's keys
    if event.modifiers() & HELD:
        return key in (*ENTERS, Qt.Key.Key_Delete) or any(event.matches(own) for own in OWN)
    return key == Qt.Key.Key_F2 or not (key == Qt.Key.Key_Escape or Qt.Key.Key_F1 <= key <= Qt.Key.Key_F35)


class TableKeys(QObject):
    """Keeps the keys of a table from the shortcuts of the window; ``erase`` is what Delete does, where the table has it not."""

    def __init__(self, table: QAbstractItemView, erase: Callable[[], object] | None = None) -> None:
        super().__init__(table)
        self._erase = erase
        table.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Claim a key before it is taken for a shortcut."""
        if not isinstance(event, QKeyEvent):
            return False
        if event.type() is QEvent.Type.ShortcutOverride and is_for_table(event):
            event.accept()
            return True
        if self._erase is not None and event.type() is QEvent.Type.KeyPress and event.key() in ERASERS:
            self._erase()
            return True
        return False


class KeepingCells(QStyledItemDelegate):
    """Neither Enter nor Tab closes a cell while what stands in it cannot be read; why is said, and Escape gives it up.

    Parameters
    ----------
    why_not : (cell, text) to the sentence that says why the text cannot be taken, '' where it can
    say : shows a sentence; '' takes it off
    """

    def __init__(
        self, table: QAbstractItemView, why_not: Callable[[Index, str], str], say: Callable[[str], object]
    ) -> None:
        super().__init__(table)
        self._why_not = why_not
        self._say = say
        self._cell: QPersistentModelIndex | None = None
        self._refused = False

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Open a cell."""
        self._cell, self._refused = QPersistentModelIndex(index), False
        editor = super().createEditor(parent, option, index)
        if isinstance(editor, QLineEdit):
            editor.textEdited.connect(lambda: self._show(editor, refused=False))
        return editor

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hold a cell open that cannot be read."""
        if event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent) and isinstance(watched, QLineEdit):
            if event.key() in ENDS and self._cell is not None and self._cell.isValid():
                fault = self._why_not(self._cell, watched.text())
                if fault:
                    self._show(watched, refused=True)
                    watched.selectAll()  # to be typed over, or mended after an arrow key
                    self._say(fault)
                    return True
            elif event.key() == Qt.Key.Key_Escape and self._refused:
                self._say("")
        return super().eventFilter(watched, event)

    def _show(self, editor: QLineEdit, *, refused: bool) -> None:
        """Show by its color whether what stands in an editor was refused."""
        if refused != self._refused:
            self._refused = refused
            colors = editor.palette()
            tones = tones_of(editor)
            colors.setColor(QPalette.ColorRole.Text, QColor(tones.stop if refused else tones.text))
            editor.setPalette(colors)


def fault_line(parent: QWidget) -> QLabel:
    """Return a hidden line for what is wrong with the typing in a table."""
    label = QLabel(parent)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setAccessibleName("What is wrong with the typing")
    label.setStyleSheet(f"color: {tones_of(parent).stop};")
    label.hide()
    return label
