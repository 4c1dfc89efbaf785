"""The status line tells which run now passes on the other side of what it crosses, after a drag, an exposure and an undo."""

from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.job.edits.expose import expose
from drainsketch.job.model import Job, Service, Structure
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.hands import Hands

# Ground 100 - 0.02 x, pipe pinned from 98.00 at x = 0 to 95.00 at 50: invert 98 - 0.06 x, 4 in pipe. A gas line whose top lies
# 3 ft deep is at 97 - 0.02 x: under the pipe at x = 10 (96.8 against 97.4), over it at x = 40 (96.2 against 95.6).
STEEP = replace(
    PLANE_YARD,
    services=(Service(id="gas-1", kind="gas", points=((10, -20), (10, 15)), depth_top_ft=3.0, size_in=1.0),),
    structures=(
        Structure(id="B1", kind="basin", point=(0.0, 0.0), size_in=12, invert_ft=98.0),
        Structure(id="O1", kind="outfall", point=(50.0, 0.0), outfall="daylight", invert_ft=95.0),
    ),
)


def test_a_drag_and_its_undo_tell_the_side_the_run_passes_on(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, STEEP)
    window.canvas.zoom_to_fit()
    told: list[str] = []
    window.session.told.connect(told.append)
    Hands(window.canvas).drag((10, -12), (40, -12))
    QApplication.processEvents()
    assert window.session.review.crossings[0].position == "under"
    assert told[-1].startswith("R1 now passes under gas line 1.")
    assert window.statusBar().currentMessage() == told[-1]
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    QApplication.processEvents()
    assert told[-1].startswith("R1 now passes over gas line 1. Undid: ")


def test_an_exposure_tells_it_and_one_that_turns_nothing_over_does_not(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, STEEP)
    told: list[str] = []
    window.session.told.connect(told.append)
    window.session.apply(expose(STEEP, "gas-1", (10, 0), 96.5), "Expose gas-1")
    QApplication.processEvents()
    assert told == []
    window.session.apply(expose(STEEP, "gas-1", (10, 0), 98.9), "Expose gas-1")
    QApplication.processEvents()
    assert told == ["R1 now passes under gas line 1."]


def test_another_job_is_no_flip(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, STEEP)
    told: list[str] = []
    window.session.told.connect(told.append)
    window.session.open(expose(STEEP, "gas-1", (10, 0), 98.9))
    window.session.open(Job())
    QApplication.processEvents()
    assert told == []
