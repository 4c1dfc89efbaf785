"""User text on its way into a foreign file, and the foreign file on its way to disk."""

from pathlib import Path

from drainsketch.errors import SheetError
from drainsketch.files.atomic import in_words, write_whole

# What makes a spreadsheet program take a cell for a formula, full-width forms included.
# Source: OWASP, CSV Injection. Blanks before it are skipped by some programs, so they are looked through.
_FORMULA_STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


def one_line(text: str) -> str:
    """Return the text on one line, without control characters and halves of characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def inert_cell(text: str) -> str:
    """Return text that no spreadsheet program takes for a formula: on one line, with an apostrophe before a bad start."""
    clean = one_line(text)
    return "'" + clean if clean.startswith(_FORMULA_STARTS) else clean


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
