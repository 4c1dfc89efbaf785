"""A yard worked out by hand, and dialogs that answer by themselves, for the tests of the window."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.dialogs import Clash, Dialogs, Found, Leave
from drainsketch.desk.drawing_form import Taken, TakenAs, taken
from drainsketch.desk.option_form import Fault
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.sheet_maker import SheetChoice, SheetMaker
from drainsketch.files.drawing import Drawing
from drainsketch.files.drawing_place import Placing
from drainsketch.files.points import FieldPoints, guessed_columns, read_points
from drainsketch.job.kinds import Units
from drainsketch.job.model import Boundary, Header, Job, Obstacle, Run, Service, Shot, Structure
from drainsketch.job.pricing import Extra

if TYPE_CHECKING:
    from drainsketch.desk.window import Window

# The ground is the plane z = 100 - 0.02 x: four shots at the corners of a square. B1 at x = 0 and O1 at x = 50 are 50 ft
# apart, so R1 falls from 98.00 to 97.00 at 2 %. Ground at O1 is 99.00: the cut to the invert is 2 ft all along.
PLANE_YARD = Job(
    header=Header(title="Plane yard", client="A. Tester"),
    boundary=Boundary(id="boundary", points=((-20, -50), (80, -50), (80, 50), (-20, 50))),
    obstacles=(Obstacle(id="building-1", kind="building", points=((-15, 20), (10, 20), (10, 40), (-15, 40))),),
    services=(
        Service(
            id="gas-1", kind="gas", points=((20, -40), (20, 40)), depth_top_ft=0.5, size_in=1.0, known_by="exposed"
        ),
        Service(id="water-1", kind="water", points=((30, -40), (30, 40))),
    ),
    shots=tuple(
        Shot(id=f"S{n}", point=(float(x), float(y)), elevation_ft=100 - 0.02 * x)
        for n, (x, y) in enumerate(((-50, -50), (100, -50), (100, 50), (-50, 50)), 1)
    ),
    structures=(
        Structure(id="B1", kind="basin", point=(0.0, 0.0), size_in=12, invert_ft=98.0),
        Structure(id="O1", kind="outfall", point=(50.0, 0.0), outfall="daylight", invert_ft=97.0),
    ),
    runs=(Run(id="R1", start="B1", end="O1"),),
)


class Answers(Dialogs):
    """Dialogs that answer at once, and remember what they were asked and told."""

    def __init__(self) -> None:
        super().__init__()
        self.open_path: Path | None = None
        self.save_path: Path | None = None
        self.read_path: Path | None = None
        self.leave: Leave = "cancel"
        self.clash: Clash = "cancel"
        self.found: Found = "later"
        self.sheet: SheetChoice | None = SheetChoice()
        self.suggested: Path | None = None
        self.drawing: tuple[Placing, TakenAs] | None = ("keep", "under")
        self.extra: Extra | None = None
        self.yes = True
        self.option: tuple[str, str] | None = None
        self.option_fault = ""
        self.asked: list[str] = []
        self.told: list[str] = []
        self.shown: list[Path] = []

    def ask_read(self, folder: Path, title: str, kinds: str) -> Path | None:
        """Answer with the path set."""
        self.asked.append(title)
        return self.read_path

    def ask_points(self, text: str, name: str, units: Units) -> FieldPoints | None:
        """Answer with the points as the file itself suggests to read them."""
        return read_points(text, guessed_columns(text))

    def ask_drawing(self, drawing: Drawing, job: Job) -> Taken | None:
        """Answer with the drawing as the form itself would take it at first, or as set."""
        self.asked.append(f"drawing {drawing.source}")
        return self.drawing and taken(drawing, job, None, *self.drawing)[1]

    def ask_open(self, folder: Path) -> Path | None:
        """Answer with the path set."""
        return self.open_path

    def ask_save(self, suggested: Path, title: str, suffix: str, kinds: str) -> Path | None:
        """Answer with the path set, and remember which one was suggested."""
        self.asked.append(title)
        self.suggested = suggested
        return self.save_path

    def ask_leave(self, name: str) -> Leave:
        """Answer as set."""
        self.asked.append(f"leave {name}")
        return self.leave

    def ask_clash(self, name: str) -> Clash:
        """Answer as set."""
        self.asked.append(f"clash {name}")
        return self.clash

    def ask_recovered(self, title: str, more: str) -> Found:
        """Answer as set."""
        self.asked.append(f"recovered {title}. {more}")
        return self.found

    def ask_sheet(self, units: Units, maker: SheetMaker) -> SheetChoice | None:
        """Answer as set."""
        return self.sheet

    def ask_extra(self, before: Extra | None) -> Extra | None:
        """Answer as set."""
        return self.extra

    def edit_terms(self, desk: PriceDesk, first: str = "") -> None:
        """Remember which term was to be edited first."""
        self.asked.append(f"terms {first}".strip())

    def edit_price_book(self, desk: PriceDesk) -> None:
        """Remember that the book was to be edited."""
        self.asked.append("price book")

    def ask_option(self, title: str, name: str, note: str, fault: Fault) -> tuple[str, str] | None:
        """Answer as set; without an answer what was suggested is taken."""
        self.asked.append(title)
        answer = self.option if self.option is not None else (name, note)
        self.option_fault = fault(*answer)
        return answer

    def confirm(self, question: str, more: str, yes: str) -> bool:
        """Answer as set."""
        self.asked.append(question)
        return self.yes

    def tell(self, sentence: str, more: str = "") -> None:
        """Remember what was told."""
        self.told.append(f"{sentence} {more}".strip())

    def show_file(self, path: Path) -> None:
        """Remember what was to be shown."""
        self.shown.append(path)


def settings_in(folder: Path) -> QSettings:
    """Return settings that live in a folder of the test."""
    return QSettings(str(folder / "window.ini"), QSettings.Format.IniFormat)


def open_window(qtbot: QtBot, folder: Path, job: Job | None = None) -> "tuple[Window, Answers]":
    """Return the real window on a job, shown and active, and its answering dialogs."""
    from drainsketch.desk.window import Window

    answers = Answers()
    window = Window(settings_in(folder), answers)
    answers.leave = "discard"  # so that the fixture can close it
    qtbot.addWidget(window)
    window.resize(1366, 768)
    with qtbot.waitExposed(window):
        window.show()
    if job is not None:
        window.session.open(job)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window, answers


def field(window: "Window", name: str) -> QLineEdit:
    """Return the editor of a field of what is selected."""
    assert window.details.form is not None
    editor = window.details.form.row(name).editor
    assert isinstance(editor, QLineEdit)
    return editor
