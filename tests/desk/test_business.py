"""The contractor's particulars and the offer, typed in the real window with mouse and keys, and what comes out on paper."""

from pathlib import Path

import pdfplumber
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QCheckBox, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from drainsketch.desk.business import NO_LOGO, BusinessForm
from drainsketch.desk.sheet_form import SheetForm
from drainsketch.desk.sheet_maker import SheetChoice
from drainsketch.desk.window import Window
from drainsketch.files.firm import letterhead_in_use
from drainsketch.job.firm import NO_ONE
from drainsketch.job.model import Job
from tests.desk.at_desk import PLANE_YARD, Answers, open_window
from tests.files.pictures import picture
from tests.sheets.offers import own_files

LEFT = Qt.MouseButton.LeftButton


def form_of(qtbot: QtBot, window: Window) -> BusinessForm:
    """Open the form from its menu."""
    window.actions_.by_name["business"].trigger()
    form = window.findChild(BusinessForm)
    form.activateWindow()
    qtbot.waitUntil(form.isActiveWindow)
    return form


def field(form: BusinessForm, name: str) -> QWidget:
    return form.form.row(name).editor


def type_in(widget: QWidget, text: str) -> None:
    """Click into a field, clear it and type; a line break is Enter."""
    QTest.mouseClick(widget.viewport() if isinstance(widget, QPlainTextEdit) else widget, LEFT)
    QTest.keyClick(widget, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    for at, line in enumerate(text.split("\n")):
        if at:
            QTest.keyClick(widget, Qt.Key.Key_Return)
        QTest.keyClicks(widget, line)


def test_what_is_typed_is_kept_for_all_jobs_with_the_logo(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    form = form_of(qtbot, window)
    assert form.picture.text() == NO_LOGO
    assert not form.drop.isEnabled()
    type_in(field(form, "name"), "Willow Drainage")
    type_in(field(form, "license"), "INV-4711")
    type_in(field(form, "address"), "7 Invented Road\n\nNowhere 00000")
    answers.read_path = tmp_path / "logo.png"
    answers.read_path.write_bytes(picture((300, 100)))
    QTest.mouseClick(form.choose, LEFT)
    shown = form.picture.pixmap()
    assert shown.width() / shown.height() == pytest.approx(3.0, rel=0.02)
    assert letterhead_in_use() == NO_ONE  # nothing is kept before Keep is pressed
    type_in(field(form, "terms"), "Half on signing.")
    QTest.mouseClick(form.keep, LEFT)  # while the terms are still being typed
    qtbot.waitUntil(lambda: window.findChild(BusinessForm) is None)
    kept = letterhead_in_use()
    assert (kept.firm.name, kept.firm.license, kept.firm.terms) == ("Willow Drainage", "INV-4711", "Half on signing.")
    assert kept.firm.address == ("7 Invented Road", "Nowhere 00000")
    assert kept.logo is not None

    form = form_of(qtbot, window)  # it begins with what is kept
    assert field(form, "name").text() == "Willow Drainage"
    QTest.mouseClick(form.drop, LEFT)
    assert form.picture.text() == NO_LOGO
    QTest.keyClick(form.keep, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: window.findChild(BusinessForm) is None)
    assert letterhead_in_use().logo is None


def test_cancel_keeps_nothing(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    form = form_of(qtbot, window)
    type_in(field(form, "name"), "Willow Drainage")
    QTest.keyClick(field(form, "phone"), Qt.Key.Key_Tab)
    form.reject()
    assert letterhead_in_use() == NO_ONE


def test_the_keyboard_begins_in_the_first_field_and_escape_closes_what_is_unchanged(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    form = form_of(qtbot, window)
    assert field(form, "name").hasFocus()
    QTest.keyClick(field(form, "name"), Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert answers.asked == []


def test_escape_asks_before_what_was_changed_is_dropped(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    form = form_of(qtbot, window)
    type_in(field(form, "name"), "Willow Drainage")
    QTest.keyClick(field(form, "name"), Qt.Key.Key_Tab)
    answers.yes = False
    QTest.keyClick(field(form, "license"), Qt.Key.Key_Escape)
    assert form.isVisible()
    answers.yes = True
    QTest.keyClick(field(form, "license"), Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert answers.asked == ["Close without keeping what was changed?"] * 2
    assert letterhead_in_use() == NO_ONE


def test_a_wrong_picture_and_too_much_text_are_said_and_not_kept(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    form = form_of(qtbot, window)
    answers.read_path = tmp_path / "logo.svg"
    answers.read_path.write_bytes(b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    QTest.mouseClick(form.choose, LEFT)
    assert "this is no PNG or JPEG picture" in form.fault.text()
    assert form.letterhead.logo is None
    long = field(form, "license")
    type_in(long, "9" * 81)
    QTest.mouseClick(form.keep, LEFT)
    assert form.isVisible()  # so that it can be read
    assert "more than 80 characters; shorten it" in form.form.row("license").fault.text()
    assert letterhead_in_use() == NO_ONE
    QTest.mouseClick(form.keep, LEFT)  # it was read: what stood before is kept
    assert letterhead_in_use().firm.license == ""
    qtbot.waitUntil(lambda: window.findChild(BusinessForm) is None)


def test_particulars_that_cannot_be_read_are_told_and_can_be_kept_anew(
    qtbot: QtBot, tmp_path: Path, own_home: Path
) -> None:
    own_home.mkdir(parents=True)
    (own_home / "contractor.toml").write_text("name = 5\n", encoding="utf-8")
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    form = form_of(qtbot, window)
    assert "name: this is no text" in answers.told[-1]
    type_in(field(form, "name"), "Willow Drainage")
    QTest.mouseClick(form.keep, LEFT)
    assert letterhead_in_use().firm.name == "Willow Drainage"


def test_the_offer_is_typed_in_the_job_pane_and_undone(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    window.form_tabs.setCurrentWidget(window.header)
    offer = window.header.offer

    def into_view(name: str) -> QWidget:
        editor = offer.row(name).editor
        window.header.ensureWidgetVisible(editor)
        return editor

    excluded = into_view("excluded")
    assert isinstance(excluded, QPlainTextEdit)
    assert "the usual is printed" in excluded.placeholderText()
    type_in(excluded, "The shed.\n\nRock.")
    note = into_view("note")
    type_in(note, "Thank you.")
    tick = into_view("show_lines")
    assert isinstance(tick, QCheckBox)
    tick.setFocus()
    QTest.keyClick(tick, Qt.Key.Key_Space)
    found = window.session.job.offer
    assert (found.excluded, found.note) == (("The shed.", "Rock."), "Thank you.")
    assert found.show_lines
    for _ in range(3):
        window.actions_.by_name["undo"].trigger()
    assert window.session.job.offer == PLANE_YARD.offer
    assert excluded.toPlainText() == ""


def owners_set(qtbot: QtBot, window: Window, answers: Answers, path: Path, *, price: bool) -> str:
    answers.sheet = SheetChoice(audience="owner", price=price)
    answers.save_path, answers.yes = path, False
    window.actions_.by_name["export_pdf"].trigger()
    with pdfplumber.open(path) as pdf:
        return "\n".join(page.extract_text() for page in pdf.pages)


def test_the_owners_set_has_the_kept_prices_and_particulars(
    qtbot: QtBot, tmp_path: Path, own_home: Path, lawn: Job
) -> None:
    window, answers = open_window(qtbot, tmp_path, lawn)
    book, terms = own_files(tmp_path)
    own_home.mkdir(parents=True)
    book.rename(own_home / "prices.csv")
    terms.rename(own_home / "price-terms.toml")
    (own_home / "contractor.toml").write_text('license = "INV-4711"\n', encoding="utf-8")
    text = owners_set(qtbot, window, answers, tmp_path / "with.pdf", price=True)
    assert "Offer for draining your yard" in text
    assert "INV-4711" in text
    assert text.count("Signature") == 2
    text = owners_set(qtbot, window, answers, tmp_path / "without.pdf", price=False)
    assert "$" not in text
    assert "Signature" not in text


def test_the_price_is_left_out_where_the_form_says_so(qtbot: QtBot) -> None:
    form = SheetForm(SheetChoice(audience="owner"), "ft-in")
    qtbot.addWidget(form)
    form.show()
    assert form.choice().price
    QTest.keyClick(form.price, Qt.Key.Key_Space)
    assert not form.choice().price
