"""The trench of the job and its waste, typed into the real pane."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.takeoff import TakeoffPane
from drainsketch.desk.panes.trench import SECTIONS, TrenchPane
from drainsketch.desk.session import Session
from drainsketch.job.model import Header
from drainsketch.job.sections import Sections, WasteRule
from drainsketch.resources import table
from drainsketch.takeoff.buying import buyings
from tests.desk.at_desk import PLANE_YARD


def pane(qtbot: QtBot) -> tuple[Session, TrenchPane]:
    session = Session(PLANE_YARD)
    made = TrenchPane(session)
    qtbot.addWidget(made)
    made.resize(320, 900)
    made.show()
    return session, made


def type_into(qtbot: QtBot, editor: object, text: str) -> None:
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    qtbot.keyClick(editor, Qt.Key.Key_Backspace)
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)


def test_every_field_of_the_sections_is_there_with_its_source() -> None:
    assert {field.name for field in SECTIONS} == set(Sections.__struct_fields__)
    catalogue = table("catalogue/sections.toml")
    assert set(catalogue) == set(Sections.__struct_fields__)
    assert all(row["source"] for row in catalogue.values())


def test_a_section_is_typed_chosen_and_undone(qtbot: QtBot) -> None:
    session, made = pane(qtbot)
    type_into(qtbot, made.form.row("solid_bed_in").editor, "4")
    type_into(qtbot, made.form.row("solid_over_in").editor, "12")
    assert (session.job.sections.solid_bed_in, session.job.sections.solid_over_in) == (4.0, 12.0)
    # the trench is dug 4 in deeper for its bed
    assert session.review.grades["R1"].bottom_below_invert_ft == pytest.approx((0.12 + 4) / 12)
    lawn = made.form.row("lawn").editor
    assert isinstance(lawn, QComboBox)
    lawn.setCurrentIndex(lawn.findData("sod"))
    lawn.activated.emit(lawn.currentIndex())
    tape = made.form.row("marking_tape").editor
    assert isinstance(tape, QCheckBox)
    tape.click()
    assert (session.job.sections.lawn, session.job.sections.marking_tape) == ("sod", False)
    session.undo()
    assert session.job.sections.marking_tape is True
    made.reset.click()
    assert session.job.sections == Sections()


def test_waste_is_typed_and_emptied_back_to_the_usual(qtbot: QtBot) -> None:
    session, made = pane(qtbot)
    assert {row.field.name for row in made.waste.rows} == set(buyings())
    editor = made.waste.row("stone").editor
    assert isinstance(editor, QLineEdit)
    assert editor.placeholderText() == "usual, 10"
    type_into(qtbot, editor, "25")
    assert session.job.waste == (WasteRule("stone", 25.0),)
    assert made.reset.isEnabled()
    type_into(qtbot, editor, "")
    assert session.job.waste == ()


def test_waste_beyond_its_bounds_is_refused_in_words(qtbot: QtBot) -> None:
    session, made = pane(qtbot)
    row = made.waste.row("stone")
    type_into(qtbot, row.editor, "120")
    assert session.job.waste == ()
    assert row.fault.text() == "Stone: from 0 to 100 can be typed here; the old value is kept."


def test_a_refusal_moves_no_field_and_is_gone_once_something_is_taken(qtbot: QtBot) -> None:
    session, made = pane(qtbot)
    below = made.form.row("base_in").editor
    at = below.mapTo(made, below.rect().topLeft())
    type_into(qtbot, made.form.row("solid_bed_in").editor, "400")
    assert "the old value is kept" in made.fault.text()
    assert made.fault.isVisible()
    qtbot.wait(1)
    assert below.mapTo(made, below.rect().topLeft()) == at
    qtbot.mouseClick(made.childAt(at), Qt.MouseButton.LeftButton)
    assert below.hasFocus()
    qtbot.keyClick(below, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(below, "5")
    qtbot.keyClick(below, Qt.Key.Key_Return)
    assert session.job.sections.base_in == 5.0
    assert made.fault.text() == ""


def test_the_takeoff_shows_what_to_buy_and_says_why(qtbot: QtBot) -> None:
    session = Session(replace(PLANE_YARD, header=Header(units="ft")))
    made = TakeoffPane(session)
    qtbot.addWidget(made)
    made.resize(320, 700)
    made.show()
    rows = [made.table.topLevelItem(i) for i in range(made.table.topLevelItemCount())]
    shown = {row.text(0): row for row in rows if row is not None}
    tape = next(row for name, row in shown.items() if name.startswith("Marking tape"))
    assert (tape.text(1), tape.text(3)) == ("50", "1 roll")
    made.table.setCurrentItem(tape)
    assert "+ 5% waste = 52.50 ft: buy 1 roll of 1,000 ft" in made.why.text()
    grate = next(row for name, row in shown.items() if name.startswith("Grate,"))
    assert grate.text(3) == ""  # as many as are counted
