"""Hands for the tests of the Price pane: the real window on the corner lot, its price in front."""

from decimal import Decimal
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QTreeWidgetItem
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.price_rows import Shown
from drainsketch.desk.panes.price_table import PRICE, SHOWN
from drainsketch.desk.window import Window
from drainsketch.job.model import Job
from tests.desk.at_desk import Answers, open_window
from tests.test_review import sample


def at_the_price(qtbot: QtBot, folder: Path, job: Job | None = None) -> tuple[Window, Answers]:
    """Return the window with the price in front, and the answers of its dialogs."""
    window, answers = open_window(qtbot, folder, job or sample("corner-lot"))
    window.price.asks = answers
    window.actions_.by_name["to_price"].trigger()
    QApplication.processEvents()
    return window, answers


def row(window: Window, item: str) -> Shown:
    """Return what the table shows of a line, by the item it is of, or of a step."""
    return next(s for i in window.price.table._tops() if is_of(s := i.data(0, SHOWN), item))


def is_of(shown: Shown, item: str) -> bool:
    return (shown.line is not None and shown.line.item == item) or shown.key == ("step", item)


def item_of(window: Window, item: str) -> QTreeWidgetItem:
    return next(i for i in window.price.table._tops() if is_of(i.data(0, SHOWN), item))


def click(window: Window, item: str, column: int = PRICE) -> None:
    """Click on a line."""
    click_on(window, item_of(window, item), column)


def click_on(window: Window, item: QTreeWidgetItem, column: int = PRICE) -> None:
    table = window.price.table
    table.scrollToItem(item)
    spot = table.visualRect(table.indexFromItem(item, column)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    QApplication.processEvents()


def double_click(window: Window, item: str) -> None:
    click(window, item)
    table = window.price.table
    spot = table.visualRect(table.indexFromItem(item_of(window, item), PRICE)).center()
    QTest.mouseDClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    QApplication.processEvents()


def editor(window: Window) -> QLineEdit:
    """Return the cell that is open."""
    return next(box for box in window.price.table.viewport().findChildren(QLineEdit) if box.isVisible())


def type_over(window: Window, text: str, end: Qt.Key = Qt.Key.Key_Return) -> None:
    """Type into the open cell, and end it."""
    box = editor(window)
    box.selectAll()
    QTest.keyClicks(box, text) if text else QTest.keyClick(box, Qt.Key.Key_Delete)
    QTest.keyClick(box, end)
    QApplication.processEvents()


def total(window: Window) -> Decimal:
    price = window.price.desk.price
    assert price is not None
    return price.total
