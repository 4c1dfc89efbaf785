"""The panes beside the plan."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from drainsketch.desk.legend import DRAWN_WITH, GROUPS
from drainsketch.desk.panes.corners import Corners
from drainsketch.desk.panes.details import DetailsPane
from drainsketch.desk.panes.fields import CRITERIA, HEADER, fields_of
from drainsketch.desk.panes.findings import DIAMOND, LETTER, FindingsPane
from drainsketch.desk.panes.jobform import CriteriaPane, HeaderPane
from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.panes.takeoff import TakeoffPane
from drainsketch.desk.session import Session
from drainsketch.findings import LEVELS
from drainsketch.job.ask import thing, things
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Downspout, Header, Heap, Job, Obstacle, Run, Structure
from drainsketch.look import STYLES, SYMBOLS
from drainsketch.sheets.marks import Sign
from drainsketch.sheets.plan_marks import plan_marks
from tests.desk.at_desk import PLANE_YARD

EVERYTHING = Job(
    **{
        **{name: getattr(PLANE_YARD, name) for name in PLANE_YARD.__struct_fields__},
        "downspouts": (Downspout(id="downspout-1", point=(10.0, 20.0), roof_area_ft2=640.0),),
        "obstacles": (
            *PLANE_YARD.obstacles,
            Obstacle(id="tree-1", kind="tree", points=((40.0, 30.0),), trunk_diameter_in=18.0),
        ),
        "heaps": (
            Heap(id="fill-area-1", kind="fill area", points=((40.0, 5.0), (50.0, 5.0), (50.0, 15.0)), fill_in=4.0),
        ),
        "structures": (
            *PLANE_YARD.structures,
            Structure(id="D1", kind="downspout inlet", point=(10.0, 18.0), downspout="downspout-1"),
        ),
    }
)


def pane(qtbot: QtBot, job: Job, *chosen: str) -> tuple[Session, DetailsPane]:
    session = Session(job)
    made = DetailsPane(session)
    qtbot.addWidget(made)
    made.resize(320, 500)
    made.show()
    session.select(chosen)
    return session, made


def line(made: DetailsPane | HeaderPane | CriteriaPane, name: str) -> QLineEdit:
    assert made.form is not None
    editor = made.form.row(name).editor
    assert isinstance(editor, QLineEdit)
    return editor


def type_into(qtbot: QtBot, editor: QLineEdit, text: str) -> None:
    editor.setFocus()
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)


@pytest.mark.parametrize("thing_id", [t.id for t in things(EVERYTHING)])
def test_every_field_of_every_thing_is_in_its_form(qtbot: QtBot, thing_id: str) -> None:
    """A model field that no form shows could never be changed. Points and bends have their table or East and North."""
    shown = thing(EVERYTHING, thing_id)
    assert shown is not None
    _, made = pane(qtbot, EVERYTHING, thing_id)
    names = {f.name for f in fields_of(shown, EVERYTHING)}
    left_out = {"id", "points", "point", "via", "trunk_diameter_in", "outfall", "size_in", "downspout"}
    left_out |= {"drive", "surface", "footing_depth_ft", "exposed"}
    left_out |= {"area_ft2", "runoff_c", "tc_min", "tailwater_ft", "pit_length_ft", "pit_width_ft", "pit_depth_ft"}
    assert set(shown.__struct_fields__) - names - left_out == set() or thing_id.startswith("boundary")
    if "points" in shown.__struct_fields__ and len(shown.points) > 1:  # type: ignore[union-attr]
        assert made.findChild(Corners) is not None
    else:
        assert {"point.x", "point.y"} <= names or "via" in shown.__struct_fields__


def test_header_and_limits_forms_show_every_field_of_the_model() -> None:
    assert {f.name for f in HEADER} == set(Header().__struct_fields__)
    by_pipe = {"slope_rules"}  # a form of its own below the others
    assert {f.name for f in CRITERIA} | by_pipe == set(Criteria().__struct_fields__)


def test_slope_limits_of_a_pipe_are_added_changed_and_removed(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = CriteriaPane(session)
    qtbot.addWidget(made)
    made.show()
    qtbot.mouseClick(made.slopes.add, Qt.MouseButton.LeftButton)
    (form,) = made.slopes.forms
    entry = form.findChildren(QLineEdit)[0]
    entry.setFocus()
    entry.selectAll()
    qtbot.keyClicks(entry, "0.5")
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    (rule,) = session.job.criteria.slope_rules
    assert (rule.pipe, rule.diameter_in, rule.min_slope) == ("corrugated", None, 0.005)
    remove = next(b for b in made.slopes.findChildren(QPushButton) if b.text() == "Remove These Limits")
    qtbot.mouseClick(remove, Qt.MouseButton.LeftButton)
    assert session.job.criteria.slope_rules == ()
    session.undo()
    assert session.job.criteria.slope_rules == (rule,)
    assert len(made.slopes.forms) == 1


def test_typed_level_is_taken_at_once_and_undone_in_one_step(qtbot: QtBot) -> None:
    session, made = pane(qtbot, PLANE_YARD, "B1")
    type_into(qtbot, line(made, "rim_ft"), "99.95")
    basin = thing(session.job, "B1")
    assert isinstance(basin, Structure)
    assert basin.rim_ft == pytest.approx(99.95)
    assert session.history.undo_label == "Change rim of B1"
    session.undo()
    assert session.job == PLANE_YARD
    assert line(made, "rim_ft").text() == ""


def test_feet_and_inches_are_read_as_written(qtbot: QtBot) -> None:
    """12' 6 1/2" is 12 + 6.5 / 12 ft, by definition of the foot."""
    session, made = pane(qtbot, PLANE_YARD, "B1")
    type_into(qtbot, line(made, "point.x"), "12' 6 1/2\"")
    basin = thing(session.job, "B1")
    assert isinstance(basin, Structure)
    assert basin.point[0] == pytest.approx(12 + 6.5 / 12)
    assert basin.point[1] == 0.0


