"""A whole yard drawn in the real window from nothing, with mouse and keys alone; saved, opened again, exported, checked."""

import json
from pathlib import Path

import pdfplumber
import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from drainsketch.cli import main
from drainsketch.desk.view import View
from drainsketch.desk.window import Window
from drainsketch.files.jobfile import job_text, read_job
from drainsketch.job.ask import area_ft2
from drainsketch.job.model import Job
from tests.desk.at_desk import Answers, open_window
from tests.desk.hands import Hands

KEY = Qt.Key
CONTROL = Qt.KeyboardModifier.ControlModifier


def draw_the_yard(hands: Hands) -> None:
    """Draw a lot of 100 by 80 ft, a house, a gas line, three shots, two basins, an outfall, and the pipe between them."""
    hands.key(KEY.Key_L)  # the lot, by typed sides
    hands.click((0, 0))
    for toward, side in (((50, 0), "100"), ((100, 40), "80'"), ((40, 80), "100' 0\"")):
        hands.move(toward)
        hands.enter(side)
    hands.key(KEY.Key_Return)

    hands.key(KEY.Key_H)  # the house, by clicks
    for corner in ((20, 45), (60, 45), (60, 70), (20, 70), (20, 45)):
        hands.click(corner)

    hands.key(KEY.Key_G)  # a buried service, the kind as it stands beside the tool
    hands.click((40, 2))
    hands.click((40, 43))
    hands.key(KEY.Key_Return)

    hands.key(KEY.Key_E)  # levels: click, type, Enter
    for spot, level in (((4, 76), "100.5"), ((96, 70), "99.9"), ((97, 4), "95.6")):
        hands.click(spot)
        hands.enter(level)
    for spot, level in (((4, 4), "98.6"), ((0, 40), "99.6"), ((99, 40), "98.2"), ((50, 1), "97.7")):
        hands.click(spot)
        hands.enter(level)

    hands.key(KEY.Key_C)
    hands.click((14, 40))
    hands.click((64, 32))
    hands.key(KEY.Key_X)
    hands.click((94, 6))

    hands.key(KEY.Key_D)  # perforated from basin to basin
    hands.click((14, 40))
    hands.click((64, 32))
    hands.key(KEY.Key_R)  # solid, drawn uphill on purpose, with a bend
    hands.click((94, 6))
    hands.click((84, 20))
    hands.click((64, 32))
    hands.key(KEY.Key_Escape)


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers, Hands]:
    window, answers = open_window(qtbot, tmp_path)
    window.canvas.setFocus()
    window.canvas.plan.look_at(View(west_ft=-10.0, north_ft=90.0, px_per_ft=5.0))
    hands = Hands(window.canvas)
    draw_the_yard(hands)
    return window, answers, hands


def test_the_yard_is_what_was_drawn(desk: tuple[Window, Answers, Hands]) -> None:
    job = desk[0].session.job
    assert job.boundary is not None
    assert area_ft2(job.boundary.points) == pytest.approx(8_000, abs=1e-6)
    assert [(o.kind, len(o.points)) for o in job.obstacles] == [("building", 4)]
    assert len(job.services) == 1
    assert [s.elevation_ft for s in job.shots] == [100.5, 99.9, 95.6, 98.6, 99.6, 98.2, 97.7]
    assert [(s.id, s.kind) for s in job.structures] == [("B1", "basin"), ("B2", "basin"), ("O1", "outfall")]
    assert [(r.start, r.end, r.use, len(r.via)) for r in job.runs] == [
        ("B1", "B2", "drain", 0),
        ("O1", "B2", "solid", 1),
    ]


def test_it_is_saved_opened_again_exported_and_checks_clean(
    desk: tuple[Window, Answers, Hands], qtbot: QtBot, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    window, answers, hands = desk
    answers.save_path = tmp_path / "drawn.drainjob"
    hands.key(KEY.Key_S, CONTROL)
    assert not window.isWindowModified()
    drawn = window.session.job
    assert read_job(answers.save_path) == drawn

    answers.open_path = answers.save_path
    hands.key(KEY.Key_N, CONTROL)
    assert window.session.job == Job()
    hands.key(KEY.Key_O, CONTROL)
    assert window.session.job == drawn

    answers.save_path = tmp_path / "drawn.pdf"
    hands.key(KEY.Key_P, CONTROL)
    with pdfplumber.open(tmp_path / "drawn.pdf") as pdf:
        text = pdf.pages[0].extract_text()
    assert "B1" in text
    assert "100' 0\"" in text

    # nothing at stop level, and both inlets reach the outfall; the service is still to be exposed
    assert main(["check", str(tmp_path / "drawn.drainjob"), "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert {p["inlet"]: p["runs"] for p in report["paths"]} == {"B1": ["R1", "R2"], "B2": ["R2"]}
    assert all(p["fall_ft"] > 0 for p in report["paths"])
    assert "depth_unknown" in [f["kind"] for f in report["findings"] if f["level"] == "settle"]


def test_undo_to_empty_and_redo_to_full_give_byte_identical_files(
    desk: tuple[Window, Answers, Hands], tmp_path: Path
) -> None:
    window, answers, hands = desk

    def saved_as(name: str) -> bytes:
        answers.save_path = tmp_path / name
        hands.key(KEY.Key_S, CONTROL | Qt.KeyboardModifier.ShiftModifier)
        return answers.save_path.read_bytes()

    full = saved_as("full.drainjob")
    steps = len(window.session.history.jobs) - 1
    assert steps == 15  # lot, house, service, seven shots, two basins, outfall, two runs
    for _ in range(steps):
        hands.key(KEY.Key_Z, CONTROL)
    assert window.session.history.undo_label is None
    assert saved_as("empty.drainjob") == job_text(Job()).encode()
    for _ in range(steps):
        hands.key(KEY.Key_Y, CONTROL)
    assert saved_as("again.drainjob") == full
