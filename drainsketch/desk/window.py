"""The window: puts the rooms together and passes on what one has to say to another."""

from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QSettings, Qt, Signal
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QIcon, QKeySequence, QShortcut
from PySide6.QtWidgets import QMainWindow, QMenu, QSizePolicy, QTabWidget, QToolBar, QWidget

from drainsketch.desk.actions import Actions
from drainsketch.desk.canvas import Canvas
from drainsketch.desk.choices import ChoiceBar
from drainsketch.desk.commands import doings
from drainsketch.desk.comparing import Comparing
from drainsketch.desk.dialogs import JOB_SUFFIX, Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.flips import Flips
from drainsketch.desk.menus import OPTION_DOINGS, fill_exports, fill_imports, fill_options, fill_recent, fill_samples
from drainsketch.desk.opting import draw_option
from drainsketch.desk.option_bar import OptionBar
from drainsketch.desk.overlays import OVERLAYS
from drainsketch.desk.panes.cutsheet import CutSheetPane
from drainsketch.desk.panes.details import DetailsPane
from drainsketch.desk.panes.findings import FindingsPane
from drainsketch.desk.panes.form import column
from drainsketch.desk.panes.jobform import CriteriaPane, HeaderPane
from drainsketch.desk.panes.levelbook import LevelBookPane
from drainsketch.desk.panes.options import OptionsPane
from drainsketch.desk.panes.price import PricePane
from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.panes.profile_controls import ProfileControls
from drainsketch.desk.panes.signs import level_ink, sign_icon
from drainsketch.desk.panes.storm import StormPane
from drainsketch.desk.panes.takeoff import TakeoffPane
from drainsketch.desk.panes.trench import TrenchPane
from drainsketch.desk.panes.water import WaterPane
from drainsketch.desk.panes.workplan import WorkPlanPane
from drainsketch.desk.playback import Playback
from drainsketch.desk.playing import Playing
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.price_forms import PriceForms
from drainsketch.desk.raining import rain_from_file
from drainsketch.desk.rooms import Rooms
from drainsketch.desk.session import Session
from drainsketch.desk.shared_cursor import SharedCursor
from drainsketch.desk.statusline import StatusLine
from drainsketch.desk.storm_showing import StormShowing
from drainsketch.desk.studying import Studying
from drainsketch.desk.theme import tones_of
from drainsketch.desk.toolbox import Toolbox
from drainsketch.desk.welcome import Welcome
from drainsketch.look import LEVEL_SIGNS

AWAY = "the Storm tab shows the storm through time in its place; it shows again when that tab is left"