def test_nonsense_is_refused_under_the_field_and_the_old_value_stays(qtbot: QtBot) -> None:
    session, made = pane(qtbot, PLANE_YARD, "B1")
    before = line(made, "point.x").text()
    type_into(qtbot, line(made, "point.x"), "over there")
    assert made.form is not None
    row = made.form.row("point.x")
    assert row.fault.isVisible()
    assert "over there" in row.fault.text()
    assert line(made, "point.x").text() == before
    assert session.job is PLANE_YARD
    type_into(qtbot, line(made, "point.x"), "3")
    assert not row.fault.isVisible()


def test_value_out_of_bounds_is_refused_under_the_field(qtbot: QtBot) -> None:
    session, made = pane(qtbot, PLANE_YARD, "B1")
    type_into(qtbot, line(made, "rim_ft"), "90000")
    assert made.form is not None
    assert made.form.row("rim_ft").fault.isVisible()
    assert session.job is PLANE_YARD


def test_choice_and_tick_are_edits_too(qtbot: QtBot) -> None:
    session, made = pane(qtbot, PLANE_YARD, "R1")
    assert made.form is not None
    combo = made.form.row("diameter_in").editor
    assert isinstance(combo, QComboBox)
    combo.setFocus()
    qtbot.keyClick(combo, Qt.Key.Key_Down)
    assert session.job.runs[0].diameter_in == 6
    tick = made.form.row("sock").editor
    assert isinstance(tick, QCheckBox)
    qtbot.mouseClick(tick, Qt.MouseButton.LeftButton, pos=QPoint(9, 16))
    assert session.job.runs[0].sock is True


