"""Writing a file whole or not at all: a temporary file beside it takes its name once every byte is on disk."""

import contextlib
import errno
import os
import stat
import tempfile
from pathlib import Path

WORDS = {
    errno.ENOSPC: "there is no room left on the disk; free some and save again",
    errno.EDQUOT: "your share of the disk is used up; free some and save again",
    errno.EFBIG: "the file would be larger than this system allows",
    errno.EROFS: "this disk can only be read; save to another folder",
    errno.EACCES: "you may not write in this folder; save to another one",
    errno.EPERM: "you may not write in this folder; save to another one",
    errno.ENOENT: "the folder is not there; choose another one",
    errno.ENOTDIR: "the folder is not there; choose another one",
    errno.EISDIR: "there is a folder of that name; choose another name",
    errno.ENODEV: "that is no ordinary file; choose another name",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
    errno.ELOOP: "the link leads in a circle; save under another name",
}


def in_words(fault: OSError) -> str:
    """Return what an operating system fault means to the user."""
    return WORDS.get(fault.errno or 0, f"the file cannot be written: {fault.strerror or fault}")


def write_whole(path: str | Path, data: bytes) -> None:
    """Write a file whole or not at all; a link is followed, the permissions of an old file are kept.

    Raises
    ------
    OSError, ValueError : it cannot be written (``in_words`` says why), or the path is no file name; what was there is untouched
    """
    target = resolved(path)
    temporary = written_beside(target, data, mode_for(target))
    try:
        temporary.replace(target)
    finally:
        temporary.unlink(missing_ok=True)
    flush_folder(target.parent)


def resolved(path: str | Path) -> Path:
    """Return the file a path or link stands for. Raises OSError when it is a folder or a device."""
    target = Path(os.path.realpath(path))
    if target.is_dir():
        raise IsADirectoryError(errno.EISDIR, "a folder")
    if Path(path).exists() and not Path(path).is_file():  # a rename would put a file in the place of a device
        raise OSError(errno.ENODEV, "no ordinary file")
    return target


def mode_for(target: Path) -> int:
    """Return the permissions the saved file gets: the old file's, or what the system gives a new one."""
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except FileNotFoundError:
        umask = os.umask(0)
        os.umask(umask)
        return 0o666 & ~umask


def written_beside(target: Path, data: bytes, mode: int) -> Path:
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


def flush_folder(folder: Path) -> None:
    """Flush the folder's list of names, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
