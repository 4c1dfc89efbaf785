"""Hands for the tests of the level book: keys that go to whatever has the keyboard, and what the book shows."""

from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu, QWidget
from pytestqt.qtbot import QtBot

from drainsketch.desk.window import Window
from drainsketch.job.model import Header
from drainsketch.job.sights import read_ft
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.ground.books import book, bs, fs, inter, known, setup

K, CTRL = Qt.Key, Qt.KeyboardModifier.ControlModifier
BARE = replace(PLANE_YARD, shots=(), header=Header(title="Plane yard", units="ft"))
LOOP = book(
    setup(bs("BM1", 4.0), inter("a", 5.0), fs("TP1", 6.0)),
    setup(bs("TP1", 3.0), inter("b", 4.0), fs("BM1", 1.03)),
    marks=(known("BM1", 100.0),),
)


def at_the_book(qtbot: QtBot, folder: Path) -> Window:
    """Return the real window on a yard without shots, the keyboard in the empty level book."""
    window, _ = open_window(qtbot, folder, BARE)
    window.canvas.zoom_to_fit()
    window.lower_tabs.setCurrentWidget(window.book)
    window.book.table.setFocus()
    return window


def keyboard() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def write(text: str) -> None:
    """Type as a person does: a letter goes to whatever has the keyboard by then."""
    for letter in text:
        QTest.keyClicks(keyboard(), letter)


def press(key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    QTest.keyClick(keyboard(), key, held)
    QApplication.processEvents()  # Enter in a cell closes its editor a moment later


def line(*cells: str) -> None:
    """Type a line from its point on: BS, IS, FS, distance, note; Enter ends it."""
    for number, cell in enumerate(cells):
        if number:
            press(K.Key_Tab)
        write(cell)
    press(K.Key_Return)


def start_book(window: Window) -> None:
    window.book.marks.setFocus()
    window.book.marks.setCurrentCell(0, 0)
    write("BM1")
    press(K.Key_Tab)
    write("100.00")
    press(K.Key_Return)
    window.book.table.setFocus()
    window.book.table.go_to(0)


def readings(window: Window) -> list[list[tuple[str, str, float]]]:
    return [[(s.kind, s.at, round(read_ft(s), 4)) for s in one.sights] for one in window.session.job.book.setups]


def cells(window: Window, column: int) -> list[str]:
    model = window.book.table.model()
    return [str(model.index(row, column).data() or "") for row in range(model.rowCount())]


def levels(window: Window) -> dict[str, float]:
    return {s.name: round(s.elevation_ft, 3) for s in window.session.review.shots}


def with_loop(window: Window) -> None:
    window.session.open(replace(BARE, book=LOOP))
    window.lower_tabs.setCurrentWidget(window.book)


def typed_text() -> str:
    """Return what stands in the cell that is open for typing."""
    editor = keyboard()
    assert isinstance(editor, QLineEdit)
    return editor.text()


def menu_entry(menu: QMenu, words: str) -> QAction:
    """Return the entry of a menu that begins with these words."""
    return next(a for a in menu.actions() if a.text().startswith(words))
