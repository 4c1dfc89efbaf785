"""Saving a job so that a power cut, a full disk or a killed program never leaves half a file.

The new text goes to a temporary file beside the old one, is flushed to disk and takes the old one's name in one step. The
last good version stays as ``<name>.bak``.
"""

import contextlib
import errno
import os
import stat
import tempfile
from pathlib import Path

from drainsketch.errors import JobFileError
from drainsketch.files.jobfile import job_text, parse_job, read_job
from drainsketch.job.model import Job

BACKUP = ".bak"

_WORDS = {
    errno.ENOSPC: "there is no room left on the disk; free some and save again",
    errno.EDQUOT: "your share of the disk is used up; free some and save again",
    errno.EFBIG: "the file would be larger than this system allows",
    errno.EROFS: "this disk can only be read; save to another folder",
    errno.EACCES: "you may not write in this folder; save to another one",
    errno.EPERM: "you may not write in this folder; save to another one",
    errno.ENOENT: "the folder is not there; choose another one",
    errno.ENOTDIR: "the folder is not there; choose another one",
    errno.EISDIR: "there is a folder of that name; choose another name",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
    errno.ELOOP: "the link leads in a circle; save under another name",
}


def save_job(job: Job, path: str | Path) -> None:
    """Write the job to a file, whole or not at all, and keep the version before as ``<name>.bak``.

    A link is followed to the file it stands for, and the permissions of an old file are kept.

    Raises
    ------
    JobFileError : the job would not read back (names the place in the job), or the file cannot be written; what was on
        disk before is untouched
    """
    data = _proven(job)
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, "a folder")
        mode = _mode_for(target)
        temporary = _written_beside(target, data, mode)
        try:
            _keep_backup(target, mode)
            temporary.replace(target)
        finally:
            temporary.unlink(missing_ok=True)
        _flush_folder(target.parent)
    except OSError as fault:
        words = _WORDS.get(fault.errno or 0, f"the file cannot be written: {fault.strerror or fault}")
        raise JobFileError(f"not saved: {words}; the file on disk is as it was") from fault
    except ValueError as fault:  # a NUL in the name
        raise JobFileError("not saved: that is not a file name") from fault


def _proven(job: Job) -> bytes:
    """Return the bytes to write, after reading them back: what cannot be read is never written."""
    data = job_text(job).encode()
    try:
        again = parse_job(data)
    except JobFileError as fault:
        raise JobFileError(*(f"not saved: {complaint}" for complaint in fault.complaints)) from fault
    if again != job:
        raise JobFileError("not saved: the job would not read back as it is; keep the window open and report this")
    return data


def _mode_for(target: Path) -> int:
    """Return the permissions the saved file gets: the old file's, or what the system gives a new one."""
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except FileNotFoundError:
        umask = os.umask(0)
        os.umask(umask)
        return 0o666 & ~umask


def _written_beside(target: Path, data: bytes, mode: int) -> Path:
    """Return a temporary file in the target's folder that holds the data, flushed to disk."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name[:100]}.", suffix=".tmp", dir=target.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(PermissionError):  # some disks know no permissions
            temporary.chmod(mode)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    return temporary


def _keep_backup(target: Path, mode: int) -> None:
    """Copy the file on disk to its backup, unless it is no good job: a damaged file never replaces a good backup."""
    try:
        read_job(target)
    except JobFileError:
        return
    backup = target.with_name(target.name + BACKUP)
    temporary = _written_beside(backup, target.read_bytes(), mode)
    try:
        temporary.replace(backup)
    finally:
        temporary.unlink(missing_ok=True)


def _flush_folder(folder: Path) -> None:
    """Flush the folder's list of names, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
