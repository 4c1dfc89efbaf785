"""Recovery copies: unsaved work kept aside in a folder of the program's own, never over the user's file.

Each window has one copy, a plain job file that can also be opened by hand. Beside it lies, where the job was saved before,
the path of the user's file. Who may take a copy over is for the window to say, which holds a lock on it.
"""

from __future__ import annotations

import contextlib
import os
from datetime import datetime
from pathlib import Path
from uuid import uuid4

import msgspec

from drainsketch.errors import JobFileError
from drainsketch.files.atomic import in_words, write_whole
from drainsketch.files.jobfile import EXTENSION
from drainsketch.files.layout import FORMAT
from drainsketch.files.migrations.steps import VERSION
from drainsketch.job.model import Job

ORIGINAL = ".original"  # added to a copy's name: holds the path of the user's file
DAMAGED = ".damaged"  # added to the name of a copy that cannot be read


def new_copy(folder: Path) -> Path:
    """Return a name in the folder that no other window has; nothing is written yet."""
    return folder / f"{datetime.now():%Y%m%d-%H%M%S}-{uuid4().hex[:8]}{EXTENSION}"


def make_folder(folder: Path) -> None:
    """Make the folder for copies when it is missing. Raises JobFileError when it cannot be made."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise _not_kept(folder, fault) from fault


def keep(job: Job, copy: Path, original: Path | None) -> None:
    """Write a recovery copy, whole or not at all, into a folder that is there.

    Unlike saving, the job is written even if it would not read back: half-sound work is better than none.

    Parameters
    ----------
    original : the user's file, or None for a job that was never saved

    Raises
    ------
    JobFileError : it cannot be written; says why
    """
    try:
        if original is not None:
            write_whole(_beside(copy, ORIGINAL), os.fsencode(original))
        head = msgspec.json.encode({"format": FORMAT, "version": VERSION})
        write_whole(
            copy, head[:-1] + b"," + msgspec.json.encode(job)[1:]
        )  # in a fraction of the time that a neat layout takes
    except (OSError, ValueError) as fault:
        raise _not_kept(copy.parent, fault) from fault


def copies(folder: Path) -> tuple[Path, ...]:
    """Return the recovery copies in a folder, the newest first."""
    found = [(written, copy) for copy in folder.glob(f"*{EXTENSION}") if (written := _written_ns(copy)) is not None]
    return tuple(copy for _, copy in sorted(found, reverse=True))


def written_at(copy: Path) -> datetime:
    """Return when a copy was written, local time. Raises OSError when it is gone."""
    return datetime.fromtimestamp(copy.stat().st_mtime)


def original_of(copy: Path) -> Path | None:
    """Return the user's file that a copy belongs to, or None when it was never saved."""
    try:
        return Path(os.fsdecode(_beside(copy, ORIGINAL).read_bytes()))
    except (OSError, ValueError):
        return None


def forget(copy: Path) -> None:
    """Take a copy away; one that is gone already, or cannot be taken away, is left."""
    for file in (copy, _beside(copy, ORIGINAL)):
        with contextlib.suppress(OSError):
            file.unlink(missing_ok=True)


def set_aside(copy: Path) -> Path:
    """Rename a copy that cannot be read, so that it is not offered again; return its name."""
    aside = _beside(copy, DAMAGED)
    try:
        return copy.replace(aside)
    except OSError:
        return copy


def _not_kept(folder: Path, fault: OSError | ValueError) -> JobFileError:
    why = in_words(fault) if isinstance(fault, OSError) else str(fault)
    return JobFileError(f"no recovery copy could be written in {folder}: {why}")


def _beside(copy: Path, ending: str) -> Path:
    return copy.with_name(copy.name + ending)


def _written_ns(copy: Path) -> int | None:
    try:
        return copy.stat().st_mtime_ns
    except OSError:  # another window took it away just now
        return None
