"""Starting the window."""

import gc
import sys
import threading
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QSettings, Qt, QTimer
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication, QWidget

from drainsketch.desk.fonts import load_fonts
from drainsketch.desk.icons import icon
from drainsketch.desk.recovery import Recovery
from drainsketch.desk.rescue import Rescue
from drainsketch.desk.theme import LIGHT, dress, system_is_dark
from drainsketch.job.model import Job, Run, Shot, Structure
from drainsketch.review import analyse

NAME = "drainsketch"
TURN_S = 0.0005  # a study keeps the window waiting no longer than this; the usual 5 ms doubles the time of a frame
LONGEST_WAIT_MS = 1_000  # for the first paint
SETTLE_MS = 3_000  # after the window is on the screen: all libraries are loaded
TINY_YARD = Job(
    shots=tuple(
        Shot(id=f"S{n}", point=p, elevation_ft=z)
        for n, (p, z) in enumerate((((0, 0), 99), ((40, 0), 98), ((0, 40), 99)), 1)
    ),
    structures=(
        Structure(id="B1", kind="basin", point=(5, 5)),
        Structure(id="O1", kind="outfall", point=(30, 5), outfall="daylight"),
    ),
    runs=(Run(id="R1", start="B1", end="O1"),),
)


def application() -> QApplication:
    """Return the one QApplication, dressed in our tones, with our fonts."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    app.setApplicationName(NAME)
    app.setOrganizationName(NAME)
    app.setApplicationDisplayName("")  # the window says its own name
    QGuiApplication.setDesktopFileName(NAME)
    load_fonts()
    dress(app, system_is_dark())
    app.setWindowIcon(QIcon(icon("drainsketch", LIGHT)))
    return app


def settings() -> QSettings:
    """Return where the window remembers recent files and how it stood."""
    return QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, NAME, "window")


def warm_up() -> threading.Thread:
    """Review a tiny yard in the background: that loads the numerical libraries, and the first real shots need not wait."""
    thread = threading.Thread(target=lambda: analyse(TINY_YARD), name="warm-up", daemon=True)
    thread.start()
    return thread


class AfterPaint(QObject):
    """Does something once, as soon as a widget is on the screen; a window that is started out of sight waits a moment only."""

    def __init__(self, widget: QWidget, begin: Callable[[], object]) -> None:
        super().__init__(widget)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(lambda: widget.removeEventFilter(self))
        self._timer.timeout.connect(begin)
        self._timer.start(LONGEST_WAIT_MS)
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Begin after the first paint."""
        if event.type() == QEvent.Type.Paint and self._timer.isActive() and self._timer.interval():
            self._timer.start(0)
        return False


def settle_memory() -> None:
    """Let the collector of garbage pass over what is loaded by now: that stays, and looking through it takes 50 ms."""
    gc.collect()
    gc.freeze()


def run(path: Path | None) -> int:
    """Show the window, with a job when a path is given; return the exit code when it is closed."""
    app = application()
    sys.setswitchinterval(TURN_S)
    from drainsketch.desk.window import Window

    window = Window(settings())
    recovery = Recovery(window.session, window.documents, parent=window)
    window.closed.connect(recovery.clear)
    rescue = Rescue(recovery, window)
    rescue.told.connect(window.dialogs.tell, Qt.ConnectionType.QueuedConnection)  # not in the middle of a paint
    sys.excepthook = rescue.caught
    threading.excepthook = lambda fault: rescue.caught(
        fault.exc_type, fault.exc_value or fault.exc_type(), fault.exc_traceback
    )
    QGuiApplication.styleHints().colorSchemeChanged.connect(lambda: dress(app, system_is_dark()))
    warming: list[threading.Thread] = []

    def begin() -> None:
        recovered = recovery.offer(window.dialogs)
        window.show_notice("")
        if path is not None and not recovered:
            window.documents.open(path)
        elif path is not None:
            window.session.tell(f"{path.name} was not opened, since the recovered work is; open it from the File menu.")
        else:
            warming.append(warm_up())
        QTimer.singleShot(SETTLE_MS, settle_memory)

    if path is not None or recovery.found:
        window.show_notice(f"Opening {path.name}" if path is not None else "Looking for unsaved work")
    AfterPaint(window.canvas, begin)
    window.showMaximized()
    try:
        return app.exec()
    finally:
        for thread in warming:
            thread.join(5.0)  # a library half loaded at the very end may crash
        sys.excepthook = sys.__excepthook__
        threading.excepthook = threading.__excepthook__
