"""The form of the sheets with its preview, driven by hand: what is seen is what is written and printed, to the scale it says."""

from io import BytesIO
from pathlib import Path

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from PySide6.QtCore import QSizeF, Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from drainsketch.desk.page_paint import Pages
from drainsketch.desk.sheet_form import SheetForm
from drainsketch.desk.sheet_maker import SheetChoice, SheetMaker
from drainsketch.desk.sheet_print import layout_of, print_pages
from tests.desk.at_desk import PLANE_YARD, open_window

DOTS = 600  # to the inch, at which prints are compared
TOLERANCE_IN = 0.005


class Desk:
    """A form on the plane yard, and what it sent to the printer."""

    def __init__(self, qtbot: QtBot, choice: SheetChoice | None = None) -> None:
        self.qtbot, self.sent = qtbot, list[bytes]()
        self.maker = SheetMaker(PLANE_YARD)
        self.form = SheetForm(choice or SheetChoice(), "ft-in", make=self.maker.made, send=self.send)
        qtbot.addWidget(self.form, before_close_func=lambda form: form.preview.stop())
        self.form.show()
        self.settle()

    def send(self, data: bytes, _over: QWidget) -> bool:
        self.sent.append(data)
        return True

    def settle(self) -> None:
        """Wait until what is wanted is shown."""
        preview = self.form.preview
        assert preview is not None
        self.qtbot.waitUntil(lambda: preview.made is not None or bool(preview.fault), timeout=30_000)
        self.qtbot.waitUntil(lambda: preview._running is None, timeout=30_000)

    @property
    def listed(self) -> list[str]:
        assert self.form.preview is not None
        pages = self.form.preview.list
        return [pages.item(i).text() for i in range(pages.count())]

    def tick(self, name: str) -> None:
        """Press Space on a page's check box."""
        (item,) = self.form.pages.findItems(name, Qt.MatchFlag.MatchExactly)
        self.form.pages.setFocus()
        self.form.pages.setCurrentItem(item)
        self.qtbot.keyClick(self.form.pages, Qt.Key.Key_Space)
        self.settle()


