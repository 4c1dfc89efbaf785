"""Unsaved work is kept aside while it is unsaved, and offered at the next start when the window did not end well."""

from pathlib import Path
from time import monotonic

from PySide6.QtCore import QLockFile, QObject, QStandardPaths, QTimer

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.files import recovery
from drainsketch.files.jobfile import read_job
from drainsketch.job.model import Job

REST_S = 4.0  # after the last edit
LONGEST_S = 20.0  # after the first edit that is not kept yet, however busy the user is


def recovery_folder() -> Path:
    """Return the folder for recovery copies; it need not be there."""
    return Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)) / "recovery"


class Recovery(QObject):
    """The recovery copy of one window. A lock beside it, which ends with its program, says that it is taken."""

    def __init__(
        self, session: Session, documents: Documents, folder: Path | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.rest_s, self.longest_s = REST_S, LONGEST_S
        self._session, self._documents = session, documents
        self._folder = folder or recovery_folder()
        self._copy: Path | None = None
        self._lock: QLockFile | None = None
        self._kept: Job | None = None  # what is in the copy
        self._since: float | None = None  # of the first edit that is not kept
        self._told = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._rested)
        session.changed.connect(self._session_changed)

    @property
    def copy(self) -> Path | None:
        """The copy of this window, while there is one."""
        return self._copy

    @property
    def found(self) -> bool:
        """Whether other windows left work behind, or still hold it."""
        return bool(recovery.copies(self._folder))

    def keep(self) -> Path | None:
        """Keep the present work now; return where it is, or None when that could not be done."""
        self._timer.stop()
        self._since = None
        copy = self._copy or recovery.new_copy(self._folder)
        documents = self._documents
        try:
            if self._lock is None:
                recovery.make_folder(copy.parent)
                self._lock = _lock_on(copy)
                self._lock.tryLock(0)
            recovery.keep(self._session.job, copy, documents.path or documents.recovered_from)
        except DrainsketchError as fault:
            if not self._told:
                self._told = True
                self._session.tell(f"Save often: {fault}.")
            return None
        self._copy, self._kept = copy, self._session.job
        return copy

    def clear(self) -> None:
        """Take the copy away: the work is saved, or was given up knowingly."""
        self._timer.stop()
        self._since = self._kept = None
        if self._copy is not None:
            recovery.forget(self._copy)
            self._copy = None
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def offer(self, dialogs: Dialogs) -> bool:
        """Offer what other windows left behind, the newest first; return whether recovered work was opened."""
        for copy in recovery.copies(self._folder):
            lock = _lock_on(copy)
            if not lock.tryLock(0):
                continue  # its window is still open, or another one has just taken it
            if self._offer_one(copy, lock, dialogs):
                return True
            lock.unlock()
        return False

    def _offer_one(self, copy: Path, lock: QLockFile, dialogs: Dialogs) -> bool:
        try:
            job, written = read_job(copy), recovery.written_at(copy)
        except FileNotFoundError:
            return False
        except (DrainsketchError, OSError) as fault:
            aside = recovery.set_aside(copy)
            dialogs.tell("Unsaved work was found but could not be read.", f"It stays in {aside}. {fault}")
            return False
        original = recovery.original_of(copy)
        title = job.header.title or (original.name if original else "a new job")
        more = f"It was kept on {written:%B} {written.day}, {written:%Y} at {written:%H:%M}, before the window ended."
        more += f" The file as it was last saved is {original}." if original else " It was never saved to a file."
        answer = dialogs.ask_recovered(title, more)
        if answer == "discard":
            recovery.forget(copy)
        if answer != "open":
            return False
        self.clear()
        self._copy, self._lock, self._kept = copy, lock, job
        self._documents.open_recovered(job, original)
        return True

    def _session_changed(self) -> None:
        job = self._session.job
        if not self._session.modified:
            self.clear()
        elif job is not self._kept:
            now = monotonic()
            self._since = now if self._since is None else self._since
            wait_s = min(self.rest_s, self._since + self.longest_s - now)
            self._timer.start(max(0, round(1000 * wait_s)))

    def _rested(self) -> None:
        if self._session.modified:
            self.keep()


def _lock_on(copy: Path) -> QLockFile:
    lock = QLockFile(f"{copy}.lock")
    lock.setStaleLockTime(0)  # a lock goes stale only with its program
    return lock
