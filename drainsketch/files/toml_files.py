"""TOML files that users edit, and keep for all jobs: read strictly, each complaint with the file and the name it is about."""

import tomllib
from collections.abc import Callable, Iterable
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from drainsketch.errors import JobFileError
from drainsketch.job.plain import plain

MOST_BYTES = 100_000
Read = TypeVar("Read")


def read_toml(path: Path, parse: Callable[[bytes], Read]) -> Read:
    """Return what ``parse`` makes of the bytes of a file. Raises JobFileError, which names the file with each complaint."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        return parse(data)
    except (OSError, ValueError) as fault:
        raise JobFileError(f"{path}: this file cannot be read: {getattr(fault, 'strerror', None) or fault}") from fault
    except JobFileError as fault:
        raise JobFileError(*(f"{path}: {complaint}" for complaint in fault.complaints)) from fault


def parsed_toml(data: bytes, what: str) -> dict[str, Any]:
    """Return what stands in the bytes of a TOML file, numbers with a point as Decimal.

    Parameters
    ----------
    what : what such a file holds, for the complaint about one that is far too large

    Raises
    ------
    JobFileError : it is too large, not UTF-8, or no TOML
    """
    if len(data) > MOST_BYTES:
        raise JobFileError(f"the file has more than {MOST_BYTES / 1e6:.1f} MB; {what} are a page of text")
    try:
        return tomllib.loads(data.decode("utf-8-sig"), parse_float=Decimal)
    except UnicodeDecodeError as fault:
        raise JobFileError(f"byte {fault.start}: this is not UTF-8 text; save it as UTF-8") from fault
    except (ValueError, RecursionError, ArithmeticError) as fault:
        raise JobFileError(f"this is not TOML, the format of the file: {fault}") from fault


def unknown_name(name: str, known: Iterable[str], what: str) -> str:
    """Return the complaint about a name that such a file does not have, with the one that may have been meant."""
    known = tuple(known)
    near = get_close_matches(name[:60], known, 1)
    hint = f"did you mean {near[0]}?" if near else f"the {what} are {', '.join(known)}"
    return f"{plain(name, 40)}: unknown; {hint}"
