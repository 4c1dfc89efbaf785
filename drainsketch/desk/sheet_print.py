"""Prints sheets at their true scale: each page on its own paper, from edge to edge, as a picture of so many dots to the inch."""

from collections.abc import Callable

from PySide6.QtCore import QMarginsF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QProgressDialog, QWidget

from drainsketch.desk.page_paint import PT_PER_IN, Pages
from drainsketch.errors import SheetError

LEAST_DOTS, MOST_DOTS = 300.0, 400.0  # to the inch; more makes the printer wait and the eye sees none of it


def ask_and_print(data: bytes, title: str, parent: QWidget) -> bool:
    """Ask which printer and which pages, and print; return whether it was printed.

    Raises
    ------
    SheetError : the printer takes nothing
    """
    pages = Pages(data)
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(title)
    printer.setFromTo(1, len(pages.sizes_pt))
    printer.setPageLayout(layout_of(pages.sizes_pt[0]))
    dialog = QPrintDialog(printer, parent)
    dialog.setMinMax(1, len(pages.sizes_pt))
    if not dialog.exec():
        return False
    progress = QProgressDialog("Printing…", "Stop", 0, 1, parent)
    progress.setWindowModality(Qt.WindowModality.WindowModal)
    progress.setMinimumDuration(800)

    def on_page(done: int, of: int) -> bool:
        progress.setMaximum(of)
        progress.setValue(done)
        return not progress.wasCanceled()

    try:
        print_pages(pages, printer, on_page)
    finally:
        progress.close()
    return True


def print_pages(pages: Pages, printer: QPrinter, on_page: Callable[[int, int], bool] = lambda _done, _of: True) -> None:
    """Print pages: those from ``fromPage`` to ``toPage`` where the printer was told so, else all.

    Parameters
    ----------
    on_page : told before each page how many are done of how many; False stops

    Raises
    ------
    SheetError : the printer takes nothing
    """
    count = len(pages.sizes_pt)
    first, last = printer.fromPage() or 1, printer.toPage() or count
    wanted = range(max(1, first) - 1, min(count, last))
    if not wanted:
        raise SheetError("No page is chosen to be printed.")
    painter = QPainter()
    for done, index in enumerate(wanted):
        if not on_page(done, len(wanted)):
            printer.abort()
            break
        printer.setPageLayout(layout_of(pages.sizes_pt[index]))
        printer.setFullPage(True)
        begun = printer.newPage() if painter.isActive() else painter.begin(printer)
        if not begun:
            painter.end()
            raise SheetError("The printer takes nothing: look whether it is on, and has paper.")
        dots = float(printer.resolution())
        size = pages.sizes_pt[index]
        # the paper in dots: not what the driver takes for the page, which may be rounded
        paper = QRectF(0, 0, size.width() / PT_PER_IN * dots, size.height() / PT_PER_IN * dots)
        pages.paint(painter, index, max(LEAST_DOTS, min(MOST_DOTS, dots)), paper)
    painter.end()


def layout_of(size_pt: QSizeF) -> QPageLayout:
    """Return the paper of a page, with no margins: the sheets keep their own."""
    on_side = size_pt.width() > size_pt.height()
    upright = size_pt.transposed() if on_side else size_pt
    paper = QPageSize(upright, QPageSize.Unit.Point, "", QPageSize.SizeMatchPolicy.FuzzyMatch)
    held = QPageLayout.Orientation.Landscape if on_side else QPageLayout.Orientation.Portrait
    return QPageLayout(paper, held, QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Point, QMarginsF(0, 0, 0, 0))
