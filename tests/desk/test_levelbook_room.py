"""The level book on small screens, and with names that look like markup."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.window import Window
from tests.desk.book_hands import BARE, at_the_book
from tests.ground.books import book, bs, fs, inter, known, setup


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    window = at_the_book(qtbot, tmp_path)
    yield window
    window.studying.stop()


@pytest.mark.parametrize("size", [(1366, 768), (1280, 720)])
def test_the_pane_fits_a_small_screen(desk: Window, size: tuple[int, int]) -> None:
    desk.resize(*size)
    many = book(*(setup(bs(f"P{n}", 4.0), inter(f"a{n}", 5.0), fs(f"P{n + 1}", 4.5)) for n in range(9)))
    desk.session.open(replace(BARE, book=many))
    desk.book.bar.adjust.click()
    QApplication.processEvents()
    table = desk.book.table
    assert table.verticalScrollBar().isVisible()
    assert table.viewport().height() >= 3 * table.verticalHeader().defaultSectionSize()
    assert not table.horizontalScrollBar().isVisible()
    assert desk.canvas.height() > 300


@pytest.mark.parametrize("size", [(1366, 768), (1280, 720)])
def test_a_long_sentence_at_the_foot_is_shown_whole(desk: Window, size: tuple[int, int]) -> None:
    desk.resize(*size)
    adrift = book(setup(bs("The corner of the old walk", 4.0), inter("a", 5.0)), setup(bs("Another far corner", 4.0)))
    desk.session.open(replace(BARE, book=adrift))
    foot = desk.book.foot
    assert foot.text().startswith("Setup 1 hangs on nothing")
    QApplication.processEvents()
    assert foot.height() >= foot.heightForWidth(foot.width())


def test_names_that_look_like_markup_are_shown_as_they_are(desk: Window) -> None:
    name = "<img src='x'><b>&amp;"
    loop = book(setup(bs(name, 4.0), inter(name + "2", 5.0), fs(name, 9.0)), marks=(known(name, 100.0),))
    desk.session.open(replace(BARE, book=loop))
    desk.book.table.go_to(1)
    desk.book.bar.place.click()
    assert name + "2" in desk.status.hint.text()
    for label in (desk.status.hint, desk.book.foot):
        assert label.textFormat() is Qt.TextFormat.PlainText
        assert "<img" not in label.toolTip()
    cell = desk.book.table.model().index(0, b.POINT)
    assert cell.data() == name
    assert "<img" not in cell.data(Qt.ItemDataRole.ToolTipRole)
