"""What several files of the desk's tests begin with: the low lawn, its storm, and the window on both."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from drainsketch.desk.window import Window
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.study import play, study
from drainsketch.water.storm.results import Storm
from tests.desk.at_desk import open_window
from tests.desk.storm_hands import to_storm
from tests.test_review import sample


@pytest.fixture(scope="session")
def lawn() -> Job:
    return sample("low-lawn")


@pytest.fixture(scope="session")
def storm(lawn: Job) -> Storm:
    """Return the storm of the lawn, played by the engine alone."""
    found = play(study(analyse(lawn)))
    assert found is not None
    return found


@pytest.fixture
def storm_desk(qtbot: QtBot, tmp_path: Path, lawn: Job) -> Window:
    """Return the window on the low lawn, the Storm pane in front and the storm played."""
    window, _ = open_window(qtbot, tmp_path, lawn)
    to_storm(qtbot, window)
    window.canvas.zoom_to_fit()
    return window
