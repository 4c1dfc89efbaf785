"""The terms of a price as a TOML file beside the price book. What the file does not say stands as in the shipped example, and is told."""

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct
from msgspec.structs import fields

from drainsketch.errors import JobFileError
from drainsketch.files.folders import TERMS, keep_own, own_folder
from drainsketch.files.toml_files import parsed_toml, read_toml, unknown_name
from drainsketch.job.price_terms import PriceTerms, fault_of, margin_fault
from drainsketch.resources import resource


class TermsRead(Struct, frozen=True):
    """Terms as read, the names of those that are the example's, and the files they come from, () for the example alone."""

    terms: PriceTerms
    examples: tuple[str, ...] = ()
    files: tuple[str, ...] = ()


def terms_in_use(path: Path | None = None) -> TermsRead:
    """Return the terms to use: what the file named says, else the user's own for all jobs, else the invented ones that ship.

    Each term goes that way by itself, so that a file for one job may say only what is different there.

    Raises
    ------
    JobFileError : a file cannot be read, or a term is out of its bounds; names the file and the term
    """
    own = own_folder() / TERMS
    given: dict[str, Any] = {}
    files = (*((own,) if own.exists() else ()), *((path,) if path is not None else ()))
    for file in files:
        given |= _read(file)
    return _over_example(given, tuple(str(file) for file in files))


def own_terms() -> dict[str, Any]:
    """Return the terms that the user keeps for all jobs, as given; {} for none. Raises JobFileError."""
    own = own_folder() / TERMS
    return _read(own) if own.exists() else {}


def parse_own_terms(data: bytes) -> dict[str, Any]:
    """Return the terms that the bytes of a terms file give. Raises JobFileError as ``parse_terms`` does."""
    return _checked(parsed_toml(data, "price terms"))


def shipped_terms_text() -> str:
    """Return the invented terms that ship with the program, as text: the file to begin from."""
    return resource("pricebook/price-terms.toml").read_text(encoding="utf-8")


def parse_terms(data: bytes) -> TermsRead:
    """Return the terms in the bytes of a TOML file.

    Raises
    ------
    JobFileError : it is no TOML, or a term is unknown or out of its bounds; a complaint for each
    """
    return _over_example(parse_own_terms(data), ())


def keep_terms(path: Path) -> Path:
    """Write a terms file as the user's own for all jobs, remarks and all, when it reads well; return the file.

    Raises
    ------
    JobFileError : it does not read well, or cannot be written
    """
    _read(path)
    return keep_own(TERMS, path.read_bytes())


def _read(path: Path) -> dict[str, Any]:
    """Return the terms that a file gives. Raises JobFileError, which names the file."""
    return read_toml(path, parse_own_terms)


def _checked(given: dict[str, Any]) -> dict[str, Any]:
    """Return the terms of one file when nothing is wrong with any. Raises JobFileError with a complaint for each."""
    known = [field.name for field in fields(PriceTerms)]
    faults = []
    for name, value in given.items():
        if name not in known:
            faults.append(unknown_name(name, known, "terms"))
        elif wrong := fault_of(name, value):
            faults.append(f"{name}: {wrong}")
    there = [name for name in ("profit_as", "profit_pct") if name in given]
    if len(there) == 1:
        missing = "profit_pct" if there == ["profit_as"] else "profit_as"
        faults.append(
            f"{there[0]}: {missing} is missing beside it; say the profit as mark-up or as margin, and how much"
        )
    elif there and not faults and (wrong := margin_fault(given["profit_as"], given["profit_pct"])):
        faults.append(f"profit_pct: {wrong}")
    if faults:
        raise JobFileError(*faults)
    return given


def _over_example(given: dict[str, Any], files: tuple[str, ...]) -> TermsRead:
    example = tomllib.loads(shipped_terms_text(), parse_float=Decimal)
    terms = msgspec.convert(example | given, PriceTerms)
    return TermsRead(terms, tuple(name for name in example if name not in given), files)
