"""Starting and ending the program, and the picture of its window."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk import app as desk_app
from drainsketch.desk import recovery as desk_recovery
from drainsketch.desk.picture import save_picture
from drainsketch.desk.window import Window
from drainsketch.files.saving import save_job
from tests.desk.at_desk import PLANE_YARD, settings_in


def test_picture_shows_the_window_and_leaves_the_job_alone(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "yard.drainjob"
    save_job(PLANE_YARD, path)
    before = path.read_bytes()
    out = tmp_path / "window.png"
    save_picture(path, out, (1366, 768))
    from PySide6.QtGui import QImage

    image = QImage(str(out))
    assert (image.width(), image.height()) == (1366, 768)
    assert path.read_bytes() == before
    assert not list(tmp_path.glob("*.lock"))


def test_settings_of_the_program_are_a_plain_file() -> None:
    assert desk_app.settings().format() == QSettings.Format.IniFormat


def test_background_review_of_the_tiny_yard_ends_well() -> None:
    thread = desk_app.warm_up()
    thread.join(60)
    assert not thread.is_alive()


def test_program_starts_shows_a_job_and_ends_when_its_window_is_closed(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk_app, "settings", lambda: settings_in(tmp_path))
    path = tmp_path / "yard.drainjob"
    save_job(PLANE_YARD, path)
    seen: list[str] = []

    painted: list[str] = []

    def look_and_close() -> None:
        window = next((t for t in QApplication.topLevelWidgets() if isinstance(t, Window) and t.isVisible()), None)
        if window is None or window.documents.path != path:
            if window is not None:
                painted.append(window.canvas.plan.notice)
            QTimer.singleShot(5, look_and_close)
            return
        seen.extend((window.windowTitle(), window.canvas.plan.notice))
        window.close()  # the last one: the program ends
        window.deleteLater()

    monkeypatch.setattr(desk_recovery, "recovery_folder", lambda: tmp_path / "recovery")
    QTimer.singleShot(0, look_and_close)
    assert desk_app.run(path) == 0
    assert painted[:1] == ["Opening yard.drainjob"]  # the window is there before the job is
    assert seen == ["yard.drainjob[*] - drainsketch", ""]
    assert sys.excepthook is not None


def test_heavy_libraries_wait_until_the_window_is_painted() -> None:
    code = (
        "import sys\n"
        "from drainsketch.desk.app import application, settings\n"
        "app = application()\n"
        "from drainsketch.desk.window import Window\n"
        "from PySide6.QtCore import QSettings\n"
        "w = Window(QSettings('/nowhere/none.ini', QSettings.Format.IniFormat)); w.show(); app.processEvents()\n"
        "print(sorted(m for m in ('scipy', 'reportlab', 'ezdxf', 'xlsxwriter') if m in sys.modules))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )
    assert done.stdout.strip() == "[]"