def test_structure_that_turns_into_an_outfall_loses_what_belongs_to_basins(qtbot: QtBot) -> None:
    session, made = pane(qtbot, PLANE_YARD, "B1")
    assert made.form is not None
    made.form.row("kind").typed.emit("outfall")
    changed = thing(session.job, "B1")
    assert isinstance(changed, Structure)
    assert changed.size_in is None
    assert {row.field.name for row in made.form.rows} >= {"outfall"}


def test_several_selected_are_counted_and_deleted_together(qtbot: QtBot) -> None:
    session, made = pane(qtbot, PLANE_YARD, "B1", "gas-1")
    assert made.form is None
    assert "2 selected" in made._title.text()
    made._delete()
    assert thing(session.job, "B1") is None
    assert thing(session.job, "gas-1") is None
    assert session.history.undo_label == "Delete 2 things"


def test_several_runs_get_another_pipe_in_one_step(qtbot: QtBot) -> None:
    job = add(PLANE_YARD, Run(id="R2", start="B1", end="O1", via=((25.0, 20.0),), diameter_in=6))
    session, made = pane(qtbot, job, "R1", "R2")
    assert made.form is not None
    combo = made.form.row("diameter_in").editor
    assert isinstance(combo, QComboBox)
    assert combo.currentIndex() == -1  # they differ
    made.form.row("diameter_in").typed.emit(8)
    assert [r.diameter_in for r in session.job.runs] == [8, 8]
    assert session.history.undo_label == "Change diameter of 2 things"
    session.undo()
    assert session.job == job


def test_corner_typed_in_the_table_moves(qtbot: QtBot) -> None:
    session, made = pane(qtbot, PLANE_YARD, "building-1")
    table = made.findChild(Corners).table  # type: ignore[union-attr]
    item = table.item(1, 0)
    assert item is not None
    item.setText("11' 3\"")
    building = thing(session.job, "building-1")
    assert isinstance(building, Obstacle)
    assert building.points[1] == (11.25, 20)


def test_units_of_the_job_rule_how_fields_are_written(qtbot: QtBot) -> None:
    """0.3048 m to the foot: 50 ft east is 15.24 m (international foot, exact by definition)."""
    session, made = pane(qtbot, PLANE_YARD, "O1")
    header = HeaderPane(session)
    qtbot.addWidget(header)
    header.form.row("units").typed.emit("m")
    assert line(made, "point.x").text().startswith("15.24")