def test_the_real_pages_are_seen_and_follow_the_choices(qtbot: QtBot) -> None:
    desk = Desk(qtbot)
    assert desk.form.preview is not None
    assert desk.listed[0] == "C-1  Plan"
    shown = desk.form.preview.page.pixmap().toImage()
    assert shown.width() > 200
    assert len({shown.pixel(x, shown.height() // 2) for x in range(0, shown.width(), 2)}) > 3  # not an empty page
    desk.tick("Takeoff")
    assert not any("Takeoff" in name for name in desk.listed)
    assert desk.form.choice().leave_out == ("takeoff",)
    desk.tick("Takeoff")
    assert any("Takeoff" in name for name in desk.listed)
    desk.form.reader.setCurrentIndex(1)
    desk.settle()
    assert desk.listed[0] == "O-1  Owner's plan"
    desk.form.langs[1].setCurrentIndex(desk.form.langs[1].findData("es"))
    desk.settle()
    assert desk.listed[0] == "P-1  Plano del propietario"


def test_pages_of_the_choice_before_are_grayed_and_cannot_be_written_or_printed(qtbot: QtBot) -> None:
    desk = Desk(qtbot)
    form = desk.form
    assert form.preview is not None
    form.paper.setFocus()
    qtbot.keyClick(form.paper, Qt.Key.Key_Down)
    for part in (form.write, form.print, form.preview.page, form.preview.list):
        assert not part.isEnabled()
    qtbot.keyClick(form, Qt.Key.Key_Return)
    assert form.isVisible()
    desk.settle()
    for part in (form.write, form.print, form.preview.page, form.preview.list):
        assert part.isEnabled()


def test_a_storm_that_leaves_nothing_standing_says_so_at_its_check_box(qtbot: QtBot) -> None:
    form = Desk(qtbot, SheetChoice(audience="owner")).form
    (item,) = form.pages.findItems("Your yard in the storm", Qt.MatchFlag.MatchStartsWith)
    assert item.text().endswith(": nothing to show")
    assert item.toolTip() == "There is no storm to show: shoot the ground and give the rain in Water."
    assert not item.flags() & Qt.ItemFlag.ItemIsEnabled


def test_keys_turn_pages_and_zoom(qtbot: QtBot) -> None:
    desk = Desk(qtbot)
    preview = desk.form.preview
    assert preview is not None
    desk.form.activateWindow()
    qtbot.waitUntil(desk.form.isActiveWindow)
    qtbot.keyClick(desk.form, Qt.Key.Key_PageDown)
    assert preview.list.currentRow() == 1
    desk.settle()
    assert preview.told.text().startswith("Page 2 of")
    whole = preview.page.pixmap().width()
    qtbot.keyClick(desk.form, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: preview.page.pixmap().width() > whole)
    desk.settle()
    qtbot.keyClick(desk.form, Qt.Key.Key_0, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: preview.page.pixmap().width() == whole)
    qtbot.keyClick(desk.form, Qt.Key.Key_PageUp)
    assert preview.list.currentRow() == 0


def test_what_cannot_be_made_is_said_and_cannot_be_written(qtbot: QtBot) -> None:
    desk = Desk(qtbot)
    assert desk.form.preview is not None
    desk.form.reader.setCurrentIndex(2)  # nothing is laid yet
    desk.settle()
    assert "Nothing was shot on laid pipe yet" in desk.form.preview.page.text()
    assert not desk.form.write.isEnabled()
    assert not desk.form.print.isEnabled()
    desk.form.reader.setCurrentIndex(0)
    desk.settle()
    assert desk.form.write.isEnabled()


def test_the_printer_gets_the_pages_that_are_seen(qtbot: QtBot) -> None:
    desk = Desk(qtbot, SheetChoice(leave_out=("notes", "takeoff")))
    qtbot.mouseClick(desk.form.print, Qt.MouseButton.LeftButton)
    assert desk.form.preview is not None and desk.form.preview.made is not None
    assert desk.sent == [desk.form.preview.made.data]
    with pdfplumber.open(BytesIO(desk.sent[0])) as pdf:
        assert len(pdf.pages) == len(desk.listed)


def test_it_fits_a_small_laptop(qtbot: QtBot) -> None:
    desk = Desk(qtbot, SheetChoice(audience="all"))
    assert desk.form.minimumSizeHint().height() <= 700
    assert desk.form.width() <= 1366 and desk.form.height() <= 700


def dark(data: bytes, index: int) -> np.ndarray:
    """Return the extent of everything dark on a page, in: left, top, right, bottom."""
    page = pypdfium2.PdfDocument(data)[index]
    gray = page.render(scale=DOTS / 72, grayscale=True).to_numpy().squeeze()
    rows, columns = np.nonzero((gray < 100).any(axis=1))[0], np.nonzero((gray < 100).any(axis=0))[0]
    return np.array([columns[0], rows[0], columns[-1], rows[-1]]) / DOTS


@pytest.mark.parametrize("paper", ["letter", "tabloid", "a4"])
def test_a_print_is_at_the_scale_of_the_sheet(paper: str, qtbot: QtBot, tmp_path: Path) -> None:
    """A printer that writes a PDF stands for one of paper; the frame of the plan is where the sheet has it, to 0.005 in."""
    made = SheetMaker(PLANE_YARD).made(SheetChoice(paper=paper))
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "print.pdf"))
    printer.setFromTo(1, 2)
    told: list[tuple[int, int]] = []
    print_pages(Pages(made.data), printer, lambda done, of: told.append((done, of)) is None)
    assert told == [(0, 2), (1, 2)]
    with pdfplumber.open(tmp_path / "print.pdf") as pdf, pdfplumber.open(BytesIO(made.data)) as source:
        assert len(pdf.pages) == 2
        for page, original in zip(pdf.pages, source.pages, strict=False):
            assert (page.width, page.height) == pytest.approx((float(original.width), float(original.height)), abs=0.36)
            for image in page.images:  # dots to the inch
                assert image["srcsize"][0] / ((image["x1"] - image["x0"]) / 72) >= 300
    printed = (tmp_path / "print.pdf").read_bytes()
    assert dark(printed, 0) == pytest.approx(dark(made.data, 0), abs=TOLERANCE_IN)


def test_a_page_on_its_side_takes_its_paper_on_its_side() -> None:
    assert layout_of(QSizeF(792, 612)).fullRect().width() == 792
    assert layout_of(QSizeF(612, 792)).pageSize().name().startswith("Letter")


def test_a_pdf_of_sheets_opens_in_the_window_as_the_job_it_was_made_from(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path)
    answers.leave = "discard"
    path = tmp_path / "sheets.pdf"
    path.write_bytes(SheetMaker(PLANE_YARD).made(SheetChoice()).data)
    assert window.documents.open(path)
    assert window.session.job == PLANE_YARD
    assert window.documents.path is None  # a PDF is never saved to
    answers.save_path = tmp_path / "again.drainjob"
    assert window.documents.save()
    assert answers.save_path.is_file()
    assert path.read_bytes().startswith(b"%PDF")
    (tmp_path / "other.pdf").write_bytes(b"%PDF-1.4 nothing")
    assert not window.documents.open(tmp_path / "other.pdf")
    assert "this PDF" in answers.told[-1]
