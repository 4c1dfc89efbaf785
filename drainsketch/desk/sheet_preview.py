"""A look at the sheets before they are printed: the real pages, made anew whenever something else is chosen."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial

from msgspec import Struct
from PySide6.QtCore import QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtGui import QImage, QKeySequence, QPixmap, QResizeEvent, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.page_paint import PT_PER_IN, Pages
from drainsketch.desk.sheet_maker import Made, SheetChoice
from drainsketch.desk.studying import pass_on
from drainsketch.errors import DrainsketchError

REST_MS = 120  # after the last change
ZOOMS = (0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0)
EDGE_PX = 12
BROKE_OFF = "The pages could not be made: a fault in the program. Choose something else, or report it."


class _Seen(Struct, frozen=True):
    """What the worker brings back: the sheets, their pages, and one of them as a picture; or why there are none."""

    choice: SheetChoice
    asked: tuple[int, float]
    made: Made | None = None
    pages: Pages | None = None
    image: QImage | None = None
    index: int = 0
    fault: str = ""


class SheetPreview(QWidget):
    """List of pages, the page itself, and its zoom. Sheets are made and painted off the window's thread, the newest wish wins."""

    made_anew = Signal()  # ``made`` or ``fault`` is another
    _done = Signal(object)  # a Future; crosses from the worker's thread

    def __init__(self, make: Callable[[SheetChoice], Made], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._make = make
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="sheets")
        self._running: Future[_Seen] | None = None
        self._wanted: SheetChoice | None = None
        self._shown: _Seen | None = None
        self._zoom: float | None = None  # None: the whole page
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._start)
        self._done.connect(self._take)
        self._build()
        self.destroyed.connect(partial(self._worker.shutdown, wait=False, cancel_futures=True))

    def _build(self) -> None:
        self.list = QListWidget()
        self.list.setAccessibleName("Pages")
        self.list.setFixedWidth(188)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.currentRowChanged.connect(self._look)
        self.page = QLabel(alignment=Qt.AlignmentFlag.AlignCenter)
        self.page.setAccessibleName("Page")
        self.page.setWordWrap(True)
        self.area = QScrollArea(widgetResizable=True)
        self.area.setWidget(self.page)
        self.area.setAccessibleName("Page")
        self.area.setMinimumSize(300, 240)
        self.told = QLabel()
        self.told.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        row = QHBoxLayout()
        row.addWidget(self.told, 1)
        for text, tip, keys, do in (
            ("‹", "Page before", ("PgUp",), partial(self._step, -1)),
            ("›", "Next page", ("PgDown",), partial(self._step, 1)),
            ("−", "Smaller", ("Ctrl+-",), partial(self._zoom_by, -1)),
            ("+", "Larger", ("Ctrl++", "Ctrl+="), partial(self._zoom_by, 1)),
            ("Whole page", "Whole page", ("Ctrl+0",), self._whole),
        ):
            button = QToolButton()
            button.setText(text)
            button.setToolTip(f"{tip} ({keys[0]})")
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setAccessibleName(tip)
            button.clicked.connect(do)
            for key in keys:
                QShortcut(QKeySequence(key), self, do, context=Qt.ShortcutContext.WindowShortcut)
            row.addWidget(button)
        right = QVBoxLayout()
        right.addWidget(self.area, 1)
        right.addLayout(row)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self.list)
        box.addLayout(right, 1)

    @property
    def made(self) -> Made | None:
        """The sheets that are shown; None while others are wanted, or none can be made."""
        shown = self._shown
        return shown.made if shown is not None and shown.choice == self._wanted else None

    @property
    def fault(self) -> str:
        """Why there are no sheets; '' when there are."""
        shown = self._shown
        return shown.fault if shown is not None and shown.choice == self._wanted else ""

    def show_choice(self, choice: SheetChoice) -> None:
        """Show the sheets as chosen, as soon as they are made."""
        if choice != self._wanted:
            self._wanted = choice
            self.told.setText("Making the pages…")
            self._gray(True)
            self.made_anew.emit()
            self._rest.start()

    def _gray(self, old: bool) -> None:
        """Show that what is seen is of the choice before."""
        for part in (self.list, self.page):
            part.setEnabled(not old)

    def stop(self) -> None:
        """Let go of the worker, without waiting; what it is at is finished and dropped."""
        self._wanted = None
        self._rest.stop()
        self._worker.shutdown(wait=False, cancel_futures=True)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the whole page anew."""
        super().resizeEvent(event)
        if self._shown is not None and self._zoom is None:
            self._rest.start()

    def _asked(self) -> tuple[int, float]:
        """Return which page is to be seen, and how large: 0 to fit it."""
        return max(0, self.list.currentRow()), self._zoom or 0.0

    def _start(self) -> None:
        if self._running is None and self._wanted is not None:
            room = self.area.maximumViewportSize()
            fit = (room.width() - EDGE_PX, room.height() - EDGE_PX)
            ratio = self.devicePixelRatioF()
            at_full = self.logicalDpiX() * ratio
            work = partial(_seen, self._make, self._wanted, self._shown, self._asked(), fit, at_full, ratio)
            self._running = self._worker.submit(work)
            self._running.add_done_callback(partial(pass_on, self._done))

    def _take(self, done: "Future[_Seen]") -> None:
        asked, self._running = self._running, None
        if done is not asked or done.cancelled() or self._wanted is None:
            return
        if done.exception() is not None:
            self.told.setText(BROKE_OFF)
            return
        seen = done.result()
        if seen.choice != self._wanted:
            self._start()
            return
        anew = self._shown is None or self._shown.choice != seen.choice
        self._shown = seen
        self._gray(False)
        if anew:
            self._list_pages(seen)
        self._show(seen)
        if seen.asked != self._asked():
            self._start()
        if anew:
            self.made_anew.emit()

    def _list_pages(self, seen: _Seen) -> None:
        with QSignalBlocker(self.list):
            self.list.clear()
            if seen.made is not None and seen.pages is not None:
                for label, name in zip(seen.pages.labels, seen.made.names, strict=True):
                    self.list.addItem(f"{label}  {name}")
                    self.list.item(self.list.count() - 1).setToolTip(name)
                self.list.setCurrentRow(seen.index)

    def _show(self, seen: _Seen) -> None:
        if seen.image is None or seen.pages is None:
            self.page.setText(seen.fault)
            self.told.setText("")
            return
        image = QPixmap.fromImage(seen.image)
        image.setDevicePixelRatio(self.devicePixelRatioF())
        self.page.setPixmap(image)
        size = seen.pages.sizes_pt[seen.index]
        inches = f"{size.width() / PT_PER_IN:.4g} by {size.height() / PT_PER_IN:.4g} in"
        self.told.setText(f"Page {seen.index + 1} of {len(seen.pages.sizes_pt)}, {inches}")

    def _look(self, _row: int) -> None:
        self._start()

    def _step(self, by: int) -> None:
        if self.list.count():
            self.list.setCurrentRow(min(self.list.count() - 1, max(0, self.list.currentRow() + by)))

    def _zoom_by(self, by: int) -> None:
        now = self._zoom or self._fitted()
        larger, smaller = [z for z in ZOOMS if z > now * 1.01], [z for z in ZOOMS if z < now * 0.99]
        if by > 0 and larger:
            self._zoom = larger[0]
        elif by < 0 and smaller:
            self._zoom = smaller[-1]
        self._start()

    def _fitted(self) -> float:
        shown = self._shown
        if shown is None or shown.image is None or shown.pages is None:
            return 1.0
        size = shown.pages.sizes_pt[shown.index]
        return shown.image.width() / self.devicePixelRatioF() / self.logicalDpiX() / (size.width() / PT_PER_IN)

    def _whole(self) -> None:
        self._zoom = None
        self._start()


def _seen(
    make: Callable[[SheetChoice], Made],
    choice: SheetChoice,
    before: _Seen | None,
    asked: tuple[int, float],
    fit: tuple[int, int],
    dots_at_full: float,
    ratio: float,
) -> _Seen:
    """Return the sheets and the page asked for; called on the worker's thread, and on no other."""
    try:
        made = make(choice)
    except DrainsketchError as fault:
        return _Seen(choice, asked, fault=str(fault))
    kept = before is not None and before.made is made
    pages = before.pages if before is not None and kept and before.pages is not None else Pages(made.data)
    index = min(asked[0], len(pages.sizes_pt) - 1)
    size = pages.sizes_pt[index]
    dots = asked[1] * dots_at_full
    if not dots:
        dots = ratio * PT_PER_IN * max(0.1, min(fit[0] / size.width(), fit[1] / size.height()))
    return _Seen(choice, asked, made, pages, pages.image(index, dots), index)
