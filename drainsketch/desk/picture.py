"""A picture of the window with a job open, made without a screen."""

import os
import sys
import tempfile
from pathlib import Path
from time import monotonic

from PySide6.QtCore import QEventLoop, QSettings, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication

from drainsketch.errors import JobFileError
from drainsketch.files.jobfile import read_job
from drainsketch.job.edits.options import switch_to

MOST_WAIT_S = 20.0


def save_picture(job_path: Path, out: Path, size: tuple[int, int] = (1366, 768), option: str | None = None) -> None:
    """Open a job in the real window, out of sight, and save what it looks like as PNG; the longest path is selected.

    Parameters
    ----------
    job_path : the job file; it is only read
    out : where to write the PNG
    size : of the window, pixels
    option : the name of the option to draw; None leaves that which is drawn

    Raises
    ------
    JobFileError : the job cannot be read, or the picture cannot be written
    """
    read_job(job_path)  # says what is wrong before a window opens
    if QApplication.instance() is None:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from drainsketch.desk.app import application

    app = application()
    before = qInstallMessageHandler(_say_what_matters)
    try:
        written = _draw(app, job_path, out, size, option)
    finally:
        qInstallMessageHandler(before)
    if not written:
        raise JobFileError(f"{out}: the picture could not be written there; choose another file")


def _say_what_matters(kind: QtMsgType, context: object, message: str | None) -> None:
    """Pass on what Qt says, except what it always says without a screen."""
    if "propagateSizeHints" not in (message or ""):
        print(message, file=sys.stderr)


def _draw(app: QApplication, job_path: Path, out: Path, size: tuple[int, int], option: str | None) -> bool:
    """Draw the window; return whether the picture was written."""
    from drainsketch.desk.window import Window

    with tempfile.TemporaryDirectory() as folder:
        window = Window(QSettings(str(Path(folder) / "window.ini"), QSettings.Format.IniFormat))
        window.resize(*size)
        window.show()
        window.documents.open(job_path, hold=False)
        if option is not None:
            window.session.open(switch_to(window.session.job, option))
        longest = max(window.session.review.paths, key=lambda path: path.length_ft, default=None)
        if longest is not None:
            window.session.select((longest.inlet,))
        window.canvas.zoom_to_fit()
        app.processEvents()
        pictures = window.canvas.plan.layers.pictures
        give_up = monotonic() + MOST_WAIT_S
        session = window.session
        while not (pictures.settled and session.study_is_current) and monotonic() < give_up:
            # the plan is painted in slices, the closer look comes a little later
            app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 50)
        written = window.grab().save(str(out), "PNG")
        window.close()
        window.deleteLater()
        app.processEvents()
    return bool(written)
