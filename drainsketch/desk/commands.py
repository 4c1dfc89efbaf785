"""What each command of the window does."""

from collections.abc import Callable, Mapping
from typing import Protocol

from PySide6.QtWidgets import QMainWindow, QTabWidget

from drainsketch.desk.canvas import Canvas
from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.exporting import EXPORTS, export
from drainsketch.desk.legend import legend_page
from drainsketch.desk.panes.details import delete_selected
from drainsketch.desk.panes.findings import FindingsPane
from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.reading import ABOUT, CAUTIONS, Reading, keys_html, page_of
from drainsketch.desk.rooms import Rooms
from drainsketch.desk.session import Session
from drainsketch.desk.sheet_export import export_sheet
from drainsketch.job.ask import things

ZOOM_STEP = 1.25


class Parts(Protocol):
    """What the commands act on."""

    session: Session
    documents: Documents
    dialogs: Dialogs
    canvas: Canvas
    profile: ProfileStrip
    findings: FindingsPane
    rooms: Rooms
    list_tabs: QTabWidget


def doings(window: QMainWindow, parts: Parts) -> Mapping[str, Callable[..., object]]:
    """Return what to do for every command that is not a submenu; a checkable one is given whether it is on."""
    documents, canvas, session = parts.documents, parts.canvas, parts.session
    return {
        "new": documents.new,
        "open": documents.ask_open,
        "save": documents.save,
        "save_as": documents.save_as,
        "export_pdf": lambda: export_sheet(session, documents, parts.dialogs),
        **{x.name: lambda x=x: export(x, session, documents, parts.dialogs) for x in EXPORTS},
        "quit": window.close,
        "undo": session.undo,
        "redo": session.redo,
        "select_all": lambda: session.select(t.id for t in things(session.job)),
        "delete": lambda: delete_selected(session),
        "next_finding": lambda: _step(parts, 1),
        "previous_finding": lambda: _step(parts, -1),
        "zoom_fit": canvas.zoom_to_fit,
        "zoom_in": lambda: canvas.zoom_by(ZOOM_STEP),
        "zoom_out": lambda: canvas.zoom_by(1 / ZOOM_STEP),
        "show_profile": parts.profile.setVisible,
        "show_panes": parts.rooms.side.setVisible,
        "full_screen": lambda on: window.showFullScreen() if on else window.showMaximized(),
        "legend": lambda: Reading("Legend", legend_page(), window).show(),
        "cautions": lambda: Reading("Before you dig", page_of(CAUTIONS), window).show(),
        "keys": lambda: Reading("Keys", page_of(keys_html()), window).show(),
        "about": lambda: Reading("About", page_of(ABOUT), window).show(),
    }


def _step(parts: Parts, by: int) -> None:
    parts.list_tabs.setCurrentWidget(parts.findings)
    parts.findings.step(by)
