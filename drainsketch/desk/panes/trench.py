"""The trench of this job in section, and how much more of each goods is bought than is used, as two forms."""

from typing import get_args

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from drainsketch.desk.panes.fields import Field
from drainsketch.desk.panes.form import Form, column
from drainsketch.desk.panes.jobform import FormPane
from drainsketch.desk.panes.values import Value
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import EditError
from drainsketch.job import sections as s
from drainsketch.job.edits.change import change_part, change_waste
from drainsketch.job.sections import Sections, WasteRule
from drainsketch.takeoff.buying import buyings

FAULT_PX = 34  # two lines
SECTIONS = (
    Field("solid_bed_in", "Stone bed, solid pipe", "inches"),
    Field("solid_over_in", "Stone over solid pipe", "inches", blank="native earth round it"),
    Field(
        "paved_fill",
        "Fill under paving",
        "choice",
        choices=tuple((w, {"native": "native earth"}.get(w, w)) for w in get_args(s.PavedFill)),
    ),
    Field("base_in", "Base course", "inches"),
    Field("asphalt_in", "Asphalt", "inches"),
    Field("concrete_in", "Concrete", "inches"),
    Field("paver_in", "Pavers", "inches"),
    Field("paver_sand_in", "Sand under pavers", "inches"),
    Field("gravel_in", "Gravel surfacing", "inches"),
    Field("patch_beyond_in", "Patch beyond trench, each side", "inches"),
    Field("fabric", "Filter fabric in drains", "choice", choices=tuple((w, w) for w in get_args(s.Fabric))),
    Field("fabric_lap_in", "Fabric overlap", "inches"),
    Field("lawn", "Lawn", "choice", choices=tuple((w, w) for w in get_args(s.Lawn))),
    Field("lawn_beyond_in", "Lawn beyond trench, each side", "inches"),
    Field("marking_tape", "Marking tape over pipe", "flag"),
)
DRAINS = "A drain has stone all round: its bed, topsoil cap and trench width stand under Limits. What a city asks of paving put back goes first."
WASTE = "Waste: bought beyond what is used, %. Left empty, the usual is taken."


class TrenchPane(FormPane):
    """The trench in section, and the waste."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Trench of this job", parent)
        self.fault = QLabel(self)
        self.fault.setWordWrap(True)
        self.fault.setContentsMargins(10, 2, 10, 2)
        self.fault.setAccessibleName("What could not be taken")
        self.fault.setStyleSheet(f"color: {tones_of(self).stop};")
        self.setViewportMargins(0, 0, 0, FAULT_PX)
        self.form = Form(SECTIONS, self._write, tell=self.fault.setText)
        self.waste = Form(
            tuple(
                Field(goods, goods[:1].upper() + goods[1:], "number", blank=f"usual, {buying.waste_pct:g}")
                for goods, buying in buyings().items()
            ),
            self._write_waste,
            tell=self.fault.setText,
        )
        self.reset = QPushButton("Back to the Usual Trench")
        self.reset.clicked.connect(self._reset)
        self.setWidget(column(_quiet(DRAINS), self.form, _quiet(WASTE), self.waste, self.reset))
        self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the room for what could not be taken at the foot, so that no field moves under the pointer."""
        super().resizeEvent(event)
        self.fault.setGeometry(0, self.height() - FAULT_PX, self.width(), FAULT_PX)

    def refresh(self) -> None:
        """Show the values as they are now."""
        job = self._session.job
        pct = {rule.goods: rule.pct for rule in job.waste}
        self.form.show_values(lambda name: getattr(job.sections, name), job.header.units)
        self.waste.show_values(pct.get, job.header.units)  # type: ignore[arg-type]
        self.reset.setEnabled(job.sections != Sections() or bool(job.waste))

    def _write(self, field: Field, value: Value) -> None:
        job = change_part(self._session.job, "sections", **{field.name: value})
        self._session.apply(job, f"Change {field.label.lower()}")

    def _write_waste(self, field: Field, value: Value) -> None:
        rules = [rule for rule in self._session.job.waste if rule.goods != field.name]
        if value is not None:
            rules.append(WasteRule(goods=field.name, pct=value))  # type: ignore[arg-type]
        try:
            job = change_waste(self._session.job, tuple(rules))
        except EditError as fault:
            raise EditError(f"waste.{field.name}: {str(fault).partition(': ')[2]}") from fault
        self._session.apply(job, f"Change waste of {field.label.lower()}")

    def _reset(self) -> None:
        usual = Sections()
        job = change_part(
            self._session.job, "sections", **{name: getattr(usual, name) for name in usual.__struct_fields__}
        )
        self._session.apply(change_waste(job, ()), "Set the usual trench")


def _quiet(words: str) -> QLabel:
    note = QLabel(words)
    note.setWordWrap(True)
    note.setProperty("quiet", True)
    return note
