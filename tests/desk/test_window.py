"""The real window, with mouse and keys."""

from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QPalette
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QToolButton
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.findings import FINDING
from drainsketch.desk.sheet_form import SheetForm
from drainsketch.desk.sheet_maker import SheetChoice
from drainsketch.desk.theme import DARK, LIGHT, palette
from drainsketch.desk.window import Window
from drainsketch.files.jobfile import read_job
from drainsketch.files.saving import save_job
from drainsketch.job.edits.change import change, change_header
from drainsketch.sheets.scale import PAPERS
from tests.desk.at_desk import PLANE_YARD, Answers, field, open_window, settings_in
from tests.desk.hands import Hands

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    return open_window(qtbot, tmp_path, PLANE_YARD)


def test_edited_field_is_marked_unsaved_and_undone_with_the_keys(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    window.session.select(("B1",))
    assert not window.isWindowModified()
    editor = field(window, "rim_ft")
    editor.setFocus()
    qtbot.keyClicks(editor, "99.90")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert window.session.job.structures[0].rim_ft == pytest.approx(99.9)
    assert window.isWindowModified()
    assert "[*]" in window.windowTitle()
    assert window.actions_.by_name["undo"].text() == "Undo: Change rim of B1"
    window.canvas.setFocus()
    qtbot.keyClick(window.canvas, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.session.job == PLANE_YARD
    assert not window.isWindowModified()
    assert window.actions_.by_name["redo"].text() == "Redo: Change rim of B1"
    for key, held in (
        (Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier),
        (Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier),
    ):
        qtbot.keyClick(window.canvas, key, held)
        assert window.isWindowModified()
        window.session.undo()


def test_closing_asks_about_unsaved_work(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, answers = desk
    window.session.apply(change_header(window.session.job, title="Changed"), "Change job")
    answers.leave = "cancel"
    assert not window.close()
    assert window.isVisible()
    answers.leave, answers.save_path = "save", tmp_path / "kept.drainjob"
    assert window.close()
    assert answers.asked.count("leave Changed") == 2
    assert read_job(tmp_path / "kept.drainjob").header.title == "Changed"


def test_clicked_finding_selects_and_flies_to_its_place(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    listed = window.findings.list
    found = window.findings.model.shown
    row = next(i for i, f in enumerate(found) if f.place.point is not None)
    index = window.findings.model.index(row)
    listed.scrollTo(index)
    qtbot.mouseClick(listed.viewport(), LEFT, pos=listed.visualRect(index).center())
    finding = index.data(FINDING)
    assert set(window.session.selection) == set(finding.place.ids)
    middle = window.canvas.rect().center()
    at = window.canvas.mapped(finding.place.point)
    assert abs(at.x() - middle.x()) <= 1.5
    assert abs(at.y() - middle.y()) <= 1.5


def test_enter_on_a_finding_and_f8_fly_too(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    listed = window.findings.list
    listed.setFocus()
    listed.setCurrentIndex(window.findings.model.index(0))
    qtbot.keyClick(listed, Qt.Key.Key_Return)
    first = window.session.selection
    assert first
    window.session.select(())
    window.list_tabs.setCurrentWidget(window.takeoff)
    qtbot.keyClick(window.canvas, Qt.Key.Key_F8)
    assert window.list_tabs.currentWidget() is window.findings
    assert window.findings.list.currentIndex().row() == 1 % len(window.findings.model.shown)
    assert window.session.selection


def test_findings_tab_carries_the_count(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    assert window.list_tabs.tabText(0) == f"Findings ({len(window.session.review.findings)})"
    window.session.open(type(PLANE_YARD)())
    assert window.list_tabs.tabText(0) == "Findings"


def test_pointer_on_the_plan_reads_place_and_ground(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    """The ground is the plane 100 - 0.02 x (see at_desk.py): 99.50 at x = 25; 120 ft north lies outside the shots."""
    window, _ = desk
    window.canvas.cursor_moved.emit(25.0, 10.0)
    assert window.status.place.text() == "E 25' 0\"  N 10' 0\""
    assert window.status.ground.text() == "ground 99.50, falls 2.00% E"
    window.canvas.cursor_moved.emit(25.0, 120.0)
    assert window.status.ground.text().endswith("(guess)")
    qtbot.mouseMove(window.canvas, window.canvas.rect().center())
    qtbot.waitUntil(lambda: not window.status.place.text().startswith("E 25' 0\"  N 120'"))


def test_scale_of_the_view_follows_the_zoom(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    qtbot.waitUntil(lambda: window.status.zoom.text() != "")
    before = window.status.zoom.text()
    qtbot.keyClick(window.canvas, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: window.status.zoom.text() != before)


def test_escape_in_a_pane_brings_the_keyboard_back_to_the_plan(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    window.takeoff.table.setFocus()
    window.list_tabs.setCurrentWidget(window.takeoff)
    window.findings.list.setFocus()
    qtbot.keyClick(window.list_tabs, Qt.Key.Key_Escape)
    assert window.canvas.hasFocus()


def test_plan_has_more_room_than_what_stands_below_it_on_a_small_laptop(
    desk: tuple[Window, Answers], qtbot: QtBot
) -> None:
    window, _ = desk
    assert (window.width(), window.height()) == (1366, 768)
    assert window.rooms.side.width() <= 340
    assert window.canvas.height() >= 1.35 * window.lower_tabs.height()
    assert window.canvas.width() * window.canvas.height() >= 0.35 * 1366 * 768
    assert window.minimumSizeHint().width() <= 1024
    assert window.minimumSizeHint().height() <= 640
    last = window.rooms.findChildren(QToolButton)[-1]
    bottom = last.mapTo(window, QPoint(0, last.height())).y()
    assert bottom <= window.status.geometry().top()  # no tool is cut off


def test_the_strip_has_room_for_a_table_and_the_profile_gets_as_much(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    for page in (window.book, window.profile_page):
        window.lower_tabs.setCurrentWidget(page)
        assert 0.4 * window.rooms.height() <= window.lower_tabs.height() <= 0.44 * window.rooms.height()


def test_window_grows_to_a_large_screen(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    window.resize(3840, 2160)
    qtbot.waitUntil(lambda: window.canvas.width() > 3000)
    assert window.rooms.side.width() <= 520
    assert window.lower_tabs.height() <= 620


def test_every_control_says_its_name(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("B1",))
    for kind in (QLineEdit, QComboBox):
        for control in window.findChildren(kind):
            if control.objectName() != "qt_spinbox_lineedit":
                assert control.accessibleName(), control.objectName()
    for button in window.rooms.findChildren(QToolButton):
        assert button.accessibleName() or button.text()
    for pane in (window.canvas, window.findings.list, window.takeoff.table, window.profile):
        assert pane.accessibleName()


def test_first_hint_shows_on_an_empty_plan_and_goes_with_the_first_tool(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path)
    assert window.welcome.isVisible()
    qtbot.keyClicks(window.canvas, "L")
    assert not window.welcome.isVisible()
    window.session.open(PLANE_YARD)
    assert not window.welcome.isVisible()
    window.documents.new()
    assert window.welcome.isVisible()


def test_another_job_begins_without_the_place_of_the_pointer_on_the_one_before(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    window.canvas.zoom_to_fit()
    Hands(window.canvas).move((12.0, 5.0))
    assert window.status.place.text().startswith(("E 11'", "E 12'"))
    assert window.status.ground.text()
    qtbot.keyClick(window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    assert (window.status.place.text(), window.status.ground.text()) == ("", "")
    Hands(window.canvas).move((3.0, 2.0))
    assert window.status.place.text().startswith("E ")
    assert window.status.ground.text() == "no shots yet"


def test_dropped_job_file_opens(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, _ = desk
    path = tmp_path / "dropped.drainjob"
    save_job(change(PLANE_YARD, "B1", name="dropped"), path)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    held = (Qt.DropAction.CopyAction, data, LEFT, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(window, QDragEnterEvent(QPoint(10, 10), *held))
    QApplication.sendEvent(window, QDropEvent(QPointF(10, 10), *held))
    assert window.documents.path == path
    assert window.session.job.structures[0].name == "dropped"
    assert "dropped.drainjob" in window.windowTitle()
    assert [a.text() for a in window.recent_menu.actions()] == ["&1  dropped.drainjob"]


def test_plan_sheet_is_written_and_offered_to_be_opened(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, answers = desk
    answers.save_path = tmp_path / "plan.pdf"
    window.actions_.by_name["export_pdf"].trigger()
    assert answers.told == []
    assert answers.save_path.read_bytes().startswith(b"%PDF")
    assert answers.shown == [answers.save_path]


def test_sheet_form_offers_scales_in_the_units_of_the_job(qtbot: QtBot) -> None:
    """Every paper that the sheets know, and back out what was put in."""
    for units, text, feet in (("ft-in", "1 in = 10 ft", 10.0), ("m", "1:200", 200 / 12)):
        form = SheetForm(SheetChoice("tabloid", feet, "all", contours=True), units)  # type: ignore[arg-type]
        qtbot.addWidget(form)
        assert form.scale.currentText() == text
        assert form.choice() == SheetChoice("tabloid", feet, "all", contours=True)
        assert {form.paper.itemData(i) for i in range(form.paper.count())} == set(PAPERS)


def test_window_remembers_its_borders_and_panes(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path)
    window.actions_.by_name["show_lower"].trigger()
    assert not window.profile.isVisible()
    assert window.close()
    again = Window(settings_in(tmp_path), Answers())
    qtbot.addWidget(again)
    again.show()
    assert not again.profile.isVisible()
    assert not again.actions_.by_name["show_lower"].isChecked()


def test_panes_follow_into_the_dark_while_the_plan_stays_paper(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    light = window.actions_.by_name["tool.basin"].icon().pixmap(24, 24).toImage()
    window.setPalette(palette(DARK))
    try:
        assert window.actions_.by_name["tool.basin"].icon().pixmap(24, 24).toImage() != light
        corner = window.profile.grab().toImage().pixelColor(2, 2)
        assert corner.name() == "#ffffff"
    finally:
        window.setPalette(palette(LIGHT))


@pytest.mark.parametrize("tones", [LIGHT, DARK])
def test_words_stand_out_from_their_ground(tones: object) -> None:
    """Contrast 4.5 : 1 at least for text, by the relative luminance of WCAG 2.1, success criterion 1.4.3."""
    role = QPalette.ColorRole

    def luminance(color: object) -> float:
        def part(c: float) -> float:
            return c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4

        return 0.2126 * part(color.redF()) + 0.7152 * part(color.greenF()) + 0.0722 * part(color.blueF())  # type: ignore[attr-defined]

    def contrast(a: object, b: object) -> float:
        high, low = sorted((luminance(a), luminance(b)), reverse=True)
        return (high + 0.05) / (low + 0.05)

    made = palette(tones)  # type: ignore[arg-type]
    for words, ground in (
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.ButtonText, role.Button),
        (role.PlaceholderText, role.Base),
        (role.PlaceholderText, role.Window),
        (role.HighlightedText, role.Highlight),
        (role.BrightText, role.Base),
    ):
        assert contrast(made.color(words), made.color(ground)) >= 4.5, (words, ground)


def test_help_and_legend_windows_open_and_close(desk: tuple[Window, Answers], qtbot: QtBot) -> None:
    window, _ = desk
    for name in ("legend", "cautions", "keys", "about"):
        window.actions_.by_name[name].trigger()
        opened = QApplication.activeWindow() or window
        qtbot.waitUntil(lambda: len([w for w in QApplication.topLevelWidgets() if w.isVisible()]) > 1)
        for top in QApplication.topLevelWidgets():
            if top is not window and top.isVisible():
                top.close()
        assert opened is not None
