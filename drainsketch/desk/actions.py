"""Every command of the window: its menu, words, keys and icon, in one table."""

from collections.abc import Callable, Mapping

from msgspec import Struct
from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QToolBar

from drainsketch.desk.exporting import EXPORTS
from drainsketch.desk.icons import icon
from drainsketch.desk.opting import shown_names
from drainsketch.desk.overlays import OVERLAYS
from drainsketch.desk.session import Session
from drainsketch.desk.theme import Tones
from drainsketch.desk.tools.catalogue import TOOLS
from drainsketch.job.options import MOST_OPTIONS

MENUS = ("File", "Edit", "View", "Draw", "Help")
SUBMENUS = ("recent", "samples", "exports", "imports", "options")
IMPORTS = ("import_points", "import_drawing", "drop_drawing")


class Command(Struct, frozen=True):
    """One command; without a menu of its own it stands in a submenu that the window fills.

    ``keys`` are written out: what a system calls standard differs from one to the next.
    """

    name: str
    menu: str
    label: str
    keys: tuple[str, ...] = ()
    icon: str = ""
    tip: str = ""
    on_bar: bool = False
    rule_after: bool = False
    checkable: bool = False

    @property
    def words(self) -> str:
        """What it is called, without the mark of its letter in the menu."""
        return self.label.replace("&", "")