class Window(QMainWindow):
    """One job at the desk."""

    closed = Signal()  # the user closed it, and was asked about unsaved work

    def __init__(self, settings: QSettings, dialogs: Dialogs | None = None) -> None:
        super().__init__()
        self.settings = settings
        self.session = Session(parent=self)
        self.dialogs = dialogs or Dialogs(self)
        self.documents = Documents(self.session, self.dialogs, settings, self)
        self.actions_ = Actions(self, tones_of(self))
        self.canvas = Canvas(self.session)
        self.details = DetailsPane(self.session)
        self.header = HeaderPane(self.session)
        self.criteria = CriteriaPane(self.session)
        self.trench = TrenchPane(self.session)
        self.findings = FindingsPane(self.session)
        self.takeoff = TakeoffPane(self.session)
        self.price = PricePane(self.session, PriceDesk(self.session, self), PriceForms(self.dialogs))
        self.profile = ProfileStrip(self.session)
        self.profile_controls = ProfileControls(self.session, self.profile)
        self.book = LevelBookPane(self.session)
        self.cut_sheet = CutSheetPane(self.session)
        self.water = WaterPane(self.session)
        self.studying = Studying(self.session, self)
        self.playback = Playback(Playing(self.session, self.studying.worker, self), self)
        self.storm = StormPane(self.session, self.playback.playing, self.playback)
        self.options = OptionsPane(self.session, Comparing(self.session, self.studying.worker, self))
        self.work_plan = WorkPlanPane(self.session, self.price.desk)
        self.status = StatusLine(self.session)
        self.flips = Flips(self.session, self)
        self.choices = ChoiceBar()
        self.recent_menu, self.samples_menu = QMenu(self), QMenu(self)
        self.exports_menu, self.imports_menu = QMenu(self), QMenu(self)
        self.options_menu = QMenu(self)
        self.option_bar = OptionBar(self.session, tuple(self.actions_.by_name[name] for name in OPTION_DOINGS))
        self._lay_out()
        self._wire()
        self.setAcceptDrops(True)
        self._restore()
        self._tool_changed(self.canvas.driver.spec.name)
        self.status.show_hint(self.canvas.driver.preview.hint)
        self.status.show_scale(self.canvas.view.px_per_ft)
        self.refresh()

    def _lay_out(self) -> None:
        self.profile_page = column(self.profile_controls, self.profile, spacing=0, margins=(0, 0, 0, 0))
        self.form_tabs, self.list_tabs, self.lower_tabs = QTabWidget(), QTabWidget(), QTabWidget()
        for tabs, name, pages in (
            (
                self.form_tabs,
                "Details, job, limits and trench",
                (("Details", self.details), ("Job", self.header), ("Limits", self.criteria), ("Trench", self.trench)),
            ),
            (
                self.list_tabs,
                "Findings, takeoff and price",
                (("Findings", self.findings), ("Takeoff", self.takeoff), ("Price", self.price)),
            ),
            (
                self.lower_tabs,
                "Profile, level book, cut sheet, water, storm, work plan and options",
                (
                    ("Profile", self.profile_page),
                    ("Level book", self.book),
                    ("Cut sheet", self.cut_sheet),
                    ("Water", self.water),
                    ("Storm", self.storm),
                    ("Work plan", self.work_plan),
                    ("Options", self.options),
                ),
            ),
        ):
            tabs.setDocumentMode(True)
            tabs.setAccessibleName(name)
            for title, page in pages:
                tabs.addTab(page, title)
        plan = column(self.option_bar, self.canvas, spacing=0, margins=(0, 0, 0, 0))
        self.canvas.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.rooms = Rooms(Toolbox(self.actions_), plan, self.lower_tabs, (self.form_tabs, self.list_tabs))
        self.setCentralWidget(self.rooms)
        bar = QToolBar("Commands")
        bar.setObjectName("commands")
        bar.setMovable(False)
        bar.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        self.actions_.fill_bar(bar)
        bar.addSeparator()
        bar.addWidget(self.choices)
        self.addToolBar(bar)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.setStatusBar(self.status)
        submenus = {
            "recent": self.recent_menu,
            "samples": self.samples_menu,
            "exports": self.exports_menu,
            "imports": self.imports_menu,
            "options": self.options_menu,
        }
        self.actions_.fill_menus(self.menuBar(), submenus)
        fill_exports(self.exports_menu, self.actions_)
        fill_imports(self.imports_menu, self.actions_)
        fill_options(self.options_menu, self.actions_)
        fill_samples(self.samples_menu, self.documents)
        fill_recent(self.recent_menu, self.documents)
        by_name = self.actions_.by_name
        self.welcome = Welcome(self.session, by_name["tool.boundary"], by_name["open"], self.samples_menu, self.canvas)

    def _wire(self) -> None:
        self.actions_.wire(doings(self, self), self.take_tool)
        give_up = QShortcut(QKeySequence("Esc"), self)
        give_up.activated.connect(self._give_up)
        self.canvas.plan.overlays.switched.connect(self._overlays_switched)
        self.session.changed.connect(self.refresh)
        self.session.studied.connect(self.refresh)
        self.session.selected.connect(self.refresh)
        self.documents.renamed.connect(self._renamed)
        self.documents.opened.connect(self.status.forget_place)
        self.documents.opened.connect(self.canvas.zoom_to_fit)
        self.documents.opened.connect(lambda: self.water.say(""))
        self.documents.opened.connect(self.playback.forget)
        self.documents.opened.connect(self.options.comparing.forget)
        self.documents.opened.connect(self.canvas.setFocus)
        self.price.desk.changed.connect(self.options.comparing.look_again)
        self.documents.recent.changed.connect(lambda: fill_recent(self.recent_menu, self.documents))
        self.canvas.tool_changed.connect(self._tool_changed)
        self.canvas.cursor_moved.connect(self.status.show_place)
        self.canvas.driver.field_asked.connect(self._ask_field)
        self.canvas.hint_changed.connect(self.status.show_hint)
        self.canvas.view_changed.connect(self.status.show_scale)
        self.choices.chosen.connect(self.canvas.set_choice)
        self.choices.picked.connect(self.canvas.setFocus)
        self.details.picked.connect(self.canvas.setFocus)
        self.findings.fly.connect(self.fly_to)
        self.findings.water_asked.connect(lambda: self.lower_tabs.setCurrentWidget(self.water))
        self.details.show_on_plan.connect(lambda ids: self.canvas.fly_to(ids, None))
        self.profile.place_chosen.connect(self.canvas.fly_to)
        self.shared_cursor = SharedCursor(self.canvas, self.profile, self)
        self.cut_sheet.place_chosen.connect(self.canvas.point_out)
        self.water.thing_chosen.connect(self.canvas.bring_into_view)
        self.work_plan.thing_chosen.connect(self.canvas.bring_into_view)
        self.storm_showing = StormShowing(self.storm, self.playback, self.canvas.plan, self)
        self.storm.water_asked.connect(lambda: self.lower_tabs.setCurrentWidget(self.water))
        self.option_bar.chosen.connect(self._draw_option)
        self.options.draw.connect(self._draw_option)
        self.options.new_asked.connect(self.actions_.by_name["new_option"].trigger)
        self.water.file_asked.connect(lambda: self.water.say("", rain_from_file(self.documents, self.dialogs)))
        self.book.sight_chosen.connect(self.canvas.driver.set_sight)
        self.book.place_wanted.connect(self._place)
        self.book.bar.points.clicked.connect(self.actions_.by_name["import_points"].trigger)
        self.price.owners_shown.connect(lambda ids: self.fly_to(ids, None))
        self.work_plan.noted.connect(self._show_planned)
        self.price.counted.connect(self._show_unpriced)
        self.takeoff.owners_shown.connect(lambda ids: self.fly_to(ids, None))

    def _ask_field(self, name: str) -> None:
        """Bring the details to the front, a field of them ready to be typed in."""
        if not self.rooms.side.isVisible():
            self.actions_.by_name["show_panes"].trigger()
        self.form_tabs.setCurrentWidget(self.details)
        self.details.take_focus(name)

    def _draw_option(self, at: int) -> None:
        draw_option(self.session, at)
        self.canvas.setFocus()

    def _place(self, sight_id: str) -> None:
        self.canvas.driver.set_sight(sight_id)
        self.take_tool("place-sight")

    def take_tool(self, name: str) -> None:
        """Take a tool in hand; the keyboard goes to the plan."""
        self.canvas.set_tool(name)
        self.canvas.setFocus()
        if name != "select":
            self.welcome.wave_off()

    def fly_to(self, ids: tuple[str, ...], point: tuple[float, float] | None) -> None:
        """Select things and show where they are."""
        self.session.select(ids)
        self.canvas.fly_to(ids, point)

    def show_notice(self, notice: str) -> None:
        """Write a notice on the empty plan in place of where to begin; '' takes it off."""
        self.canvas.plan.notice = notice
        self.welcome.hide() if notice else self.welcome.refresh()
        self.canvas.update()

    def refresh(self) -> None:
        """Say in title, menus and tabs how things stand."""
        self.actions_.refresh(self.session)
        self.setWindowModified(self.session.modified)
        if self.documents.path is None:
            self.setWindowTitle(f"{self.documents.name}[*] - drainsketch")
        found = self.session.review.findings
        self._mark(self.list_tabs, self.findings, "Findings", len(found), found[0].level if found else "")

    def _show_unpriced(self, count: int) -> None:
        """Say on its tab how many lines of the price have none."""
        self._mark(self.list_tabs, self.price, "Price", count, "settle" if count else "")

    def _show_planned(self, count: int, worst: str) -> None:
        """Say on its tab what of the work plan stops or is to be settled."""
        self._mark(self.lower_tabs, self.work_plan, "Work plan", count, worst)

    def _mark(self, tabs: QTabWidget, page: QWidget, title: str, count: int, level: str) -> None:
        at = tabs.indexOf(page)
        tabs.setTabText(at, f"{title} ({count})" if count else title)
        tabs.setTabIcon(at, sign_icon(LEVEL_SIGNS[level], *level_ink(level, tones_of(self))) if level else QIcon())

    def _tool_changed(self, name: str) -> None:
        self.status.clearMessage()  # it spoke of what the tool before did
        self.actions_.check_tool(name)
        self.choices.show_tool(name)

    def _give_up(self) -> None:
        self.canvas.cancel()
        self.canvas.setFocus()

    def _overlays_switched(self) -> None:
        """Rest the commands of overlays that the storm stands in place of, and say when they show again."""
        overlays = self.canvas.plan.overlays
        for overlay in OVERLAYS:
            self.actions_.rest(f"show_{overlay.name}", AWAY if overlays.is_away(overlay.name) else "")

    def _renamed(self) -> None:
        self.setWindowTitle(f"{self.documents.name}[*] - drainsketch")
        self.refresh()

    def _restore(self) -> None:
        room = self.screen().availableSize()
        wide, high = max(1280, round(0.85 * room.width())), max(720, round(0.85 * room.height()))
        self.resize(min(wide, room.width()), min(high, room.height()))
        geometry = self.settings.value("window/geometry")
        borders = self.settings.value("window/borders")
        if isinstance(geometry, QByteArray):
            self.restoreGeometry(geometry)
        if isinstance(borders, list):
            self.rooms.restore([b for b in borders if isinstance(b, QByteArray)])
        for name, pane in (("show_lower", self.lower_tabs), ("show_panes", self.rooms.side)):
            shown = self.settings.value(f"window/{name}", True, type=bool)
            pane.setVisible(bool(shown))
            self.actions_.by_name[name].setChecked(bool(shown))
        others = bool(self.settings.value("window/show_others", False, type=bool))
        self.actions_.by_name["show_others"].setChecked(others)
        self.canvas.plan.show_others(others)
        for overlay in OVERLAYS:
            on = bool(self.settings.value(f"overlays/{overlay.name}", overlay.at_first, type=bool))
            self.canvas.plan.overlays.show(overlay.name, on)
            self.actions_.by_name[f"show_{overlay.name}"].setChecked(on)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about unsaved work, let go of the file, remember how the window stood."""
        if not self.documents.may_leave():
            event.ignore()
            return
        self.documents.close()
        self.studying.stop()
        self.settings.setValue("window/geometry", self.saveGeometry())
        self.settings.setValue("window/borders", self.rooms.saved())
        for name in ("show_lower", "show_panes", "show_others"):
            self.settings.setValue(f"window/{name}", self.actions_.by_name[name].isChecked())
        for overlay in OVERLAYS:
            self.settings.setValue(f"overlays/{overlay.name}", self.canvas.plan.overlays.is_chosen(overlay.name))
        self.closed.emit()
        event.accept()

    def changeEvent(self, event: QEvent) -> None:
        """Redraw icons and signs when the system turns dark or light."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "rooms"):
            tones = tones_of(self)
            self.actions_.recolor(tones)
            self.findings.recolor(tones)
            self.refresh()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take job files that are dropped on the window."""
        if _dropped_job(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the dropped job."""
        path = _dropped_job(event)
        if path is not None:
            event.acceptProposedAction()
            self.documents.open(path)


def _dropped_job(event: QDropEvent) -> Path | None:
    files = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
    return next((f for f in files if f.suffix.lower() == JOB_SUFFIX), None)
