"""The job file of the window: open, save, recent files, and nothing lost without asking."""

from pathlib import Path

from PySide6.QtCore import QObject, QSettings, Signal

from drainsketch.desk.dialogs import JOB_FILTER, JOB_SUFFIX, Dialogs
from drainsketch.desk.filehold import FileHold, stamp
from drainsketch.desk.newjobs import new_job
from drainsketch.desk.recent import RecentFiles
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.files.jobfile import is_sheets, parse_job, read_job
from drainsketch.files.saving import save_job, with_way_out
from drainsketch.job.model import Job
from drainsketch.resources import sample_jobs


def sample_names() -> tuple[str, ...]:
    """Return the file names of the sample yards."""
    folder = sample_jobs()
    return tuple(sorted(f.name for f in folder.iterdir() if f.name.endswith(JOB_SUFFIX))) if folder.is_dir() else ()


class Documents(QObject):
    """Which file the session's job lives in. ``path`` is None for a job that was never saved."""

    renamed = Signal()  # the path or its standing
    opened = Signal()  # another job is on the desk

    def __init__(self, session: Session, dialogs: Dialogs, settings: QSettings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.settings = settings
        self.dialogs = dialogs
        self.recent = RecentFiles(settings, self)
        self.path: Path | None = None
        self.read_only = False  # another window writes this file
        self.recovered_from: Path | None = None  # where recovered work had been saved before
        self._hold: FileHold | None = None

    @property
    def name(self) -> str:
        """What the window calls the job."""
        known = self.path or self.recovered_from
        name = known.name if known else self.session.job.header.title or "New job"
        standing = " (read only)" if self.read_only else " (recovered)" if self.recovered_from else ""
        return name + standing

    def may_leave(self) -> bool:
        """Ask about unsaved work; return whether the job may be left."""
        if not self.session.modified:
            return True
        answer = self.dialogs.ask_leave(self.name)
        return self.save() if answer == "save" else answer == "discard"

    def new(self) -> None:
        """Start an empty job."""
        if self.may_leave():
            self._settle(None, new_job(self.settings), None)

    def ask_open(self) -> None:
        """Ask for a job file and open it."""
        path = self.dialogs.ask_open(self._folder())
        if path is not None:
            self.open(path)

    def open(self, path: Path, *, hold: bool = True) -> bool:
        """Open a job file; return whether it was. ``hold`` False only looks at it: no lock, not among the recent files."""
        path = path.absolute()
        if is_sheets(path):
            return self._open_sheets(path)
        if not self.may_leave():
            return False
        again = self._hold is not None and self._hold.path == path
        new_hold = (self._hold if again else FileHold(path)) if hold else None
        seen = stamp(path)  # before reading, so that a write in between is noticed
        try:
            job = read_job(path)
        except (DrainsketchError, OSError) as fault:
            self.dialogs.tell(f"{path.name} could not be opened.", with_way_out(str(fault), path))
            self.recent.forget(path)
            return False
        taken = "" if again or new_hold is None else new_hold.take()
        if new_hold is not None:
            new_hold.stamp = seen
        self._settle(path, job, None if taken else new_hold, read_only=bool(taken))
        if hold:
            self.recent.remember(path)
        if taken:
            self.dialogs.tell(taken, "You can look at it and change it here; save your changes under another name.")
        return True

    def _open_sheets(self, path: Path) -> bool:
        """Open the job inside a PDF of sheets as a new one: a PDF is not saved to."""
        if not self.may_leave():
            return False
        try:
            job = read_job(path)
        except (DrainsketchError, OSError) as fault:
            self.dialogs.tell(f"{path.name} could not be opened.", str(fault))
            return False
        self._settle(None, job, None)
        self.session.tell(f"This is the job that {path.name} was made from; save it under a name of its own.")
        return True

    def open_sample(self, name: str) -> None:
        """Open a sample yard as a new job, so that the sample itself stays as it is."""
        if not self.may_leave():
            return
        try:
            job = parse_job(sample_jobs().joinpath(name).read_bytes(), name)
        except (DrainsketchError, OSError) as fault:
            self.dialogs.tell("The sample yard could not be opened.", str(fault))
            return
        self._settle(None, job, None)

    def open_recovered(self, job: Job, original: Path | None) -> None:
        """Open recovered work as unsaved; ``original`` is the file it belongs to, offered when it is saved."""
        self._settle(None, job, None, recovered_from=original, saved=False)

    def beside(self, ending: str) -> Path:
        """Return a file name for something made from this job: its own name, or title, with another ending."""
        known = self.path or self.recovered_from
        return self._folder() / f"{known.stem if known else _file_name(self.session.job)}{ending}"

    def save(self) -> bool:
        """Save the job where it belongs; return whether it is on disk."""
        if self.path is None or self.read_only or self._hold is None:
            return self.save_as()
        if self._hold.changed_on_disk():
            answer = self.dialogs.ask_clash(self.path.name)
            if answer != "overwrite":
                return answer == "save as" and self.save_as()
        return self._write(self.path, self._hold)

    def save_as(self) -> bool:
        """Ask for a name and save the job under it; return whether it is on disk."""
        suggested = self.path or self.recovered_from or self.beside(JOB_SUFFIX)
        path = self.dialogs.ask_save(suggested, "Save the job as", JOB_SUFFIX, JOB_FILTER)
        if path is None:
            return False
        path = (path if path.suffix else path.with_suffix(JOB_SUFFIX)).absolute()
        if self._hold is not None and self._hold.path == path:
            return self._write(path, self._hold)
        hold = FileHold(path)
        taken = hold.take()
        if taken:
            self.dialogs.tell(taken, "Choose another name.")
            return False
        if not self._write(path, hold):
            hold.release()
            return False
        return True

    def close(self) -> None:
        """Let go of the file."""
        if self._hold is not None:
            self._hold.release()
            self._hold = None

    def _write(self, path: Path, hold: FileHold) -> bool:
        try:
            save_job(self.session.job, path)
        except (DrainsketchError, OSError) as fault:
            self.dialogs.tell(
                f"{path.name} could not be saved.", f"{fault} Your work is still here; try another folder."
            )
            return False
        hold.renew()
        if self._hold is not hold:
            self.close()
        self.path, self._hold, self.read_only, self.recovered_from = path, hold, False, None
        self.session.mark_saved()
        self.recent.remember(path)
        self.renamed.emit()
        return True

    def _settle(
        self,
        path: Path | None,
        job: Job,
        hold: FileHold | None,
        *,
        read_only: bool = False,
        recovered_from: Path | None = None,
        saved: bool = True,
    ) -> None:
        if self._hold is not hold:
            self.close()
        self.path, self._hold, self.read_only, self.recovered_from = path, hold, read_only, recovered_from
        self.session.open(job, saved=saved)
        self.renamed.emit()
        self.opened.emit()

    def _folder(self) -> Path:
        known = self.path or self.recovered_from
        if known is not None and known.parent.is_dir():
            return known.parent
        recent = self.recent.paths()
        return recent[0].parent if recent else Path.home()


def _file_name(job: Job) -> str:
    """Return the job's title as a file name that every system takes."""
    kept = "".join(c if c.isalnum() or c in " -_" else " " for c in job.header.title)
    return "-".join(kept.split())[:60].lower() or "new-job"