COMMANDS: tuple[Command, ...] = (
    Command("new", "File", "&New", ("Ctrl+N",), "new", "Start an empty job", on_bar=True),
    Command("open", "File", "&Open…", ("Ctrl+O",), "open", "Open a job file", on_bar=True),
    Command("recent", "File", "Open &Recent"),
    Command("samples", "File", "Sample &Yards", rule_after=True),
    Command("save", "File", "&Save", ("Ctrl+S",), "save", "Save the job", on_bar=True),
    Command("save_as", "File", "Save &As…", ("Ctrl+Shift+S",), tip="Save the job under another name", rule_after=True),
    Command(
        "export_pdf",
        "File",
        "S&heets…",
        ("Ctrl+P",),
        "sheet",
        "See the sheets to scale, print them or write them as PDF",
        on_bar=True,
    ),
    Command("exports", "File", "&Export", rule_after=True),
    *(Command(x.name, "", x.label, tip=x.tip) for x in EXPORTS),
    Command("imports", "File", "&Import"),
    Command(
        "import_points",
        "",
        "Points…",
        tip="Take ground shots in from a file: point, north, east, level, note",
    ),
    Command(
        "import_drawing",
        "",
        "Drawing under the Plan…",
        tip="Lay a DXF or GeoJSON drawing under the plan to draw by, or take the lot line from it",
    ),
    Command("drop_drawing", "", "Take the Drawing Away", tip="Take the drawing under the plan away"),
    Command(
        "write_stock", "File", "Write &Basin Stock…", tip="Write the sizes of basins, risers and grates to a text file"
    ),
    Command(
        "take_stock",
        "File",
        "Rea&d Basin Stock…",
        tip="Take the basins you buy from an edited text file, for this job and new ones",
    ),
    Command(
        "business",
        "File",
        "Your B&usiness…",
        tip="Name, license, logo and terms that stand on every sheet and at the head of the offer",
        rule_after=True,
    ),
    Command("quit", "File", "&Quit", ("Ctrl+Q",)),
    Command("undo", "Edit", "Undo", ("Ctrl+Z",), "undo", "Undo", on_bar=True),
    Command("redo", "Edit", "Redo", ("Ctrl+Y", "Ctrl+Shift+Z"), "redo", "Redo", on_bar=True, rule_after=True),
    Command("select_all", "Edit", "Select All", ("Ctrl+A",)),
    Command("delete", "Edit", "Delete", ("Del",), "delete", "Delete what is selected", on_bar=True, rule_after=True),
    Command("next_finding", "Edit", "Next Finding", ("F8",), tip="Fly to the next finding"),
    Command(
        "previous_finding", "Edit", "Previous Finding", ("Shift+F8",), tip="Fly to the finding before", rule_after=True
    ),
    Command("next_thing", "Edit", "Select Next", ("F9",), tip="Select the next thing of the plan"),
    Command("previous_thing", "Edit", "Select Previous", ("Shift+F9",), tip="Select the thing before"),
    Command("options", "Edit", "Options of the Drains"),
    Command(
        "new_option",
        "",
        "New Option…",
        ("Ctrl+Shift+N",),
        tip="Copy the drawn option of the drains and draw on in the copy",
    ),
    Command("name_option", "", "Name and Note…", tip="Name of the drawn option, and what the owner reads about it"),
    Command("delete_option", "", "Delete the Drawn Option", tip="Delete the drawn option; undo brings it back"),
    *(
        Command(f"option_{i}", "", f"{word} Option", (f"Alt+{i}",), tip=f"Draw the {word.lower()} option")
        for i, word in enumerate(("First", "Second", "Third"), 1)
    ),
    Command("zoom_fit", "View", "Whole Plan", ("Ctrl+0",), "fit", "Show the whole plan", on_bar=True),
    Command("zoom_in", "View", "Closer", ("Ctrl++", "Ctrl+="), "closer", "Closer", on_bar=True),
    Command("zoom_out", "View", "Farther", ("Ctrl+-",), "farther", "Farther", on_bar=True, rule_after=True),
    *(
        Command(f"show_{o.name}", "View", o.label, (o.key,), o.name, o.tip, True, o is OVERLAYS[-1], checkable=True)
        for o in OVERLAYS
    ),
    Command(
        "show_drawing",
        "View",
        "Drawing under the Plan",
        checkable=True,
        tip="Show or hide the drawing under the plan; it is printed on the crew's plan while it is shown",
    ),
    Command(
        "show_others",
        "View",
        "Other Options",
        ("Shift+F7",),
        checkable=True,
        tip="Show the drains of the other options faintly",
        rule_after=True,
    ),
    Command(
        "show_lower",
        "View",
        "Lower Panes",
        ("F6",),
        checkable=True,
        tip="Show or hide profile, level book, cut sheet, water, storm, work plan and options under the plan",
    ),
    Command("show_panes", "View", "Side Panes", ("F7",), checkable=True, tip="Show or hide the panes beside the plan"),
    Command(
        "legend", "View", "Legend", ("F2",), "legend", "What the lines and signs mean", on_bar=True, rule_after=True
    ),
    Command("full_screen", "View", "Full Screen", ("F11",), checkable=True, rule_after=True),
    Command("to_plan", "View", "To the Plan", ("Ctrl+1",)),
    Command("to_choice", "View", "To the Choice of the Tool", ("Ctrl+2", "F3"), tip="What the tool in hand draws"),
    Command("to_details", "View", "To the Details", ("Ctrl+3",)),
    Command("to_findings", "View", "To the Findings", ("Ctrl+4",)),
    Command("to_takeoff", "View", "To the Takeoff", ("Ctrl+5",)),
    Command("to_price", "View", "To the Price", ("F12",), tip="What to charge for the job"),
    Command("to_profile", "View", "To the Profile", ("Ctrl+6",)),
    Command("to_book", "View", "To the Level Book", ("Ctrl+7",)),
    Command("to_cut_sheet", "View", "To the Cut Sheet", ("Ctrl+8",)),
    Command("to_water", "View", "To the Water", ("Ctrl+9",)),
    Command("to_storm", "View", "To the Storm", ("F5",), tip="Play the storm over the plan"),
    Command(
        "to_options",
        "View",
        "To the Options",
        ("Shift+F12",),
        tip="The options of the drains side by side, with prices",
    ),
    Command("to_work_plan", "View", "To the Work Plan", ("F4",), tip="Ticket, days, order of work and hold points"),
    Command(
        "cautions",
        "Help",
        "Before You Dig",
        ("F1",),
        "caution",
        "Cautions: 811, local codes, licensed practice",
        on_bar=True,
    ),
    Command("keys", "Help", "Keys", ("Ctrl+/",), tip="Every key of the window"),
    Command("about", "Help", "About"),
)


def keys_text(keys: tuple[str, ...] | str) -> str:
    """Return keys as the system writes them, for tooltips and the key list."""
    several = (keys,) if isinstance(keys, str) else keys
    return ", ".join(QKeySequence(k).toString(QKeySequence.SequenceFormat.NativeText) for k in several if k)


def _tip(command: Command, why: str = "") -> str:
    shown = f" ({keys_text(command.keys)})" if command.keys else ""
    return f"{command.tip or command.words}{shown}{': ' if why else ''}{why}"


