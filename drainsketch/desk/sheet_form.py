"""The form that asks how the sheets are to be made, with a look at them, and sends them to a file or to the printer."""

from collections.abc import Callable

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QMessageBox,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.sheet_maker import PAIR, Made, SheetChoice
from drainsketch.desk.sheet_preview import SheetPreview
from drainsketch.errors import SheetError
from drainsketch.job.kinds import Units
from drainsketch.sheets.book import READERS as SET_READERS
from drainsketch.sheets.book import Audience, takes_job
from drainsketch.sheets.scale import scales
from drainsketch.wording import Words, languages

PAPERS: tuple[tuple[str, str], ...] = (
    ("letter", "Letter, 8 1/2 by 11 in"),
    ("tabloid", "Tabloid, 11 by 17 in"),
    ("arch-c", "Arch C, 18 by 24 in"),
    ("arch-d", "Arch D, 24 by 36 in"),
    ("a4", "A4"),
    ("a3", "A3"),
)
READERS: tuple[tuple[Audience, str], ...] = (
    ("crew", "the crew"),
    ("owner", "the owner"),
    ("record", "the record, as built"),
    ("all", "all of them"),
)
LANGUAGE_NAMES = {"en": "English", "es": "Spanish"}
LARGEST_FT_PER_IN, SMALLEST_FT_PER_IN = 2.0, 200.0
Print = Callable[[bytes, QWidget], bool]


