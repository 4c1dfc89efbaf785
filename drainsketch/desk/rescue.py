"""When something unforeseen goes wrong: keep the work, say so in a sentence, go on."""

import sys
import traceback
from datetime import datetime
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, QStandardPaths, Signal

from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.files.saving import save_job


def data_folder() -> Path:
    """Return the folder for rescue copies, made when missing."""
    folder = Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)) / "rescued"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def write_rescue_copy(session: Session) -> Path | None:
    """Write the current job into the data folder; return where, or None when that failed too."""
    try:
        path = data_folder() / f"rescued-{datetime.now():%Y%m%d-%H%M%S}.drainjob"
        save_job(session.job, path)
    except (DrainsketchError, OSError):
        return None
    return path


class Rescue(QObject):
    """Takes the place of ``sys.excepthook`` while the window is open. A fault is told once; the same again only on stderr."""

    told = Signal(str, str)  # sentence, where the work is; crosses threads

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._seen: set[str] = set()

    def caught(self, kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
        """Deal with an exception that nobody caught."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, fault, trace)
            return
        where = traceback.extract_tb(trace)[-1:] if trace else []
        sign = f"{kind.__name__} {where}"
        if sign in self._seen:
            return
        self._seen.add(sign)
        print(
            f"drainsketch: {kind.__name__}: {fault}", *(f"at {w.filename}:{w.lineno}" for w in where), file=sys.stderr
        )
        copy = write_rescue_copy(self._session)
        kept = (
            f"A copy of the job is in {copy}."
            if copy
            else "No copy of the job could be written; save it under another name now."
        )
        self.told.emit(
            "Something went wrong that should not have. Your work is still open.", f"{kept} ({kind.__name__}: {fault})"
        )
