"""What each command of the window does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from drainsketch.desk.legend import legend_page
from drainsketch.desk.panes.details import delete_selected
from drainsketch.desk.reading import ABOUT, CAUTIONS, Reading, keys_html, page_of
from drainsketch.desk.sheet_export import export_sheet
from drainsketch.job.ask import things

if TYPE_CHECKING:
    from drainsketch.desk.window import Window

ZOOM_STEP = 1.25


def doings(window: Window) -> Mapping[str, Callable[..., object]]:
    """Return what to do for every command that is not a submenu; a checkable one is given whether it is on."""
    documents, canvas, session = window.documents, window.canvas, window.session
    return {
        "new": documents.new,
        "open": documents.ask_open,
        "save": documents.save,
        "save_as": documents.save_as,
        "export_pdf": lambda: export_sheet(session, window.dialogs, documents.path or Path.home() / "plan"),
        "quit": window.close,
        "undo": session.undo,
        "redo": session.redo,
        "select_all": lambda: session.select(t.id for t in things(session.job)),
        "delete": lambda: delete_selected(session),
        "next_finding": lambda: _step(window, 1),
        "previous_finding": lambda: _step(window, -1),
        "zoom_fit": canvas.zoom_to_fit,
        "zoom_in": lambda: canvas.zoom_by(ZOOM_STEP),
        "zoom_out": lambda: canvas.zoom_by(1 / ZOOM_STEP),
        "show_profile": window.profile.setVisible,
        "show_panes": window.rooms.side.setVisible,
        "full_screen": lambda on: window.showFullScreen() if on else window.showMaximized(),
        "legend": lambda: Reading("Legend", legend_page(), window).show(),
        "cautions": lambda: Reading("Before you dig", page_of(CAUTIONS), window).show(),
        "keys": lambda: Reading("Keys", page_of(keys_html()), window).show(),
        "about": lambda: Reading("About", page_of(ABOUT), window).show(),
    }


def _step(window: Window, by: int) -> None:
    window.list_tabs.setCurrentWidget(window.findings)
    window.findings.step(by)
