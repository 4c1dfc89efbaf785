"""Saving a job so that a power cut, a full disk or a killed program never leaves half a file.

The new text goes to a temporary file beside the old one, is flushed to disk and takes the old one's name in one step. The
last good version stays as ``<name>.bak``.
"""

from pathlib import Path

from drainsketch.errors import JobFileError
from drainsketch.files.atomic import flush_folder, in_words, mode_for, resolved, written_beside
from drainsketch.files.jobfile import job_text, parse_job, read_job
from drainsketch.job.model import Job

BACKUP = ".bak"


def with_way_out(fault: str, path: Path) -> str:
    """Return what is wrong with a job file, and where its backup lies when there is one."""
    backup = path.with_name(path.name + BACKUP)
    return f"{fault}; the version before lies beside it as {backup.name}" if backup.exists() else fault


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
        target = resolved(path)
        mode = mode_for(target)
        temporary = written_beside(target, data, mode)
        try:
            _keep_backup(target, mode)
            temporary.replace(target)
        finally:
            temporary.unlink(missing_ok=True)
        flush_folder(target.parent)
    except OSError as fault:
        raise JobFileError(f"not saved: {in_words(fault)}; the file on disk is as it was") from fault
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


def _keep_backup(target: Path, mode: int) -> None:
    """Copy the file on disk to its backup, unless it is no good job: a damaged file never replaces a good backup."""
    try:
        read_job(target)
    except JobFileError:
        return
    backup = target.with_name(target.name + BACKUP)
    temporary = written_beside(backup, target.read_bytes(), mode)
    try:
        temporary.replace(backup)
    finally:
        temporary.unlink(missing_ok=True)