class SheetForm(QDialog):
    """Asks for reader, paper, scale, language and pages.

    Parameters
    ----------
    make : makes the sheets for the preview; None for a form without one
    send : prints sheets, asking which printer
    """

    def __init__(
        self,
        before: SheetChoice,
        units: Units,
        parent: QWidget | None = None,
        *,
        make: Callable[[SheetChoice], Made] | None = None,
        send: Print | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Sheets")
        self._units, self._send = units, send
        self._left_out = set(before.leave_out)
        self._with_job = before.with_job
        self._no_pair = ""  # why the owner's set cannot have its before and after, once that is known
        self.preview = SheetPreview(make, self) if make is not None else None
        self._build(before)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.write = buttons.addButton("&Write PDF…", QDialogButtonBox.ButtonRole.AcceptRole)
        self.write.setDefault(True)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addLayout(self._form)
        left.addWidget(self.pages_label)
        left.addWidget(self.pages, 1)
        left.addWidget(self._note())
        row = QHBoxLayout()
        row.addLayout(left)
        box = QVBoxLayout(self)
        box.addLayout(row, 1)
        box.addWidget(buttons)
        if self.preview is not None:
            row.addWidget(self.preview, 1)
            self.print = buttons.addButton("&Print…", QDialogButtonBox.ButtonRole.ActionRole)
            self.print.clicked.connect(self._print)
            QShortcut(QKeySequence.StandardKey.Print, self, self._print)
            self.preview.made_anew.connect(self._allow)
            self.finished.connect(self.preview.stop)
            self.resize(1180, 660)
        else:
            self.setMinimumWidth(380)
        self._changed()

    def _build(self, before: SheetChoice) -> None:
        self.reader, self.paper, self.scale = QComboBox(), QComboBox(), QComboBox()
        for audience, words in READERS:
            self.reader.addItem(words, audience)
        for paper, words in PAPERS:
            self.paper.addItem(words, paper)
        self.scale.addItem("the largest that fits", None)
        for scale in scales(self._units):
            if LARGEST_FT_PER_IN <= scale.ft_per_in <= SMALLEST_FT_PER_IN:
                self.scale.addItem(scale.text(), scale.ft_per_in)
        self.scale.setToolTip("Where the yard is too large for one page at this scale, it is cut at match lines")
        self.langs = tuple(QComboBox() for _ in SET_READERS)
        for combo in self.langs:
            for lang in languages():
                combo.addItem(LANGUAGE_NAMES.get(lang, lang), lang)
        self.contours = QCheckBox("on the crew's plan")
        self.contours.setChecked(before.contours)
        self.contours.setToolTip("Standing water is drawn either way; contours only where the crew has use for them")
        self.price = QCheckBox("in the owner's set")
        self.price.setChecked(before.price)
        self.price.setToolTip(
            "Your kept prices; while a price is missing or an example is in it, it is marked as no offer"
        )
        self.price.clicked.connect(self._changed)
        self.job_inside = QCheckBox("in the PDF, prices and all")
        self.job_inside.setToolTip("drainsketch opens the PDF again as the job it was made from")
        self.job_inside.clicked.connect(self._keep_job_inside)
        self.pages = QListWidget()
        self.pages.setMinimumHeight(90)
        self.pages_label = QLabel("Pa&ges")
        self.pages_label.setBuddy(self.pages)
        self._form = QFormLayout()
        for label, field in (("&For", self.reader), ("Pape&r", self.paper), ("&Scale", self.scale)):
            self._form.addRow(label, field)
        for reader, combo in zip(SET_READERS, self.langs, strict=True):
            self._form.addRow(f"&Language, {reader}", combo)
        self._form.addRow("&Contours", self.contours)
        self._form.addRow("Pric&e", self.price)
        self._form.addRow("&Job file", self.job_inside)
        for combo, value in (
            (self.reader, before.audience),
            (self.paper, before.paper),
            (self.scale, before.scale_ft_per_in),
            *zip(self.langs, before.langs, strict=True),
        ):
            combo.setCurrentIndex(max(0, combo.findData(value)))
            combo.currentIndexChanged.connect(self._changed)
        self.contours.clicked.connect(self._changed)
        self._list_pages()
        self.reader.currentIndexChanged.connect(self._list_pages)
        self.pages.itemChanged.connect(self._tick)

    def _note(self) -> QLabel:
        note = QLabel("Print the PDF at actual size: a printer that fits it to the page spoils the scale.")
        note.setWordWrap(True)
        note.setMaximumWidth(330)
        return note

    def choice(self) -> SheetChoice:
        """Return what was chosen."""
        audience = self.reader.currentData()
        items = [self.pages.item(i) for i in range(self.pages.count())]
        there = {
            i.data(Qt.ItemDataRole.UserRole) for i in items if i.flags() & Qt.ItemFlag.ItemIsUserCheckable
        }  # without those that stay
        return SheetChoice(
            paper=self.paper.currentData(),
            scale_ft_per_in=self.scale.currentData(),
            audience=audience,
            contours=self.contours.isChecked(),
            leave_out=tuple(sorted(self._left_out & there)),
            langs=tuple(combo.currentData() for combo in self.langs),
            with_job=self._with_job,
            price=self.price.isChecked(),
        )

    def _list_pages(self) -> None:
        """List the pages that this reader's sheets may have, each to be left out by its check box."""
        from drainsketch.sheets.pages import pages_of  # reportlab loads when the form opens, not with the window

        words = Words()
        self.pages.blockSignals(True)
        self.pages.clear()
        for page in pages_of(self.reader.currentData()):
            item = QListWidgetItem(words.word(page.title))
            item.setData(Qt.ItemDataRole.UserRole, page.key)
            if page.stays:
                item.setFlags(Qt.ItemFlag.ItemIsSelectable)
                item.setToolTip("It stays in every set")
            ticked = page.stays or page.key not in self._left_out
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
            self.pages.addItem(item)
        self.pages.blockSignals(False)
        self._say_no_pair()

    def _say_no_pair(self) -> None:
        """Say at its check box why there is no before and after of the storm, where there can be none."""
        for at in range(self.pages.count()) if self._no_pair else ():
            item = self.pages.item(at)
            if item.data(Qt.ItemDataRole.UserRole) == PAIR:
                with QSignalBlocker(self.pages):
                    item.setText(f"{Words().word('sheets.pair.title')}: nothing to show")
                    item.setToolTip(self._no_pair)
                    item.setFlags(Qt.ItemFlag.NoItemFlags)

    def _tick(self, item: QListWidgetItem) -> None:
        key = item.data(Qt.ItemDataRole.UserRole)
        if item.checkState() == Qt.CheckState.Checked:
            self._left_out.discard(key)
        else:
            self._left_out.add(key)
        self._changed()

    def _keep_job_inside(self) -> None:
        self._with_job = self.job_inside.isChecked()
        self._changed()

    def _changed(self) -> None:
        choice = self.choice()
        for reader, combo in zip(SET_READERS, self.langs, strict=True):
            self._form.setRowVisible(combo, choice.audience in (reader, "all"))
        self._form.setRowVisible(self.contours, choice.audience in ("crew", "all"))
        self._form.setRowVisible(self.price, choice.audience in ("owner", "all"))
        self.job_inside.setChecked(takes_job(choice.audience, self._with_job))
        if self.preview is not None:
            self.preview.show_choice(choice)

    def _allow(self) -> None:
        """Let the sheets be written and printed once they are made, never those of the choice before."""
        if self.preview is not None:
            self.write.setEnabled(self.preview.made is not None)
            self.print.setEnabled(self.preview.made is not None)
            if self.preview.made is not None and self.preview.made.no_pair:
                self._no_pair = self.preview.made.no_pair
                self._say_no_pair()

    def _print(self) -> None:
        made = self.preview.made if self.preview is not None else None
        if made is None or self._send is None:
            return
        try:
            self._send(made.data, self)
        except SheetError as fault:
            QMessageBox.warning(self, "drainsketch", str(fault))
