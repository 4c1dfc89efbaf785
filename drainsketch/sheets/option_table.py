"""The options of a job side by side as text: one table for the contractor, a shorter one in plain words for the owner.

The command line, the window and the owner's page show the same cells.
"""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from textwrap import wrap
from typing import Any, Literal

from msgspec import Struct

from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.job.rates import format_duration, quantity_text
from drainsketch.measures import METRIC
from drainsketch.options import Variant, difference
from drainsketch.sheets.owner import loose_downspouts
from drainsketch.sheets.storm_tables import storm_name
from drainsketch.sheets.storm_words import rain_words, standing_words
from drainsketch.sheets.water_marks import volume_text
from drainsketch.takeoff.price.money import dollars, plain_number
from drainsketch.water.rain import lacking
from drainsketch.water.storm.facts import standing_of
from drainsketch.wording import Words

Reader = Literal["contractor", "owner"]
CONTRACTOR = {
    "work": ("total_usd", "crew_hours", "crew_days"),
    "drains": ("undrained", "stops", "settles", "notes", "flattest"),
    "storm": ("comes_out_cfs", "freeboard_ft", "fullest", "stands_ft2", "stands_min", "left_gal"),
    "built": ("drain_ft", "solid_ft", "basins", "stone_tons"),
    "dug": ("dug_yd3", "deepest_ft", "spoil_yd3", "spoil_loads"),
}
OWNER = {
    "work": ("total_usd",),  # days are those of the work plan
    "storm": ("undrained", "comes_out_cfs", "stands_ft2", "stands_min"),
    "built": ("basins", "drain_ft", "solid_ft", "stone_tons"),
    "dug": ("deepest_ft", "spoil_loads"),
}
NONE_AT_0 = (  # 'none' says it plainer than a zero
    *("drain_ft", "solid_ft", "dug_yd3", "stone_tons", "spoil_yd3", "spoil_loads", "comes_out_cfs"),
    *("stands_ft2", "stands_min", "left_gal"),
)
COUNTED = (
    "drain_ft",
    "solid_ft",
    "dug_yd3",
    "stone_tons",
    "spoil_yd3",
    "spoil_loads",
    "crew_hours",
    "crew_days",
)  # a difference needs no unit
COLUMN, LABEL = 24, 34  # letters of the table in a terminal


class Cell(Struct, frozen=True):
    """A figure of an option; ``against`` is its difference to the first one, '' where there is none to say."""

    text: str
    against: str = ""


class Row(Struct, frozen=True):
    """One figure of every option. ``group`` is the key of the rows it stands among."""

    key: str
    group: str
    label: str
    cells: tuple[Cell, ...]


class OptionTable(Struct, frozen=True):
    """The table: names of the options in order, rows, what must not be passed over, and what else has to be said."""

    names: tuple[str, ...]
    drawn: int
    rows: tuple[Row, ...]
    warned: tuple[str, ...]
    said: tuple[str, ...]


def option_table(variants: Sequence[Variant], words: Words, reader: Reader = "contractor") -> OptionTable:
    """Return the table of options. A figure that is known of none gets no row.

    Parameters
    ----------
    variants : of ``options.compared``, one or more
    """
    writers = _Writers(words, reader)
    groups = OWNER if reader == "owner" else CONTRACTOR
    table = "owner" if reader == "owner" else "row"
    rows = tuple(
        Row(key, group, words.word(f"options.{table}.{key}"), writers.cells(key, variants))
        for group, keys in groups.items()
        for key in keys
        if any(_is_known(one, key) for one in variants)
    )
    names = tuple(name_of(one.name, words) for one in variants)
    drawn = next((i for i, one in enumerate(variants) if one.is_drawn), 0)
    return OptionTable(
        names, drawn, rows, tuple(_warned(variants, names, words)), tuple(_said(variants, names, words, reader))
    )


