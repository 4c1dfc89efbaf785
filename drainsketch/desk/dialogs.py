"""Every question the window asks in a dialog of its own goes through one small object, so that a test can answer."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from drainsketch.desk.drawing_form import DrawingForm, Taken
from drainsketch.desk.option_form import Fault, OptionForm
from drainsketch.desk.points_form import PointsForm
from drainsketch.desk.sheet_form import SheetForm
from drainsketch.desk.sheet_maker import SheetChoice, SheetMaker
from drainsketch.files.drawing import Drawing
from drainsketch.files.points import FieldPoints
from drainsketch.job.kinds import Units
from drainsketch.job.model import Job

JOB_SUFFIX = ".drainjob"
JOB_FILTER = f"Drain jobs (*{JOB_SUFFIX})"
OPEN_FILTER = f"{JOB_FILTER};;Sheets with their job inside (*.pdf)"

Leave = Literal["save", "discard", "cancel"]
Clash = Literal["overwrite", "save as", "cancel"]
Found = Literal["open", "discard", "later"]


class Dialogs:
    """Asks and tells; ``parent`` is the window the dialogs belong to."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self.parent = parent
        self._sheet = SheetChoice()

    def ask_open(self, folder: Path) -> Path | None:
        """Ask which job to open; None when the user thinks better of it."""
        name, _ = QFileDialog.getOpenFileName(self.parent, "Open a job", str(folder), f"{OPEN_FILTER};;All files (*)")
        return Path(name) if name else None

    def ask_read(self, folder: Path, title: str, kinds: str) -> Path | None:
        """Ask which file to take something in from; None when the user thinks better of it."""
        name, _ = QFileDialog.getOpenFileName(self.parent, title, str(folder), f"{kinds};;All files (*)")
        return Path(name) if name else None

    def ask_save(self, suggested: Path, title: str, suffix: str, kinds: str) -> Path | None:
        """Ask where to write a file; the suffix is added when left out, and overwriting is asked about."""
        dialog = QFileDialog(self.parent, title, str(suggested.parent), kinds)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix(suffix.lstrip("."))
        dialog.selectFile(suggested.name)
        if not dialog.exec():
            return None
        chosen = dialog.selectedFiles()
        return Path(chosen[0]) if chosen else None

    def ask_leave(self, name: str) -> Leave:
        """Ask what becomes of unsaved work."""
        keep = QMessageBox.StandardButton
        box = self._box(
            QMessageBox.Icon.Question, f"{name} has changes that are not saved.", "Save them before leaving this job?"
        )
        box.setStandardButtons(keep.Save | keep.Discard | keep.Cancel)
        box.setDefaultButton(keep.Save)
        box.exec()
        pressed = box.standardButton(box.clickedButton())
        return "save" if pressed == keep.Save else "discard" if pressed == keep.Discard else "cancel"

    def ask_clash(self, name: str) -> Clash:
        """Ask what to do when the file on disk is no longer the one that was opened."""
        box = self._box(
            QMessageBox.Icon.Warning,
            f"{name} has changed on disk since it was opened here.",
            "Saving over it loses what was written there. Save this job under another name instead?",
        )
        other = box.addButton("Save As…", QMessageBox.ButtonRole.AcceptRole)
        over = box.addButton("Save Over It", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton(QMessageBox.StandardButton.Cancel)
        box.setDefaultButton(other)
        box.exec()
        pressed = box.clickedButton()
        return "save as" if pressed is other else "overwrite" if pressed is over else "cancel"

    def ask_recovered(self, title: str, more: str) -> Found:
        """Ask what becomes of work that a window left behind; Esc leaves it for the next start."""
        box = self._box(QMessageBox.Icon.Question, f"Unsaved work on {title} was recovered.", more)
        take = box.addButton("Open Recovered Work", QMessageBox.ButtonRole.AcceptRole)
        drop = box.addButton("Discard", QMessageBox.ButtonRole.DestructiveRole)
        box.setEscapeButton(box.addButton("Later", QMessageBox.ButtonRole.RejectRole))
        box.setDefaultButton(take)
        box.exec()
        pressed = box.clickedButton()
        return "open" if pressed is take else "discard" if pressed is drop else "later"

    def ask_sheet(self, units: Units, maker: SheetMaker) -> SheetChoice | None:
        """Show the sheets and ask how they are to be written, or print them; the answer is kept for the next time."""
        from drainsketch.desk.sheet_print import ask_and_print

        form = SheetForm(
            self._sheet,
            units,
            self.parent,
            make=maker.made,
            send=lambda data, over: ask_and_print(data, maker.job.header.title or "Yard drain", over),
        )
        taken = form.exec()
        self._sheet = form.choice()
        form.deleteLater()
        return self._sheet if taken else None

    def ask_points(self, text: str, name: str, units: Units) -> FieldPoints | None:
        """Ask how a file of points is to be read, with a look at what comes in."""
        form = PointsForm(text, name, units, self.parent)
        return form.read if form.exec() else None

    def ask_drawing(self, drawing: Drawing, job: Job) -> Taken | None:
        """Ask what becomes of a drawing from elsewhere, with a look at how large it is."""
        form = DrawingForm(drawing, job, self.parent)
        return form.taken if form.exec() else None

    def ask_option(self, title: str, name: str, note: str, fault: Fault) -> tuple[str, str] | None:
        """Ask for name and note of an option; ``fault`` says why they cannot be taken."""
        form = OptionForm(title, name, note, fault, self.parent)
        return form.answer() if form.exec() else None

    def confirm(self, question: str, more: str, yes: str) -> bool:
        """Ask a question with one way on and a Cancel."""
        box = self._box(QMessageBox.Icon.Question, question, more)
        on = box.addButton(yes, QMessageBox.ButtonRole.AcceptRole)
        box.addButton(QMessageBox.StandardButton.Cancel)
        box.setDefaultButton(on)
        box.exec()
        return box.clickedButton() is on

    def tell(self, sentence: str, more: str = "") -> None:
        """Say something that must be read before going on."""
        self._box(QMessageBox.Icon.Information, sentence, more).exec()

    @contextmanager
    def busy(self) -> Iterator[None]:
        """Show that the window is at work."""
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            yield
        finally:
            QGuiApplication.restoreOverrideCursor()

    def show_file(self, path: Path) -> None:
        """Open a written file in the system's own viewer."""
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))

    def _box(self, sign: QMessageBox.Icon, sentence: str, more: str) -> QMessageBox:
        box = QMessageBox(sign, "drainsketch", sentence, QMessageBox.StandardButton.NoButton, self.parent)
        box.setInformativeText(more)
        return box
