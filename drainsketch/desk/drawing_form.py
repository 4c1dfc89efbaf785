"""The form that asks what becomes of a drawing from elsewhere, and shows how large it is before it is taken."""

from typing import Literal

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QDialog, QDialogButtonBox, QFormLayout, QLabel, QVBoxLayout, QWidget

from drainsketch.errors import DrainsketchError
from drainsketch.files.drawing import UNIT_WORDS, Drawing, DrawingUnit, Drawn
from drainsketch.files.drawing_place import Fitted, Placing, in_feet, largest_outline, placed
from drainsketch.job.ask import area_ft2
from drainsketch.job.model import Job
from drainsketch.job.plain import plain
from drainsketch.job.units import format_area, format_length

TakenAs = Literal["under", "lot-line"]
AS: tuple[tuple[TakenAs, str], ...] = (
    ("under", "a drawing under the plan, to draw by"),
    ("lot-line", "the lot line: its largest closed line"),
)
PLACES: tuple[tuple[Placing, str], ...] = (
    ("keep", "keep its coordinates"),
    ("origin", "its lower left corner at 0, 0"),
    ("yard", "its middle at the middle of the yard"),
)
OFFERED: tuple[DrawingUnit, ...] = ("ft", "in", "m", "mm", "cm", "survey ft")


class Taken(Struct, frozen=True):
    """What the user chose: the lines in plan feet, where they are to be, and what for."""

    lines: tuple[Drawn, ...]
    taken_as: TakenAs = "under"


def taken(
    drawing: Drawing, job: Job, unit: DrawingUnit | None, how: Placing, taken_as: TakenAs
) -> tuple[Fitted, Taken]:
    """Return a drawing as it is to be taken in. Raises DrawingError where it cannot be."""
    fitted = in_feet(drawing, job.header.units, unit)
    lines = placed(fitted, how, job)
    if taken_as == "lot-line":
        largest_outline(lines, drawing.source)
    return fitted, Taken(lines, taken_as)


class DrawingForm(QDialog):
    """What for, in which units and where; below it how large the drawing is then, and what was left out."""

    def __init__(self, drawing: Drawing, job: Job, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(f"Import {plain(drawing.source, 60)}")
        self.resize(520, 320)
        self._drawing, self._job = drawing, job
        self.taken: Taken | None = None
        self.taken_as, self.unit, self.place = QComboBox(), QComboBox(), QComboBox()
        for taken_as, words in AS:
            self.taken_as.addItem(words, taken_as)
        self._fill_units()
        for how, words in PLACES:
            self.place.addItem(words, how)
        form = QFormLayout()
        for label, box in (("Take it as", self.taken_as), ("Its units", self.unit), ("Where", self.place)):
            box.setAccessibleName(label)
            box.activated.connect(self._show)
            form.addRow(label, box)
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.told.setAlignment(Qt.AlignmentFlag.AlignTop)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.take = buttons.addButton("Import", QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        page = QVBoxLayout(self)
        page.addLayout(form)
        page.addWidget(self.told, 1)
        page.addWidget(buttons)
        self._show()
        if self.taken is None and self.place.currentData() == "keep":  # coordinates of a whole state, as a rule
            self.place.setCurrentIndex(1)
            self._show()

    def _fill_units(self) -> None:
        drawing = self._drawing
        if drawing.on_globe:
            self.unit.addItem("longitude and latitude", None)
            self.unit.setEnabled(False)
            return
        usual: DrawingUnit = drawing.unit or ("m" if self._job.header.units == "m" else "ft")
        for unit in dict.fromkeys((usual, *OFFERED)):
            says = ", as it says" if unit == drawing.unit else ""
            self.unit.addItem(UNIT_WORDS[unit] + says, None if unit == usual else unit)

    def _show(self) -> None:
        try:
            fitted, self.taken = taken(
                self._drawing,
                self._job,
                self.unit.currentData(),
                self.place.currentData(),
                self.taken_as.currentData(),
            )
            said = "\n".join((self._size(fitted, self.taken), *fitted.told))
        except DrainsketchError as fault:
            self.taken, said = None, str(fault)
        self.told.setText(said)
        self.take.setEnabled(self.taken is not None)

    def _size(self, fitted: Fitted, found: Taken) -> str:
        units = self._job.header.units
        wide, high = (format_length(ft, units) for ft in fitted.size_ft)
        said = f"{len(found.lines):,} {'line' if len(found.lines) == 1 else 'lines'}, {wide} wide and {high} high. Measure one length of it before you trust it."
        if found.taken_as == "lot-line":
            ring = largest_outline(found.lines, self._drawing.source)
            said += f"\nThe lot line would have {len(ring)} corners and hold {format_area(area_ft2(ring), units)}"
            said += "; it takes the place of the one that is drawn." if self._job.boundary is not None else "."
        elif self._job.backdrop is not None:
            said += "\nIt takes the place of the drawing that lies under the plan now."
        return said