def name_of(name: str, words: Words) -> str:
    """Return the name of an option as it is shown."""
    return plain(name, LABEL_LENGTH) or words.word("options.unnamed")


def option_lines(table: OptionTable, words: Words) -> Iterator[str]:
    """Yield the table as text for a terminal, and under it what has to be said."""
    heads = [
        f"{name} ({words.word('options.drawn')})" if i == table.drawn else name for i, name in enumerate(table.names)
    ]
    yield from _line("", heads)
    group = ""
    for row in table.rows:
        if row.group != group:
            group = row.group
            yield words.word(f"options.group.{group}")
        yield from _line(f"  {row.label}", [f"{c.text} ({c.against})" if c.against else c.text for c in row.cells])
    if len(table.names) > 1:
        yield words.word("options.against", first=table.names[0])
    yield from (*table.warned, *table.said)
    if len(table.names) == 1:
        yield words.word("options.one")


def one_line(note: str) -> str:
    """Return a note as it is printed among other words."""
    return " ".join(note.split())


def _line(label: str, cells: Sequence[str]) -> Iterator[str]:
    """Yield a row of the table; what is too long goes on below."""
    columns = [wrap(label, LABEL, subsequent_indent="    ") or [""], *(wrap(cell, COLUMN) or [""] for cell in cells)]
    for i in range(max(map(len, columns))):
        parts = [column[i] if i < len(column) else "" for column in columns]
        yield "".join([f"{parts[0]:{LABEL + 2}}", *(f"{part:{COLUMN + 2}}" for part in parts[1:])]).rstrip()


def _is_known(one: Variant, key: str) -> bool:
    return getattr(one.figures, key) is not None or (key == "total_usd" and one.price is not None)


def _warned(variants: Sequence[Variant], names: Sequence[str], words: Words) -> Iterator[str]:
    """Yield what keeps an option from being built, what has no price, and that prices are invented."""
    for one, name in zip(variants, names, strict=True):
        if one.figures.stops:
            yield words.word("options.stops", name=name, count=one.figures.stops)
        if one.price is not None and not one.price.complete:
            missing = sum(line.amount is None for line in one.price.lines)
            yield words.word("options.no_price", name=name, count=missing)
    if any(one.price is not None and one.price.has_examples for one in variants):
        yield words.word("options.example")


def _said(variants: Sequence[Variant], names: Sequence[str], words: Words, reader: Reader) -> Iterator[str]:
    """Yield notes, which storm it is, how water stands today, and the caution."""
    job, first = variants[0].job, variants[0].storm
    if reader == "contractor":  # the owner reads notes in the table
        for one, name in zip(variants, names, strict=True):
            if note := one_line(one.note):
                yield words.word("options.note", name=name, note=note)
    if lacking(job.rain):
        yield words.word("options.no_rain")
    else:
        storm = rain_words(job, words) if first is not None else storm_name(job.rain, words)
        yield words.word("options.storm", storm=storm)
        before = first.before if reader == "owner" and first is not None else None
        if before is not None and standing_of(before).area_ft2:
            yield standing_words("today", before, job, words)
    if reader == "owner":
        loose = [tuple(map(words.name, loose_downspouts(one.job))) for one in variants]
        if loose[0] and len(set(loose)) == 1:
            yield words.word("options.loose_all", downspouts=loose[0])
        else:
            told = zip(names, loose, strict=True)
            yield from (words.word("options.loose", name=name, downspouts=some) for name, some in told if some)
    yield words.word("options.caution")


