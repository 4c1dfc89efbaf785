"""The storm of the job and what it is reckoned with, as a form: storm, typed intensity, source; soil, grates, times."""

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from drainsketch.desk.panes.fields import Field, Quantity
from drainsketch.desk.panes.form import Form, column
from drainsketch.desk.panes.storm_choice import StormChoice
from drainsketch.desk.panes.values import Value
from drainsketch.desk.panes.water_bar import RainButtons
from drainsketch.desk.session import Session
from drainsketch.errors import EditError
from drainsketch.job.edits.change import change_rain, change_water
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.resources import table

TYPED = "as typed below"
DEFER = (
    "Local rules and licensed engineers say which storm has to be carried, and by which figures. Set these as they say."
)
BASIS: tuple[tuple[str, Quantity, tuple[tuple[str | int, str], ...]], ...] = (
    ("lawn_soil", "choice", (("heavy", "heavy"), ("sandy", "sandy"))),
    ("grate_clogged", "share", ()),
    ("grate_ponding_in", "inches", ()),
    ("least_tc_min", "minutes", ()),
    ("self_cleansing_ft_s", "velocity", ()),
    ("infiltration_in_h", "rain", ()),
    ("stone_voids", "share", ()),
    ("drawdown_h", "number", ()),
)
BLANK = {"infiltration_in_h": "not measured"}
BOUNDS = {
    "intensity_in_h": "An intensity is more than 0 and at most 200 in/h (5,080 mm/h); the old value is kept.",
    "grate_clogged": "A grate can be taken as clogged by 0 to 95%; the old value is kept.",
    "least_tc_min": "The least time is 1 to 60 min; the old value is kept.",
    "self_cleansing_ft_s": "A velocity is 0 to 20 ft/s (6.1 m/s); the old value is kept.",
    "grate_ponding_in": "Water over a grate is 0 to 240 in (6.1 m); the old value is kept.",
    "infiltration_in_h": "A soak rate is more than 0 and at most 100 in/h (2,540 mm/h); the old value is kept.",
    "stone_voids": "Voids in stone are 0 to 60%; the old value is kept.",
    "drawdown_h": "A well is empty after more than 0 and at most 500 hours; the old value is kept.",
    "source": "A source has 200 characters at most; the old one is kept.",
}


def _basis_fields() -> tuple[Field, ...]:
    return tuple(
        Field(name, _label(name, quantity), quantity, BLANK.get(name, ""), options) for name, quantity, options in BASIS
    )


def _label(name: str, quantity: Quantity) -> str:
    """Return what a figure is called; a bare number is read with its unit."""
    said = table("catalogue/water.toml")[name]
    return f"{said['text']}, {said['unit']}" if quantity == "number" else str(said["text"])


class WaterForm(QWidget):
    """Rain and storm above, what they are reckoned with below."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.buttons = RainButtons(self)
        self.storm = StormChoice(session, TYPED, self)
        self.rain = Form(
            (
                Field("intensity_in_h", "Or intensity", "rain", blank="by the table"),
                Field("source", "Source", "text", blank="where these figures are from"),
            ),
            self._write_rain,
            self,
        )
        self.basis = Form(_basis_fields(), self._write_basis, self)
        for row in self.basis.rows:
            source = table("catalogue/water.toml")[row.field.name]["source"]
            for part in (row.label, row.editor):
                part.setToolTip(source[:1].upper() + source[1:])
        self._lay_out()

    def show_values(self) -> None:
        """Show the storm and what it is reckoned with as they are now."""
        job = self._session.job
        rain, water, units = job.rain, job.water, job.header.units
        self.storm.show_storm()
        source = rain.table.source if _by_table(rain) and rain.table is not None else rain.source
        typed = self.rain.row("intensity_in_h").editor
        assert isinstance(typed, QLineEdit)  # a field to type in
        typed.setPlaceholderText("none typed" if rain.table is None else "by the table")
        self.rain.show_values(lambda name: source if name == "source" else rain.intensity_in_h, units)
        self.basis.show_values(lambda name: getattr(water, name), units)

    def _lay_out(self) -> None:
        storm = QWidget(self)
        grid = QGridLayout(storm)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 2)
        label = QLabel("Storm", storm)
        label.setBuddy(self.storm)
        grid.addWidget(label, 0, 0)
        grid.addWidget(self.storm, 0, 1)
        basis = self.basis.layout()
        assert isinstance(basis, QGridLayout)  # a form is a grid
        basis.setColumnStretch(0, 5)
        basis.setColumnStretch(1, 4)
        note = QLabel(DEFER, self)
        note.setWordWrap(True)
        note.setProperty("quiet", True)
        box = QGridLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(column(self.buttons, storm, self.rain, self.basis, note, spacing=4, margins=(10, 6, 10, 8)), 0, 0)
        box.setRowStretch(1, 1)

    def _write_rain(self, field: Field, value: Value) -> None:
        job = self._session.job
        fields: dict[str, Any] = {field.name: value}
        if field.name == "source" and _by_table(job.rain) and job.rain.table is not None:
            fields = {"table": replace(job.rain.table, source=str(value or ""))}
        label = "Type an intensity of rain" if field.name == "intensity_in_h" else "Change the source of the rain"
        self._session.apply(_held(field, lambda: change_rain(job, **fields)), label)

    def _write_basis(self, field: Field, value: Value) -> None:
        job = _held(field, lambda: change_water(self._session.job, **{field.name: value}))
        self._session.apply(job, f"Change {field.label[:1].lower()}{field.label[1:]}")


def _by_table(rain: Rain) -> bool:
    """Return whether the table, if there is one, is what counts."""
    return rain.intensity_in_h is None


def _held(field: Field, edit: Callable[[], Job]) -> Job:
    """Return what an edit makes; where a value is out of its bounds, say them in the words of the form."""
    try:
        return edit()
    except EditError as fault:
        raise EditError(BOUNDS.get(field.name, str(fault))) from fault
