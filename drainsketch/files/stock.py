"""The basin stock as a TOML file that a contractor edits: sizes of the basins bought, for a job or for every new job."""

import tomllib
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

import msgspec

from drainsketch.errors import JobFileError
from drainsketch.job.bounds import complaints
from drainsketch.job.model import BasinBody
from drainsketch.job.rules import stock_faults
from drainsketch.resources import resource

MOST_BYTES = 200_000
Stock = tuple[BasinBody, ...]


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
        raise JobFileError(f"this is not TOML: {fault}") from fault
    strange = next((key for key in raw if key != "basin"), None)
    if strange is not None:
        raise JobFileError(f"{strange[:40]}: unknown; a basin stock holds [[basin]] rows only")
    rows = raw.get("basin", [])
    kind = Stock
    try:
        stock = msgspec.convert(rows, kind)
    except (msgspec.ValidationError, RecursionError) as fault:
        found = [f"basin{c}" for c in complaints(rows, kind)]
        raise JobFileError(*(found or [f"basin: {fault}"])) from fault
    faults = [f"{path.replace('stock', 'basin', 1)}: {wrong}" for path, wrong in stock_faults(stock)]
    if not stock:
        faults.append("basin: there is no [[basin]] row in this file")
    if faults:
        raise JobFileError(*faults)
    return stock