class _Writers:
    """Writes the figures of options, each in the job's units and in a language."""

    def __init__(self, words: Words, reader: Reader) -> None:
        self._words, self._reader = words, reader
        length, amounts = words.length, self._amount
        self._write: dict[str, Callable[[Any], str]] = {
            "drain_ft": lambda v: amounts(v, "ft"),  # as the takeoff has it
            "solid_ft": lambda v: amounts(v, "ft"),
            "deepest_ft": length,
            "freeboard_ft": length,
            "flattest": words.slope,
            "dug_yd3": lambda v: amounts(v, "yd3"),
            "spoil_yd3": lambda v: amounts(v, "yd3"),
            "stone_tons": lambda v: amounts(v, "ton"),
            "spoil_loads": lambda v: words.word("options.unit.loads", count=v),
            "comes_out_cfs": words.flow,
            "fullest": lambda v: words.word("options.share", share=round(100 * v)),
            "stands_ft2": lambda v: words.area(float(f"{v:.2g}")),  # to two figures, as in the words of the storm
            "stands_min": lambda v: format_duration(round(v)),
            "left_gal": lambda v: volume_text(v, words),
            "crew_hours": lambda v: words.word("options.unit.hours", count=plain_number(v)),
            "crew_days": self._days,
            "total_usd": dollars,
        }

    def cells(self, key: str, variants: Sequence[Variant]) -> tuple[Cell, ...]:
        """Return the cells of a row; the first option has nothing to be held against."""
        first = variants[0]
        return tuple(
            Cell(self._text(key, one), self._against(key, one, first) if one is not first else "") for one in variants
        )

    def _text(self, key: str, one: Variant) -> str:
        value, words = getattr(one.figures, key), self._words
        if self._is_no_offer(key, one):
            return words.word("options.open")
        if value is None:
            is_open = key == "total_usd" and one.price is not None
            return words.word("options.open" if is_open else "options.unknown")
        if key == "undrained":
            return words.word(f"options.{'not_draining' if one.undrained else 'all_drain'}", inlets=one.undrained)
        if key == "comes_out_cfs" and one.comes_out:
            return self._outflow(value, one.comes_out)
        if key == "freeboard_ft" and value < 0:
            return words.word("options.over")
        return words.word("options.none") if not value and key in NONE_AT_0 else self._written(key, value)

    def _is_no_offer(self, key: str, one: Variant) -> bool:
        """Return whether a price is not said to the owner, since the option cannot be built as drawn."""
        return key == "total_usd" and self._reader == "owner" and one.figures.stops > 0

    def _outflow(self, cfs: float, names: tuple[str, ...]) -> str:
        flow = self._words.flow(cfs) if cfs > 0 else self._words.word("options.over")
        return flow if self._reader == "owner" else self._words.word("options.places", flow=flow, names=names)

    def _against(self, key: str, one: Variant, first: Variant) -> str:
        """Return how an option differs from the first one, as it is written; '' where that says nothing."""
        less = getattr(difference(one.figures, first.figures), key)
        closed = self._is_no_offer(key, one) or self._is_no_offer(key, first)
        if less is None or closed or key in ("undrained", "stops", "settles", "notes"):
            return ""
        if key == "freeboard_ft" and min(one.figures.freeboard_ft or 0.0, first.figures.freeboard_ft or 0.0) < 0:
            return ""  # over a grate the figure is arithmetic
        if self._text(key, one) == self._text(key, first):
            return ""  # a difference that does not show is none to speak of
        by, nothing = self._written(key, abs(less)), self._written(key, less - less)
        if by == nothing or (key == "left_gal" and abs(less) < 1):
            return ""
        if self._reader == "owner":
            return self._words.word(f"options.{'more' if less > 0 else 'less'}", by=by)
        return f"{'+' if less > 0 else '−'}{by.split(' ')[0] if key in COUNTED else by}"

    def _written(self, key: str, value: Any) -> str:
        return self._write[key](value) if key in self._write else f"{value:d}"

    def _amount(self, value: float, unit: str) -> str:
        factor, named = METRIC.get(unit, (1.0, unit)) if self._words.units == "m" else (1.0, unit)
        return f"{quantity_text(value * factor)} {self._words.unit(named, value * factor)}"

    def _days(self, days: Decimal) -> str:
        return self._words.word("options.unit.days", count=plain_number(days), count_of=1 if days == 1 else 2)
