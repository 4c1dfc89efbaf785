"""The contractor's particulars as a TOML file of the user's own, and the logo beside it. Strict: what cannot be is told, never guessed."""

import json
import tomllib
from pathlib import Path

import msgspec
from msgspec.structs import asdict, fields

from drainsketch.errors import JobFileError
from drainsketch.files.atomic import in_words
from drainsketch.files.folders import FIRM, LOGO, keep_own, own_folder
from drainsketch.files.logo import read_logo
from drainsketch.files.toml_files import parsed_toml, read_toml, unknown_name
from drainsketch.job.firm import Firm, Letterhead, Logo, firm_fault
from drainsketch.resources import resource

HEAD = "# Your business, as it stands on every sheet and at the head of the offer.\n\n"


def letterhead_in_use() -> Letterhead:
    """Return the contractor's particulars and logo that the user keeps; empty where none are kept.

    Raises
    ------
    JobFileError : a kept file cannot be read; names it
    """
    own, logo = own_folder() / FIRM, own_folder() / LOGO
    return Letterhead(
        read_firm(own) if own.exists() else Firm(),
        read_logo(logo) if logo.exists() else None,
    )


def shipped_firm_text() -> str:
    """Return the invented particulars that ship with the program, as text: the file to begin from."""
    return resource("firm/contractor.toml").read_text(encoding="utf-8")


def read_firm(path: Path) -> Firm:
    """Return the particulars in a file. Raises JobFileError, which names the file and what is wrong in it."""
    return read_toml(path, parse_firm)


def parse_firm(data: bytes) -> Firm:
    """Return the particulars in the bytes of a TOML file.

    Raises
    ------
    JobFileError : it is no TOML, or a particular is unknown, too long, or still the example's; a complaint for each
    """
    given = parsed_toml(data, "a contractor's particulars")
    example = tomllib.loads(shipped_firm_text())
    known = [field.name for field in fields(Firm)]
    faults = []
    for name, value in given.items():
        if name not in known:
            faults.append(unknown_name(name, known, "particulars"))
        elif wrong := firm_fault(name, value):
            faults.append(f"{name}: {wrong}")
        elif value == example[name]:
            faults.append(f"{name}: this is still the invented example; put in your own or take the line out")
    if faults:
        raise JobFileError(*faults)
    return msgspec.convert(given, Firm)


def keep_firm(path: Path) -> Path:
    """Write a file of particulars as the user's own for all jobs, remarks and all, when it reads well; return the file.

    Raises
    ------
    JobFileError : it does not read well, or cannot be written
    """
    read_firm(path)
    return keep_own(FIRM, path.read_bytes())


def save_firm(firm: Firm) -> Path:
    """Write particulars as the user's own for all jobs; return the file. Raises JobFileError when they cannot be kept."""
    data = firm_text(firm).encode("utf-8", "replace")
    parse_firm(data)  # what cannot be read is never written
    return keep_own(FIRM, data)


def firm_text(firm: Firm) -> str:
    """Return particulars as the text of their file."""
    said = {name: value for name, value in asdict(firm).items() if value}
    return HEAD + "".join(f"{name} = {_toml(value)}\n" for name, value in said.items())


def keep_logo(path: Path) -> Logo:
    """Keep a copy of a picture as the logo for all jobs; return it. Raises JobFileError when it is none, or cannot be written."""
    logo = read_logo(path)
    keep_own(LOGO, logo.png)
    return logo


def save_letterhead(letterhead: Letterhead) -> Path:
    """Write particulars and logo as the user's own for all jobs; return the folder. Raises JobFileError when they cannot be kept."""
    file = save_firm(letterhead.firm)
    if letterhead.logo is None:
        _drop_logo()
    else:
        keep_own(LOGO, letterhead.logo.png)
    return file.parent


def _drop_logo() -> None:
    try:
        (own_folder() / LOGO).unlink(missing_ok=True)
    except OSError as fault:
        raise JobFileError(f"{own_folder() / LOGO}: {in_words(fault)}") from fault


def _toml(value: str | tuple[str, ...]) -> str:
    """Return text as TOML writes it: a JSON string is one, where the one control character JSON lets through is escaped."""
    if isinstance(value, tuple):
        return f"[{', '.join(_toml(line) for line in value)}]"
    if "\n" in value:
        lines = "\n".join(_toml(line)[1:-1] for line in value.split("\n"))
        return f'"""\n{lines}"""'
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
