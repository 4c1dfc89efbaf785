"""Hold on a job file: one window writes it, and what happens to it on disk in the meantime is noticed."""

from pathlib import Path

from PySide6.QtCore import QLockFile


def stamp(path: Path) -> tuple[int, int] | None:
    """Return the time of writing (ns) and the size (bytes) of a file; None when it is not there."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


class FileHold:
    """A lock beside a file, and the stamp of the file when it was last read or written here."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.stamp = stamp(path)
        self._lock = QLockFile(str(path) + ".lock")
        self._lock.setStaleLockTime(0)  # a lock goes stale only with its program, however long the sitting

    def take(self) -> str:
        """Take the lock; return '' or, when another window has the file, a sentence that says so.

        Where no lock can be written (a folder without write permission) there is nothing to guard: saving will fail there too.
        """
        if self._lock.tryLock(0) or self._lock.error() != QLockFile.LockError.LockFailedError:
            return ""
        return f"{self.path.name} is open in another drainsketch window."

    def renew(self) -> None:
        """Note that the file on disk is now ours."""
        self.stamp = stamp(self.path)

    def changed_on_disk(self) -> bool:
        """Return whether the file is no longer as it was when last read or written here."""
        return stamp(self.path) != self.stamp

    def release(self) -> None:
        """Let go of the lock."""
        self._lock.unlock()
