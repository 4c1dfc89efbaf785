"""What ``options --json`` prints: documented, versioned, stable.

Lengths are feet, slopes ft/ft, flows cfs, money and hours decimal numbers as text. Version 1: keys may be added, never removed or bent,
within a version.
"""

from collections.abc import Sequence
from typing import Any, Literal

import msgspec
from msgspec import Struct

from drainsketch.options import Figures, Variant, difference

VERSION = 1


class OptionRow(Struct, frozen=True):
    """One option: what it comes to, and by how much that is more than the first one.

    With ``stops`` in its figures its quantities, depths and price do not stand yet. ``undrained`` are inlets whose water gets to no
    outfall, ``comes_out`` structures at which water comes out at the peak. ``complete`` and ``has_examples`` are those of the price,
    null where there is none.
    """

    name: str
    note: str
    drawn: bool
    figures: Figures
    difference: Figures
    undrained: tuple[str, ...]
    comes_out: tuple[str, ...]
    complete: bool | None
    has_examples: bool | None


class OptionsReport(Struct, frozen=True):
    """The options of a job in order, one or more."""

    format: Literal["drainsketch-options"]
    version: int
    options: tuple[OptionRow, ...]


def options_report(variants: Sequence[Variant]) -> OptionsReport:
    """Return options held against each other, as ``options --json`` prints them."""
    first = variants[0].figures
    return OptionsReport("drainsketch-options", VERSION, tuple(_row(one, first) for one in variants))


def options_json(report: OptionsReport) -> str:
    """Return a report as indented JSON."""
    return msgspec.json.format(msgspec.json.encode(report), indent=2).decode()


def options_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``options --json`` prints."""
    return msgspec.json.schema(OptionsReport)


def _row(one: Variant, first: Figures) -> OptionRow:
    return OptionRow(
        name=one.name,
        note=one.note,
        drawn=one.is_drawn,
        figures=one.figures,
        difference=difference(one.figures, first),
        undrained=one.undrained,
        comes_out=one.comes_out,
        complete=one.price.complete if one.price is not None else None,
        has_examples=one.price.has_examples if one.price is not None else None,
    )
