"""The form that asks how a plan sheet is to be written."""

from msgspec import Struct
from PySide6.QtWidgets import QComboBox, QDialog, QDialogButtonBox, QFormLayout, QLabel, QVBoxLayout, QWidget

PAPERS: tuple[tuple[str, str], ...] = (
    ("letter", "Letter, 8 1/2 by 11 in"),
    ("tabloid", "Tabloid, 11 by 17 in"),
    ("a4", "A4"),
    ("a3", "A3"),
)
SCALES_FT_PER_IN: tuple[float | None, ...] = (None, 5.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0)


class SheetChoice(Struct, frozen=True):
    """How the sheet is to be written."""

    paper: str = "letter"
    scale_ft_per_in: float | None = None


class SheetForm(QDialog):
    """Asks for paper and scale."""

    def __init__(self, before: SheetChoice, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Export plan sheet")
        self.paper = QComboBox()
        for key, words in PAPERS:
            self.paper.addItem(words, key)
        self.paper.setCurrentIndex(max(0, self.paper.findData(before.paper)))
        self.scale = QComboBox()
        for feet in SCALES_FT_PER_IN:
            self.scale.addItem("whatever fits the paper" if feet is None else f"1 in = {feet:g} ft", feet)
        self.scale.setCurrentIndex(SCALES_FT_PER_IN.index(before.scale_ft_per_in))
        form = QFormLayout()
        form.addRow("&Paper", self.paper)
        form.addRow("&Scale", self.scale)
        note = QLabel("Print it at actual size: a printer that fits it to the page spoils the scale.")
        note.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        buttons.addButton("Write PDF…", QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.addLayout(form)
        box.addWidget(note)
        box.addWidget(buttons)

    def choice(self) -> SheetChoice:
        """Return what was chosen."""
        return SheetChoice(self.paper.currentData(), self.scale.currentData())
