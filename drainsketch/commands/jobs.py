"""The job that a command is given: read, with the option that was asked for, reviewed, and kept from being written over."""

from pathlib import Path

from drainsketch.errors import EditError, JobFileError, SheetError, UsageError
from drainsketch.files.jobfile import read_job
from drainsketch.files.saving import with_way_out
from drainsketch.job.edits.options import switch_to
from drainsketch.job.model import Job
from drainsketch.review import Review, analyse
from drainsketch.study import Study, study


def reviewed(path: Path, option: str | None) -> tuple[Job, Review]:
    """Return the job in a file and its review, with the closer look in it."""
    job, closer = studied(path, option)
    return job, closer.whole


def studied(path: Path, option: str | None) -> tuple[Job, Study]:
    """Return the job in a file and its closer look."""
    job = read(path, option)
    return job, study(analyse(job))


def read(path: Path, option: str | None = None) -> Job:
    """Return the job in a file, with the option of that name drawn; None leaves it as it was saved."""
    try:
        job = read_job(path)
    except JobFileError as fault:
        raise JobFileError(f"{path}: {with_way_out(str(fault), path)}") from fault
    try:
        return job if option is None else switch_to(job, option)
    except EditError as fault:
        raise UsageError(f"{path}: {fault}") from fault


def guard(output: Path, job: Path, suffix: str) -> None:
    """Refuse to write over the job, or under a name that says something else than what is in the file."""
    if output.exists() and job.exists() and output.samefile(job):
        raise SheetError(f"{output}: that is the job file itself; name another file to write to")
    if output.suffix.lower() != suffix:
        raise SheetError(f"{output}: end the name in {suffix}")
