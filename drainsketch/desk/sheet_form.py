"""The form that asks how the sheets are to be written."""

from msgspec import Struct
from PySide6.QtWidgets import QCheckBox, QComboBox, QDialog, QDialogButtonBox, QFormLayout, QLabel, QVBoxLayout, QWidget

from drainsketch.job.kinds import Units
from drainsketch.sheets.book import Audience
from drainsketch.sheets.scale import scales

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
LARGEST_FT_PER_IN, SMALLEST_FT_PER_IN = 2.0, 200.0


class SheetChoice(Struct, frozen=True):
    """How the sheets are to be written; a scale of None is the largest that fits."""

    paper: str = "letter"
    scale_ft_per_in: float | None = None
    audience: Audience = "crew"
    contours: bool = False
    leave_out: tuple[str, ...] = ()
    price: bool = True


class SheetForm(QDialog):
    """Asks for reader, paper and scale."""

    def __init__(self, before: SheetChoice, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Export sheets")
        self.reader, self.paper, self.scale = QComboBox(), QComboBox(), QComboBox()
        for audience, words in READERS:
            self.reader.addItem(words, audience)
        for paper, words in PAPERS:
            self.paper.addItem(words, paper)
        self.scale.addItem("the largest that fits", None)
        for scale in scales(units):
            if LARGEST_FT_PER_IN <= scale.ft_per_in <= SMALLEST_FT_PER_IN:
                self.scale.addItem(scale.text(), scale.ft_per_in)
        chosen = ((self.reader, before.audience), (self.paper, before.paper), (self.scale, before.scale_ft_per_in))
        for combo, value in chosen:
            combo.setCurrentIndex(max(0, combo.findData(value)))
        form = QFormLayout()
        form.addRow("&For", self.reader)
        form.addRow("&Paper", self.paper)
        form.addRow("&Scale", self.scale)
        self.contours = QCheckBox("on the crew's plan")
        self.contours.setChecked(before.contours)
        self.contours.setToolTip("Standing water is drawn either way; contours only where the crew has use for them")
        form.addRow("&Contours", self.contours)
        self.price = QCheckBox("in the owner's set")
        self.price.setChecked(before.price)
        self.price.setToolTip(
            "Your kept prices; while a price is missing or an example is in it, it is marked as no offer"
        )
        form.addRow("P&rice", self.price)
        note = QLabel("Print it at actual size: a printer that fits it to the page spoils the scale.")
        note.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        buttons.addButton("Write PDF…", QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.setSpacing(12)
        box.addLayout(form)
        box.addWidget(note)
        box.addWidget(buttons)
        self.setMinimumWidth(380)

    def choice(self) -> SheetChoice:
        """Return what was chosen."""
        return SheetChoice(
            self.paper.currentData(),
            self.scale.currentData(),
            self.reader.currentData(),
            self.contours.isChecked(),
            price=self.price.isChecked(),
        )
