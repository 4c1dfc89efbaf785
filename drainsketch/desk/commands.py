"""What each command of the window does."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMainWindow, QTabWidget, QWidget

from drainsketch.desk.actions import Actions
from drainsketch.desk.business import ask_business
from drainsketch.desk.canvas import Canvas
from drainsketch.desk.choices import ChoiceBar
from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.exporting import EXPORTS, export
from drainsketch.desk.legend import legend_page
from drainsketch.desk.opting import delete_option, draw_option, name_option, new_option
from drainsketch.desk.overlays import OVERLAYS
from drainsketch.desk.panes.cutsheet import CutSheetPane
from drainsketch.desk.panes.details import DetailsPane, delete_selected
from drainsketch.desk.panes.findings import FindingsPane
from drainsketch.desk.panes.levelbook import LevelBookPane
from drainsketch.desk.panes.options import OptionsPane
from drainsketch.desk.panes.price import PricePane
from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.panes.storm import StormPane
from drainsketch.desk.panes.takeoff import TakeoffPane
from drainsketch.desk.panes.water import WaterPane
from drainsketch.desk.panes.workplan import WorkPlanPane
from drainsketch.desk.pointing import import_points
from drainsketch.desk.reading import ABOUT, CAUTIONS, Reading, keys_html, page_of
from drainsketch.desk.rooms import Rooms
from drainsketch.desk.session import Session
from drainsketch.desk.sheet_export import export_sheet
from drainsketch.desk.stocking import take_stock, write_stock
from drainsketch.desk.underlay import drop_drawing, import_drawing, show_drawing
from drainsketch.job.ask import things
from drainsketch.job.options import MOST_OPTIONS

ZOOM_STEP = 1.25


class Parts(Protocol):
    """What the commands act on."""

    session: Session
    documents: Documents
    dialogs: Dialogs
    canvas: Canvas
    profile: ProfileStrip
    profile_page: QWidget
    book: LevelBookPane
    cut_sheet: CutSheetPane
    water: WaterPane
    storm: StormPane
    options: OptionsPane
    work_plan: WorkPlanPane
    lower_tabs: QTabWidget
    findings: FindingsPane
    rooms: Rooms
    form_tabs: QTabWidget
    list_tabs: QTabWidget
    choices: ChoiceBar
    details: DetailsPane
    takeoff: TakeoffPane
    price: PricePane
    actions_: Actions


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
        "import_points": lambda: _import_points(parts),
        "import_drawing": lambda: _import_drawing(parts),
        "drop_drawing": lambda: drop_drawing(session),
        "show_drawing": partial(show_drawing, session),
        "write_stock": lambda: write_stock(documents, parts.dialogs),
        "take_stock": lambda: take_stock(documents, parts.dialogs),
        "business": lambda: ask_business(window, documents, parts.dialogs),
        "quit": window.close,
        "undo": session.undo,
        "redo": session.redo,
        "select_all": lambda: session.select(t.id for t in things(session.job)),
        "delete": lambda: delete_selected(session),
        "new_option": lambda: new_option(session, parts.dialogs),
        "name_option": lambda: name_option(session, parts.dialogs),
        "delete_option": lambda: delete_option(session),
        **{f"option_{i + 1}": partial(draw_option, session, i) for i in range(MOST_OPTIONS)},
        "next_finding": lambda: _step(parts, 1),
        "previous_finding": lambda: _step(parts, -1),
        "next_thing": lambda: _select_next(parts, 1),
        "previous_thing": lambda: _select_next(parts, -1),
        "zoom_fit": canvas.zoom_to_fit,
        "zoom_in": lambda: canvas.zoom_by(ZOOM_STEP),
        "zoom_out": lambda: canvas.zoom_by(1 / ZOOM_STEP),
        **{f"show_{o.name}": partial(canvas.plan.overlays.show, o.name) for o in OVERLAYS},
        "show_others": canvas.plan.show_others,
        "show_lower": parts.lower_tabs.setVisible,
        "show_panes": parts.rooms.side.setVisible,
        "full_screen": lambda on: window.showFullScreen() if on else window.showMaximized(),
        "to_plan": canvas.setFocus,
        "to_choice": parts.choices.take_focus,
        "to_details": lambda: _turn_to(parts.form_tabs, parts.details),
        "to_findings": lambda: _turn_to(parts.list_tabs, parts.findings, parts.findings.list),
        "to_takeoff": lambda: _turn_to(parts.list_tabs, parts.takeoff, parts.takeoff.table),
        "to_price": lambda: _turn_to(parts.list_tabs, parts.price, parts.price.table),
        "to_profile": lambda: _show_lower(parts, parts.profile_page, parts.profile),
        "to_book": lambda: _show_lower(parts, parts.book, parts.book.table),
        "to_cut_sheet": lambda: _show_lower(parts, parts.cut_sheet),
        "to_water": lambda: _show_lower(parts, parts.water),
        "to_storm": lambda: _show_lower(parts, parts.storm, parts.storm),
        "to_options": lambda: _show_lower(parts, parts.options, parts.options.table),
        "to_work_plan": lambda: _show_lower(parts, parts.work_plan, parts.work_plan.list),
        "legend": lambda: Reading("Legend", legend_page(), window).show(),
        "cautions": lambda: Reading("Before you dig", page_of(CAUTIONS), window).show(),
        "keys": lambda: Reading("Keys", page_of(keys_html()), window).show(),
        "about": lambda: Reading("About", page_of(ABOUT), window).show(),
    }


def _import_points(parts: Parts) -> None:
    """Take points in from a file, and show them all."""
    if import_points(parts.documents, parts.dialogs):
        parts.canvas.zoom_to_fit()


def _import_drawing(parts: Parts) -> None:
    """Take a drawing in from a file, and show the whole of it with the yard."""
    if import_drawing(parts.documents, parts.dialogs):
        parts.canvas.zoom_to_fit(with_drawing=True)


def _turn_to(tabs: QTabWidget, page: QWidget, part: QWidget | None = None) -> None:
    """Give the keyboard to a pane: to its list, or to its first field."""
    tabs.setCurrentWidget(page)
    fields = (w for w in page.findChildren(QWidget) if w.isVisible() and w.focusPolicy() & Qt.FocusPolicy.TabFocus)
    (part or next(fields, page)).setFocus(Qt.FocusReason.ShortcutFocusReason)


def _show_lower(parts: Parts, page: QWidget, part: QWidget | None = None) -> None:
    shown = parts.actions_.by_name["show_lower"]
    if not shown.isChecked():
        shown.trigger()
    _turn_to(parts.lower_tabs, page, part)


def _select_next(parts: Parts, by: int) -> None:
    """Select the thing after (or before) the selected one in drawing order, and bring it into view."""
    session = parts.session
    ids = [t.id for t in things(session.job)]
    if not ids:
        return
    at = ids.index(session.selection[-1]) if session.selection else -1 if by > 0 else 0
    chosen = (ids[(at + by) % len(ids)],)
    session.select(chosen)
    parts.canvas.bring_into_view(chosen)


def _step(parts: Parts, by: int) -> None:
    parts.list_tabs.setCurrentWidget(parts.findings)
    parts.findings.step(by)
