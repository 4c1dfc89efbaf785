"""The form that asks how a file of points is to be read, with a look at what comes in."""

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QGridLayout,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from drainsketch.errors import DrainsketchError
from drainsketch.files.points import Columns, FieldPoints, cells_of, guessed_columns, read_points
from drainsketch.job.kinds import Units
from drainsketch.job.plain import plain

FIELDS = (("point", "Point"), ("north", "North"), ("east", "East"), ("level", "Level"), ("note", "Note"))
MOST_SHOWN = 200
MOST_FAULTS = 4


class PointsForm(QDialog):
    """Which column is which; below it the points as they come in, and what is wrong with the other lines."""

    def __init__(self, text: str, name: str, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(f"Import points from {plain(name, 60)}")
        self.resize(620, 460)
        self._text = text
        self.read: FieldPoints | None = None
        grid = self._choices(units)
        self.table = QTableWidget(0, len(FIELDS))
        self.table.setHorizontalHeaderLabels([label for _, label in FIELDS])
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setStretchLastSection(True)
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.leave_out = QCheckBox("Leave those lines out")
        self.leave_out.clicked.connect(self._allow)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.take = self.buttons.addButton("Import", QDialogButtonBox.ButtonRole.AcceptRole)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.addLayout(grid)
        for part in (self.table, self.told, self.leave_out, self.buttons):
            box.addWidget(part)
        self._show()

    def _choices(self, units: Units) -> QGridLayout:
        """Make the choices of columns, heading and units, set as the text suggests."""
        rows = cells_of(self._text)
        guess = guessed_columns(self._text)
        if units == "m":
            guess = replace(guess, units="m")
        grid = QGridLayout()
        self.columns: dict[str, QComboBox] = {}
        widest = max((len(row) for row in rows), default=0)
        for at, (field, label) in enumerate(FIELDS):
            combo = QComboBox()
            combo.setAccessibleName(f"Column of {label}")
            if field in ("point", "note"):
                combo.addItem("none", None)
            for number in range(widest):
                example = plain(rows[0][number], 14) if number < len(rows[0]) else ""
                combo.addItem(f"{number + 1}: {example}", number)
            combo.setCurrentIndex(max(0, combo.findData(getattr(guess, field))))
            combo.activated.connect(self._show)
            self.columns[field] = combo
            grid.addWidget(QLabel(label), 0, at)
            grid.addWidget(combo, 1, at)
        self.heading = QCheckBox("First row is headings")
        self.heading.setChecked(guess.heading)
        self.units = QComboBox()
        self.units.setAccessibleName("Units of the figures")
        self.units.addItem("feet", "ft")
        self.units.addItem("meters", "m")
        self.units.setCurrentIndex(self.units.findData(guess.units))
        self.heading.clicked.connect(self._show)
        self.units.activated.connect(self._show)
        grid.addWidget(self.heading, 2, 0, 1, 3)
        grid.addWidget(self.units, 2, 3)
        return grid

    def chosen(self) -> Columns:
        """Return the columns as chosen."""
        picked = {field: combo.currentData() for field, combo in self.columns.items()}
        return Columns(**picked, heading=self.heading.isChecked(), units=self.units.currentData())

    def _show(self) -> None:
        try:
            self.read = read_points(self._text, self.chosen())
            said = self._summary(self.read)
        except DrainsketchError as fault:
            self.read, said = None, str(fault)
        self.told.setText(said)
        points = self.read.points[:MOST_SHOWN] if self.read is not None else ()
        self.table.setRowCount(len(points))
        for row, p in enumerate(points):
            for column, text in enumerate(
                (p.name, f"{p.north_ft:.2f}", f"{p.east_ft:.2f}", f"{p.level_ft:.2f}", p.note)
            ):
                self.table.setItem(row, column, QTableWidgetItem(text))
        self.leave_out.setVisible(self.read is not None and bool(self.read.faults))
        self._allow()

    def _allow(self) -> None:
        """Let the points in once there are some, and faulty lines are left out on purpose."""
        read = self.read
        self.take.setEnabled(read is not None and bool(read.points) and (not read.faults or self.leave_out.isChecked()))

    def _summary(self, read: FieldPoints) -> str:
        said = [f"{len(read.points)} points come in; shown in feet."]
        if read.off_north_ft or read.off_east_ft:
            said.append(
                f"To bring them onto the plan {read.off_north_ft:,.0f} ft is taken off each northing and "
                f"{read.off_east_ft:,.0f} ft off each easting."
            )
        said += read.faults[:MOST_FAULTS]
        if len(read.faults) > MOST_FAULTS:
            said.append(f"and {len(read.faults) - MOST_FAULTS} lines more")
        return "\n".join(said)
