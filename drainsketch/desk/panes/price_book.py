"""The price book as a table: rows of the example with the user's own over them, kept for all jobs as a whole or not at all."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.panes.price_book_rows import SHOWN, BookSheet
from drainsketch.desk.panes.price_book_table import BookTable
from drainsketch.desk.panes.table_keys import fault_line
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError
from drainsketch.exports.price_text import said_unknown
from drainsketch.files.atomic import in_words, write_whole
from drainsketch.files.pricebook import own_book as read_own_book
from drainsketch.files.pricebook import parse_price_book, price_book_text, read_price_book, shipped_book
from drainsketch.job.price_book import PriceBook, items
from drainsketch.wording import Words

SUFFIX = ".csv"
KINDS = f"Price books (*{SUFFIX} *.txt)"
MOST_FAULTS = 4


class PriceBookForm(QDialog):
    """Edits the whole book; nothing is written before Keep, and then all of it or nothing."""

    def __init__(self, desk: PriceDesk, dialogs: Dialogs, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Price book for all jobs")
        self._desk, self._dialogs = desk, dialogs
        own = read_own_book()
        self.sheet = BookSheet(read_price_book(shipped_book()).book, own.book if own is not None else PriceBook(()))
        self.table = BookTable(self.sheet, self)
        self.wanted = QLineEdit(self)
        self.wanted.setPlaceholderText("Find: item, kind, size or name")
        self.wanted.setAccessibleName("Find in the price book")
        self.wanted.setClearButtonEnabled(True)
        self.mine = QCheckBox("only my own rows", self)
        self.item = QComboBox(self)
        self.item.setAccessibleName("Item of the row to add")
        for name in items():
            self.item.addItem(name, name)
        self.told = QLabel(self)
        self.told.setProperty("quiet", True)
        self.fault = fault_line(self)
        self.add = self._button("Add row", self._add)
        self.out = self._button("Take row out", self._take_out)
        self.take_in = self._button("Import CSV…", self._import)
        self.write_out = self._button("Export CSV…", self._export)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.keep = self.buttons.addButton("Keep for all jobs", QDialogButtonBox.ButtonRole.AcceptRole)
        self.keep.setAutoDefault(False)
        self.buttons.accepted.connect(self._keep)
        self.buttons.rejected.connect(self.reject)
        self._lay_out()
        self.wanted.textChanged.connect(self._filter)
        self.mine.toggled.connect(self._filter)
        self.table.said.connect(self.say)
        self.table.model_.dataChanged.connect(self._tell)
        self.table.pasted.connect(self._paste)
        self.table.erased.connect(self._take_out)
        self._tell()

    def _button(self, text: str, do: object) -> QPushButton:
        button = QPushButton(text, self)
        button.setAutoDefault(False)
        button.clicked.connect(do)
        return button

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.wanted, 1)
        top.addWidget(self.mine)
        below = QHBoxLayout()
        for part in (self.item, self.add, self.out):
            below.addWidget(part)
        below.addStretch(1)
        for part in (self.take_in, self.write_out):
            below.addWidget(part)
        box = QVBoxLayout(self)
        box.addLayout(top)
        box.addWidget(self.table, 1)
        box.addWidget(self.told)
        box.addWidget(self.fault)
        box.addLayout(below)
        box.addWidget(self.buttons)
        self.setTabOrder(self.wanted, self.table)
        self.setTabOrder(self.table, self.mine)
        self.table.setFocus()
        self.resize(1190, 640)

    def say(self, sentence: str) -> None:
        """Say what is wrong; '' takes it off."""
        self.fault.setText(sentence)
        self.fault.setVisible(bool(sentence))

    def reject(self) -> None:
        """Close without keeping; what was typed is asked about."""
        if self.sheet.changed and not self._dialogs.confirm(
            "Close the price book without keeping what was changed in it?",
            "Your book for all jobs stays as it was.",
            "Close",
        ):
            return
        super().reject()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Enter to the fields: it keeps nothing by itself."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.matches(
            QKeySequence.StandardKey.Paste
        ):
            super().keyPressEvent(event)

    def _tell(self) -> None:
        examples = sum(r.is_example for r in self.sheet.rows)
        rows = len(self.sheet.rows)
        self.told.setText(
            f"{rows} {'row' if rows == 1 else 'rows'}, {examples} of them invented examples. Yours go first; an empty price is not known yet, 0.00 is free."
        )
        tones = tones_of(self)
        self.told.setStyleSheet(f"color: {tones.settle if examples else tones.quiet};")

    def _filter(self) -> None:
        wanted = self.wanted.text().casefold().split()
        for at, row in enumerate(self.sheet.rows):
            text = " ".join(row.cells.values()).casefold()
            hide = any(word not in text for word in wanted) or (self.mine.isChecked() and row.is_example)
            self.table.setRowHidden(at, hide)

    def _add(self) -> None:
        self.wanted.clear()
        self.mine.setChecked(False)
        self.table.add_row(str(self.item.currentData()))
        self._tell()

    def _take_out(self) -> None:
        at = self.table.currentIndex().row()
        if at >= 0:
            self.say(self.table.take_out(at))
            self._after_rows()

    def _paste(self, text: str) -> None:
        """Take what the clipboard holds: a book with its heading, or cells over the table from the chosen one on."""
        first = next((line for line in text.splitlines() if line.strip() and not line.lstrip('" ').startswith("#")), "")
        heading = {cell.strip(' "').casefold() for cell in first.replace(";", ",").replace("\t", ",").split(",")}
        if {"item", "price"} <= heading:
            self._take_book(text.encode("utf-8", "replace"), "What was pasted")
            return
        self.say(_several(self.table.paste(text)))
        self._after_rows()

    def _import(self) -> None:
        path = self._dialogs.ask_read(Path.home(), "Import a price book", KINDS)
        if path is None:
            return
        try:
            data = path.read_bytes()
        except (OSError, ValueError) as fault:
            self.say(f"{path.name} could not be read: {getattr(fault, 'strerror', None) or fault}")
            return
        self._take_book(data, path.name)

    def _take_book(self, data: bytes, whence: str) -> None:
        try:
            read = parse_price_book(data)
        except DrainsketchError as fault:
            complaints = getattr(fault, "complaints", (str(fault),))
            self.say(f"{whence} was not taken in. " + _several([*complaints]))
            return
        changed = self.table.merge(read.book.rows)
        self.say(_several([said_unknown(row, Words()) for row in read.unknown]))
        self._after_rows()
        self.told.setText(f"{whence}: {changed} {'row' if changed == 1 else 'rows'} taken in. {self.told.text()}")

    def _export(self) -> None:
        path = self._dialogs.ask_save(Path.home() / f"prices{SUFFIX}", "Export the price book", SUFFIX, KINDS)
        if path is None:
            return
        try:
            write_whole(path, price_book_text(self.sheet.whole).encode("utf-8-sig"))
        except (OSError, ValueError) as fault:
            self.say(f"{path.name} could not be written: {in_words(fault) if isinstance(fault, OSError) else fault}")
            return
        self.say("")
        self.told.setText(f"Wrote {path.name}: edit it in a spreadsheet, then import it.")

    def _keep(self) -> None:
        faults = self.sheet.faults()
        if faults:
            at, column, wrong = faults[0]
            self.wanted.clear()
            self.mine.setChecked(False)
            self.table.go_to(at, SHOWN.index(column) if column in SHOWN else 0)
            self.say(f"Row {at + 1}, {column}: {wrong}" + (f" ({len(faults) - 1} more like it)" if faults[1:] else ""))
            return
        try:
            self._desk.keep_book(self.sheet.own_rows)
        except DrainsketchError as fault:
            self.say(str(fault))
            return
        self.accept()

    def _after_rows(self) -> None:
        self._filter()
        self._tell()


def _several(said: list[str]) -> str:
    more = [f"and {len(said) - MOST_FAULTS} more"] if len(said) > MOST_FAULTS else []
    return "\n".join([*said[:MOST_FAULTS], *more])
