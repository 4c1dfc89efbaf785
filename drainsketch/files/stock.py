"""The basin stock as a TOML file that a contractor edits: sizes of the basins bought, for a job or for every new job."""

import tomllib
from importlib.resources.abc import Traversable
from pathlib import Path
from re import compile as pattern
from re import sub
from typing import Any

import msgspec

from drainsketch.errors import JobFileError, LengthError
from drainsketch.job.bounds import complaints
from drainsketch.job.limits import BasinBody
from drainsketch.job.rules import stock_faults
from drainsketch.job.units import parse_inches
from drainsketch.resources import resource

MOST_BYTES = 200_000
Stock = tuple[BasinBody, ...]
FIGURE = pattern(r"^\s*(?P<key>\w+_in)\s*=\s*(?P<value>[^#]*?)\s*(?:#.*)?$")


def shipped_stock_text() -> str:
    """Return the shipped catalogue as text: the file to begin from."""
    return resource("catalogue/basins.toml").read_text(encoding="utf-8")


def read_stock(path: str | Path | Traversable) -> Stock:
    """Return the basins of a stock file.

    Raises
    ------
    JobFileError : the file cannot be read, is no TOML, or a value is out of its bounds; names the place
    """
    try:
        data = (Path(path) if isinstance(path, str) else path).read_bytes()
    except (OSError, ValueError) as fault:
        raise JobFileError(f"this file cannot be read: {getattr(fault, 'strerror', None) or fault}") from fault
    if len(data) > MOST_BYTES:
        raise JobFileError(f"the file has {len(data) / 1e6:.1f} MB; a basin stock is a page of text")
    return parse_stock(data)


def parse_stock(data: bytes) -> Stock:
    """Return the basins in the bytes of a stock file. Raises JobFileError as ``read_stock`` does."""
    try:
        raw: dict[str, Any] = tomllib.loads(data.decode("utf-8"))
    except UnicodeDecodeError as fault:
        raise JobFileError(f"byte {fault.start}: this is not UTF-8 text; save it as UTF-8") from fault
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as fault:
        typed = _figures_not_toml(data.decode("utf-8"))
        raise JobFileError(*(typed or [f"this is not TOML, the format of the file: {fault}"])) from fault
    strange = next((key for key in raw if key != "basin"), None)
    if strange is not None:
        raise JobFileError(f"{strange[:40]}: unknown; a basin stock holds [[basin]] rows only")
    rows = raw.get("basin", [])
    kind = Stock
    try:
        stock = msgspec.convert(rows, kind)
    except (msgspec.ValidationError, RecursionError) as fault:
        found = [_counted(f"basin{c}") for c in complaints(rows, kind)]
        raise JobFileError(*(found or [f"basin: {fault}"])) from fault
    faults = [_counted(f"{path.replace('stock', 'basin', 1)}: {wrong}") for path, wrong in stock_faults(stock)]
    if not stock:
        faults.append("basin: there is no [[basin]] row in this file")
    if faults:
        raise JobFileError(*faults)
    return stock


def _counted(complaint: str) -> str:
    """Return a complaint with its place as people count: ``basin[0].size_in`` is basin 1, size_in."""
    place, colon, wrong = complaint.partition(": ")
    place = sub(r"^basin\[(\d+)\]\.?", lambda m: f"basin {int(m[1]) + 1}, ", place).removesuffix(", ")
    return sub(r"\[(\d+)\]", lambda m: f", figure {int(m[1]) + 1}", place) + colon + wrong


def _figures_not_toml(text: str) -> list[str]:
    """Return a sentence for each figure typed as on a tape, ``14 1/2``, which TOML does not read: what to write instead."""
    found, number = [], 0
    for line in text.splitlines():
        number += line.strip().startswith("[[basin]]")
        typed = FIGURE.match(line)
        if typed is None:
            continue
        value = typed["value"]
        figures = value.strip("[]").split(",") if value.startswith("[") else [value]
        plain = [_plain_inches(f.strip()) for f in figures if f.strip()]
        said = ", ".join(p for p in plain if p)
        if all(plain) and plain != [f.strip() for f in figures if f.strip()]:
            found.append(f"basin {number}, {typed['key']}: write {f'[{said}]' if value.startswith('[') else said}")
    return found


def _plain_inches(text: str) -> str:
    """Return inches typed as on a tape as a plain number; a plain number as it is, '' for what is no length."""
    try:
        float(text)
    except ValueError:
        pass
    else:
        return text
    try:
        return f"{parse_inches(text):g}"
    except LengthError:
        return ""