class Actions(QObject):
    """The commands and tools as QActions, by name; a tool is named ``tool.<name>``."""

    def __init__(self, parent: QObject, tones: Tones) -> None:
        super().__init__(parent)
        self.by_name: dict[str, QAction] = {}
        for command in COMMANDS:
            action = QAction(command.label, self)
            action.setShortcuts([QKeySequence(k) for k in command.keys])
            action.setCheckable(command.checkable)
            action.setToolTip(_tip(command))
            self.by_name[command.name] = action
        self.tools = QActionGroup(self)
        for tool in TOOLS:
            action = QAction(tool.label, self.tools)
            action.setCheckable(True)
            action.setShortcut(QKeySequence(tool.key))
            action.setToolTip(f"{tool.label} ({keys_text(tool.key)})")
            action.setStatusTip("")
            action.setData(tool.name)
            self.by_name[f"tool.{tool.name}"] = action
        self.recolor(tones)

    def wire(self, doings: Mapping[str, Callable[..., object]], choose_tool: Callable[[str], object]) -> None:
        """Connect every command with what it does; a missing one is a mistake here, so KeyError."""
        for command in COMMANDS:
            if command.name not in SUBMENUS:
                do = doings[command.name]
                self.by_name[command.name].triggered.connect(
                    lambda on, do=do, c=command: do(on) if c.checkable else do()
                )
        self.tools.triggered.connect(lambda action: choose_tool(action.data()))

    def fill_menus(self, bar: QMenuBar, submenus: Mapping[str, QMenu]) -> None:
        """Put every command into its menu, and the tools into theirs."""
        for name in MENUS:
            menu = bar.addMenu(f"&{name}")
            menu.setToolTipsVisible(True)
            for command in COMMANDS:
                if command.menu != name:
                    continue
                if command.name in submenus:
                    submenus[command.name].setTitle(command.label)
                    menu.addMenu(submenus[command.name])
                else:
                    menu.addAction(self.by_name[command.name])
                if command.rule_after:
                    menu.addSeparator()
            if name == "Draw":
                group = ""
                for tool in TOOLS:
                    if group and tool.group != group:
                        menu.addSeparator()
                    group = tool.group
                    menu.addAction(self.by_name[f"tool.{tool.name}"])

    def fill_bar(self, bar: QToolBar) -> None:
        """Put the commands of every day on the bar."""
        menu = COMMANDS[0].menu
        for command in COMMANDS:
            if command.on_bar:
                if command.menu != menu:
                    bar.addSeparator()
                menu = command.menu
                bar.addAction(self.by_name[command.name])

    def rest(self, name: str, why: str) -> None:
        """Let a command rest, its tip saying why; '' takes it up again."""
        command = next(c for c in COMMANDS if c.name == name)
        self.by_name[name].setEnabled(not why)
        self.by_name[name].setToolTip(_tip(command, why))

    def recolor(self, tones: Tones) -> None:
        """Draw the icons in the tones of the window."""
        for command in COMMANDS:
            if command.icon:
                self.by_name[command.name].setIcon(icon(command.icon, tones))
        for tool in TOOLS:
            self.by_name[f"tool.{tool.name}"].setIcon(icon(tool.icon, tones))

    def refresh(self, session: Session) -> None:
        """Say what undo and redo would do, and what can be done at all."""
        for name, label in (("undo", session.history.undo_label), ("redo", session.history.redo_label)):
            action = self.by_name[name]
            word = name.capitalize()
            said = f"{word}: {label}" if label else word
            action.setText(said)
            action.setEnabled(label is not None)
            action.setToolTip(f"{said} ({keys_text(tuple(k.toString() for k in action.shortcuts()))})")
        self.by_name["delete"].setEnabled(bool(session.selection))
        backdrop = session.job.backdrop
        for name in ("drop_drawing", "show_drawing"):
            self.by_name[name].setEnabled(backdrop is not None)
        self.by_name["show_drawing"].setChecked(backdrop is not None and backdrop.shown)
        names = shown_names(session.job)
        self.by_name["delete_option"].setEnabled(len(names) > 1)
        self.by_name["show_others"].setEnabled(len(names) > 1)
        for at in range(MOST_OPTIONS):
            action = self.by_name[f"option_{at + 1}"]
            action.setVisible(at < len(names) and len(names) > 1)
            action.setText(f"Draw {names[at]}".replace("&", "&&") if at < len(names) else "")
        some = bool(session.review.findings)
        self.by_name["next_finding"].setEnabled(some)
        self.by_name["previous_finding"].setEnabled(some)

    def check_tool(self, name: str) -> None:
        """Show which tool is in hand."""
        action = self.by_name.get(f"tool.{name}")
        if action is not None:
            action.setChecked(True)