def test_limit_is_typed_in_percent(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = CriteriaPane(session)
    qtbot.addWidget(made)
    made.show()
    type_into(qtbot, line(made, "min_slope"), "1.5%")
    assert session.job.criteria.min_slope == pytest.approx(0.015)
    assert made.reset.isEnabled()
    made.reset.click()
    assert session.job.criteria == Criteria()


def test_findings_are_counted_by_level_and_can_be_filtered(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = FindingsPane(session)
    qtbot.addWidget(made)
    made.show()
    found = session.review.findings
    assert found  # a service of unknown depth is crossed
    for level in LEVELS:
        assert made.filters[level].text() == f"{sum(f.level == level for f in found)} {level}"
    made.filters["settle"].click()
    assert all(f.level != "settle" for f in made.model.shown)
    made.filters["settle"].click()
    assert made.model.shown == found


def test_findings_carry_the_letters_of_their_flags_on_the_plan(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = FindingsPane(session)
    qtbot.addWidget(made)
    flags = {
        sign.text: sign.at
        for sign in plan_marks(session.job, session.review).flags
        if isinstance(sign, Sign) and sign.text
    }
    for row, finding in enumerate(made.model.shown):
        letter = made.model.index(row).data(LETTER)
        assert bool(letter) == (finding.level != "note")
        if letter and finding.place.point is not None:
            assert flags[letter] == finding.place.point


def test_warning_about_a_crossing_has_the_diamond_of_the_plan_in_list_and_strip(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = FindingsPane(session)
    qtbot.addWidget(made)
    made.show()
    signs = [sign for sign in plan_marks(session.job, session.review).flags if isinstance(sign, Sign)]
    on_plan = {sign.text: sign.symbol for sign in signs if sign.symbol.startswith("crossing")}
    assert len(on_plan) == 2  # the gas and the water service
    rows = [made.model.index(row) for row in range(made.model.rowCount())]
    warned = {index.data(LETTER): index.data(DIAMOND) for index in rows if index.data(DIAMOND)}
    assert warned
    assert {number: on_plan[number] for number in warned} == warned
    assert all(not index.data(DIAMOND) for index in rows if index.data(LETTER).isalpha())
    strip = ProfileStrip(session)
    qtbot.addWidget(strip)
    assert strip.path is not None
    assert {str(c.number): symbol for _, c, symbol in strip.path.crossings} == on_plan
    strip.resize(900, 160)
    strip.show()
    shown = strip.grab().toImage()
    colors = {shown.pixel(x, y) for x in range(shown.width()) for y in range(shown.height())}
    assert {QColor(SYMBOLS[symbol].ink).rgb() for symbol in on_plan.values()} <= colors


def test_finding_gives_its_remedy_and_on_demand_its_source(qtbot: QtBot) -> None:
    made = FindingsPane(Session(PLANE_YARD))
    qtbot.addWidget(made)
    made.show()
    made.step(1)
    finding = made.chosen()
    assert finding is not None
    assert made.remedy.isVisible()
    assert not made.source.isVisible()
    if finding.source:
        made.why.click()
        assert made.source.isVisible()
        assert made.source.text() == finding.source


def test_chosen_finding_stays_chosen_when_the_job_changes(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = FindingsPane(session)
    qtbot.addWidget(made)
    made.list.setCurrentIndex(made.model.index(len(made.model.shown) - 1))
    before = made.chosen()
    assert before is not None
    session.apply(change(session.job, "B1", name="low corner"), "Change name")
    after = made.chosen()
    assert after is not None
    assert (after.kind, after.place.ids) == (before.kind, before.place.ids)


def test_takeoff_line_says_why(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = TakeoffPane(session)
    qtbot.addWidget(made)
    made.resize(320, 400)
    made.show()
    row = next(
        i for i in range(made.table.topLevelItemCount()) if made.table.topLevelItem(i).data(0, Qt.ItemDataRole.UserRole)
    )
    item = made.table.topLevelItem(row)
    assert item is not None
    at = made.table.visualItemRect(item).center()
    qtbot.mouseClick(made.table.viewport(), Qt.MouseButton.LeftButton, pos=at)
    counted = made.chosen()
    assert counted is not None
    assert made.why.text().startswith("Why ")
    assert counted.arithmetic in made.why.text()
    with qtbot.waitSignal(made.owners_shown) as shown:
        qtbot.keyClick(made.table, Qt.Key.Key_Return)
    assert shown.args == [counted.owners]


def test_legend_names_every_line_and_sign_of_the_look() -> None:
    named = {key for _, rows in GROUPS for key, _ in rows}
    assert named | set(DRAWN_WITH) == set(STYLES) | set(SYMBOLS)


def test_icon_files_are_there_for_every_tool_and_command(qtbot: QtBot) -> None:
    from drainsketch.desk.actions import COMMANDS
    from drainsketch.desk.icons import icon
    from drainsketch.desk.theme import DARK, LIGHT
    from drainsketch.desk.tools.catalogue import TOOLS

    names = [c.icon for c in COMMANDS if c.icon] + [t.icon for t in TOOLS]
    assert len(set(names)) == len(names)
    folder = Path(__file__).parents[2] / "resources" / "icons"
    for name in names:
        text = (folder / f"{name}.svg").read_text()
        assert "currentColor" in text
        for tones in (LIGHT, DARK):
            assert not icon(name, tones).pixmap(24, 24).toImage().isNull()
