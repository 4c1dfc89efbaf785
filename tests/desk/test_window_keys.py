"""Keys and tools of the real window: each has one, none twice, and what is typed in a field takes no tool."""

from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QToolButton
from pytestqt.qtbot import QtBot

from drainsketch.desk.actions import COMMANDS
from drainsketch.desk.reading import CAUTIONS, keys_html
from drainsketch.desk.theme import DARK, LIGHT, palette
from drainsketch.desk.tools.catalogue import TOOLS
from drainsketch.desk.window import Window
from tests.desk.at_desk import PLANE_YARD, Answers, field, open_window

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    return open_window(qtbot, tmp_path, PLANE_YARD)


def test_letters_typed_into_a_field_take_no_tool(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    window.session.select(("B1",))
    editor = field(window, "name")
    editor.setFocus()
    qtbot.keyClicks(editor, "BLRGX")
    assert editor.text() == "BLRGX"
    assert window.canvas.driver.spec.name == "select"


@pytest.mark.parametrize("tool", [t.name for t in TOOLS])
def test_every_tool_has_a_button_and_a_key(desk: tuple[Window, Answers], qtbot: QtBot, tool: str) -> None:
    window, _ = desk
    spec = next(t for t in TOOLS if t.name == tool)
    assert len(spec.key) == 1
    action = window.actions_.by_name[f"tool.{tool}"]
    buttons = [b for b in window.findChildren(QToolButton) if b.defaultAction() is action]
    assert len(buttons) == 1
    assert not action.icon().isNull()
    assert f"({spec.key})" in action.toolTip()
    assert min(buttons[0].width(), buttons[0].height()) >= 32
    other = "measure" if tool == "select" else "select"
    window.take_tool(other)
    qtbot.keyClicks(window.canvas, spec.key)
    assert window.canvas.driver.spec.name == tool
    assert action.isChecked()
    window.take_tool(other)
    qtbot.mouseClick(buttons[0], LEFT)
    assert window.canvas.driver.spec.name == tool
    assert window.status.hint.text() != ""


def test_no_key_is_taken_twice() -> None:
    keys = [QKeySequence(k).toString() for c in COMMANDS for k in c.keys] + [t.key for t in TOOLS]
    assert [k for k, n in Counter(keys).items() if n > 1] == []


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("undo", {"Ctrl+Z"}),
        ("redo", {"Ctrl+Y", "Ctrl+Shift+Z"}),
        ("quit", {"Ctrl+Q"}),
        ("save", {"Ctrl+S"}),
        ("save_as", {"Ctrl+Shift+S"}),
        ("open", {"Ctrl+O"}),
        ("new", {"Ctrl+N"}),
    ],
)
def test_usual_keys_are_written_out_for_every_system(desk: tuple[Window, Answers], name: str, keys: set[str]) -> None:
    assert {k.toString() for k in desk[0].actions_.by_name[name].shortcuts()} == keys


def test_choice_of_the_tool_in_hand_reaches_the_plan(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    window.take_tool("select")
    assert not window.choices.choice.isVisible()
    window.take_tool("service")
    combo = window.choices.choice
    assert combo.isVisible()
    combo.setFocus()
    before = combo.currentText()
    qtbot.keyClick(combo, Qt.Key.Key_Down)
    assert combo.currentText() != before
    assert window.canvas.driver.choice_of("service") == combo.currentData()
    window.take_tool("basin")
    window.take_tool("service")
    assert combo.currentData() == window.canvas.driver.choice_of("service")


def test_new_brings_the_keyboard_from_a_field_to_the_plan(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    window.actions_.by_name["to_details"].trigger()
    window.session.select(("B1",))
    editor = field(window, "name")
    qtbot.mouseClick(editor, LEFT)
    assert editor.hasFocus()
    qtbot.keyClick(editor, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    assert window.session.job.structures == ()
    assert window.canvas.hasFocus()


def test_the_sheets_are_asked_for_from_a_field_too(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, answers = desk
    answers.sheet = None
    asked: list[object] = []
    answers.ask_sheet = lambda units, maker: asked.append(units)  # type: ignore[method-assign]
    window.session.select(("B1",))
    editor = field(window, "name")
    qtbot.mouseClick(editor, LEFT)
    qtbot.keyClick(editor, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    assert len(asked) == 1


def test_every_entry_of_the_file_menu_has_a_letter_of_its_own(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    menu = next(a.menu() for a in window.menuBar().actions() if a.text() == "&File")
    letters = [a.text().partition("&")[2][:1].upper() for a in menu.actions() if not a.isSeparator()]
    assert all(letters)
    assert max(Counter(letters).values()) == 1
    assert "S&amp;heets" not in keys_html()


def test_the_sign_of_the_tool_in_hand_follows_into_the_dark(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    window.setPalette(palette(LIGHT))
    light = window.choices._sign.pixmap().toImage()
    window.setPalette(palette(DARK))
    assert window.choices._sign.pixmap().toImage() != light


def test_help_names_the_one_call_number_and_every_key() -> None:
    assert "811" in CAUTIONS
    assert "hand tools only" in CAUTIONS
    assert "never says that a dig is safe" in CAUTIONS
    page = keys_html()
    for tool in TOOLS:
        assert tool.label.replace("&", "&amp;") in page
