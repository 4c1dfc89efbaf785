"""User text on its way into a foreign file, and the foreign file on its way to disk."""

from pathlib import Path

from drainsketch.errors import SheetError
from drainsketch.files.atomic import in_words, write_whole
from drainsketch.files.cells import inert_cell, one_line

__all__ = ["inert_cell", "one_line", "write_export"]


def write_export(path: str | Path, data: bytes) -> None:
    """Write an export whole or not at all.

    Raises
    ------
    SheetError : it cannot be written; names the file and says why
    """
    try:
        write_whole(path, data)
    except OSError as fault:
        raise SheetError(f"{path}: {in_words(fault)}") from fault
    except ValueError as fault:
        raise SheetError(f"{one_line(str(path))}: that is not a file name") from fault
