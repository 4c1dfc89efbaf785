"""Every file that the window writes for others, written through its menu and opened again by an independent reader."""

import csv
import json
from math import hypot
from pathlib import Path

import ezdxf
import openpyxl
import pdfplumber
import pytest
from pytestqt.qtbot import QtBot

from drainsketch.desk.exporting import EXPORTS
from drainsketch.desk.sheet_maker import SheetChoice
from drainsketch.desk.window import Window
from drainsketch.files.saving import save_job
from tests.desk.at_desk import PLANE_YARD, Answers, open_window
from tests.test_review import sample


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    return open_window(qtbot, tmp_path, PLANE_YARD)


def write(desk: tuple[Window, Answers], name: str, path: Path) -> Path:
    """Write a file by its entry in the menu File, Export."""
    window, answers = desk
    answers.save_path = path
    action = next(a for a in window.exports_menu.actions() if a is window.actions_.by_name[name])
    action.trigger()
    assert answers.told == []
    return path


def test_takeoff_as_csv_has_the_pipe(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    path = write(desk, "export_takeoff_csv", tmp_path / "takeoff.csv")
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    pipe = next(r for r in rows if r["Counted from"] == "R1" and r["Item"].startswith("Solid pipe"))
    assert float(pipe["Quantity"]) == pytest.approx(hypot(50, 1), abs=1e-4)  # 50 ft in plan, falling 1 ft
    assert len(rows) == len(desk[0].session.review.takeoff)
    assert "takeoff.csv is written" in desk[0].status.currentMessage()


def test_takeoff_as_workbook_has_every_line(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    path = write(desk, "export_takeoff_xlsx", tmp_path / "takeoff.xlsx")
    sheet = openpyxl.load_workbook(path).worksheets[0]
    assert sheet.max_row == 1 + len(desk[0].session.review.takeoff)


def test_price_as_workbook_has_amounts_as_formulas(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    path = write(desk, "export_price_xlsx", tmp_path / "price.xlsx")
    cells = [cell for row in openpyxl.load_workbook(path).worksheets[0].iter_rows() for cell in row]
    assert sum(cell.data_type == "f" for cell in cells) > 10


def test_drawing_as_dxf_is_in_feet_and_holds_the_lot(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    drawing = ezdxf.readfile(write(desk, "export_dxf", tmp_path / "plan.dxf"))  # type: ignore[attr-defined]
    assert drawing.header["$INSUNITS"] == 2
    (lot,) = drawing.modelspace().query('LWPOLYLINE[layer=="lot line"]')
    assert {tuple(p) for p in lot.get_points("xy")} == {(-20, -50), (80, -50), (80, 50), (-20, 50)}


def test_plan_as_geojson_holds_every_thing(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    plan = json.loads(write(desk, "export_geojson", tmp_path / "plan.geojson").read_text())
    found = {f.get("id"): f["geometry"]["type"] for f in plan["features"]}
    assert (found["boundary"], found["gas-1"], found["B1"]) == ("Polygon", "LineString", "Point")


def test_points_to_stake_out_give_north_before_east(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    with write(desk, "export_points", tmp_path / "points.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    outfall = next(r for r in rows if r["D"].startswith("O1"))
    assert (float(outfall["N"]), float(outfall["E"])) == (0.0, 50.0)


def test_legend_sheet_is_one_page_and_offered_to_be_opened(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    path = write(desk, "export_legend", tmp_path / "legend.pdf")
    with pdfplumber.open(path) as pdf:
        assert len(pdf.pages) == 1
        assert "basin" in pdf.pages[0].extract_text().lower()
    assert desk[1].shown == [path]


def test_the_owners_sheets_show_the_yard_in_the_storm(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path, sample("low-lawn"))
    answers.sheet, answers.save_path = SheetChoice(audience="owner"), tmp_path / "owner.pdf"
    window.actions_.by_name["export_pdf"].trigger()
    assert answers.told == []
    with pdfplumber.open(tmp_path / "owner.pdf") as pdf:
        (page,) = [p for p in pdf.pages if "Your yard in the storm" in p.extract_text()]
        assert "Today, as figured" in page.extract_text()


@pytest.mark.parametrize("name", [*(x.name for x in EXPORTS), "export_pdf"])
def test_no_export_writes_over_the_job_itself(desk: tuple[Window, Answers], tmp_path: Path, name: str) -> None:
    window, answers = desk
    mine = tmp_path / "mine.drainjob"
    save_job(PLANE_YARD, mine)
    before = mine.read_bytes()
    window.documents.open(mine)
    answers.save_path = mine
    window.actions_.by_name[name].trigger()
    assert answers.told == ["mine.drainjob is the job file itself. Choose another name to write to."]
    assert mine.read_bytes() == before
    assert answers.suggested is not None
    assert answers.suggested.parent == tmp_path
    assert answers.suggested.name.startswith("mine")


@pytest.mark.parametrize("name", [*(x.name for x in EXPORTS), "export_pdf"])
def test_failed_export_is_told_in_a_sentence(desk: tuple[Window, Answers], tmp_path: Path, name: str) -> None:
    window, answers = desk
    answers.save_path = tmp_path / "no such folder" / "out"
    window.actions_.by_name[name].trigger()
    assert len(answers.told) == 1
    assert answers.told[0].startswith("out could not be written.")
    assert "folder is not there" in answers.told[0]


def test_nothing_is_written_when_no_name_is_given(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, answers = desk
    before = set(tmp_path.rglob("*"))
    for what in EXPORTS:
        window.actions_.by_name[what.name].trigger()
    assert set(tmp_path.rglob("*")) == before
    assert answers.told == []
