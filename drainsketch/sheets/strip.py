"""The strip of a plan sheet as data: title block, scale bar, north arrow and the legend of what is on this plan."""

from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.firm import NO_ONE, Letterhead, Logo
from drainsketch.job.model import Header
from drainsketch.look import INK, LEVEL_COLORS, LEVEL_SIGNS, QUIET, SERVICE_LETTERS, STYLES, SYMBOLS
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, printable, width_of, wrapped
from drainsketch.sheets.marks import Label, PlanMarks, Sign, Stroke
from drainsketch.sheets.parts import KeyMap
from drainsketch.sheets.scale import Scale, ScaleBar, scale_bar
from drainsketch.wording import Words

TYPE_PT = 9.0
LINE_PT = 11.5
PAD = 7.0
SWATCH_PT = 26.0
ROW_PT, FLAG_ROW_PT = 14.0, 20.0
GAP_PT = 9.0
NAME_PT = (76.0, 67.0)  # room for a name in the legend, the better of the two; a longer one takes two lines
NORTH_PT = 34.0
KEY_PT = (96.0, 60.0)  # the most that a key map takes
LOGO_PT = (
    110.0,
    2.8 * LINE_PT,
)  # the most room a logo takes, across and down: beside the last three lines, which are short
LOGO_BESIDE_PT = 230.0  # in a title block narrower than this it stands above all
PAGE, PAGES, SHEET = "\u0001", "\u0002", "\u0003"  # stand for the numbers until they are known
FIELDS = ("client", "site", "contractor", "license", "benchmark")
_NO_SWATCH = ("leader", "frame", "hair", "overland")  # that of the last is its symbol


class Print(Struct, frozen=True):
    """A line of words; x, y is the left end of its baseline. ``text`` may hold SHEET, PAGE and PAGES."""

    x: float
    y: float
    text: str
    size_pt: float = TYPE_PT
    bold: bool = False
    color: str = INK


class Swatch(Struct, frozen=True):
    """A sample of a style or symbol, centered at x, y."""

    x: float
    y: float
    style: str = ""
    symbol: str = ""
    text: str = ""
    size_pt: float = 0.0  # 0: the symbol's own size


class Bar(Struct, frozen=True):
    """The scale bar; x, y is its lower left corner."""

    x: float
    y: float
    bar: ScaleBar


class Keyed(Struct, frozen=True):
    """The key map of a yard in parts; x, y is its lower left corner."""

    x: float
    y: float
    width: float
    height: float
    key: KeyMap


class Picture(Struct, frozen=True):
    """A logo; x, y is its lower left corner."""

    x: float
    y: float
    width: float
    height: float
    logo: Logo


Item = Print | Swatch | Bar | Keyed | Picture


class Block(Struct, frozen=True):
    """Items laid out from the upper left corner (0, 0) downward, and the room they take."""

    items: tuple[Item, ...]
    width: float
    height: float

    def at(self, x: float, y: float) -> tuple[Item, ...]:
        """Return the items with the block's upper left corner at a spot of the paper."""
        return tuple(replace(item, x=item.x + x, y=item.y + y) for item in self.items)


class Entry(Struct, frozen=True):
    """A line of the legend."""

    name: str
    style: str = ""
    symbol: str = ""
    text: str = ""


def legend_entries(marks: PlanMarks, words: Words, under: tuple[Stroke, ...] = ()) -> tuple[Entry, ...]:
    """Return the legend of what is on this plan and ``under`` it, in the order of the look."""
    every = (*marks.ground, *marks.drains, *marks.flags, *under[:1])
    styles = {m.style for m in every if not isinstance(m, Sign | Label)}
    symbols = {m.symbol for m in every if isinstance(m, Sign)}
    found = [style_entry(name, words) for name in STYLES if name in styles and name not in _NO_SWATCH]
    found += [symbol_entry(name, words) for name in SYMBOLS if name in symbols]
    return tuple(found)


def style_entry(name: str, words: Words) -> Entry:
    """Return the legend line of a style; a service's sample carries its letter."""
    kind = name.removeprefix("service.")
    if kind != name:
        return Entry(name=words.word(f"sheets.service.{kind}"), style=name, text=SERVICE_LETTERS[kind])
    return Entry(name=words.word(f"sheets.style.{_key(name)}"), style=name)


def symbol_entry(name: str, words: Words) -> Entry:
    """Return the legend line of a symbol."""
    sample = "1" if name.startswith("crossing") else "A" if name in LEVEL_SIGNS.values() else ""
    return Entry(name=words.word(f"sheets.symbol.{_key(name)}"), symbol=name, text=sample)


def _key(name: str) -> str:
    return name.replace(".", " ")


def legend_block(entries: tuple[Entry, ...], width: float, words: Words, larger: float = 1.0) -> Block:
    """Return the legend in as many columns as the width allows, of about equal height; the lowest that is not too wide.

    Parameters
    ----------
    larger : how much larger than usual its words are, times
    """
    tried = [_legend(entries, width, words, name_pt, larger) for name_pt in NAME_PT]
    return min([block for block in tried if block.width <= width] or tried[-1:], key=lambda block: block.height)


def _legend(entries: tuple[Entry, ...], width: float, words: Words, name_pt: float, larger: float) -> Block:
    type_pt, line_pt = TYPE_PT * larger, LINE_PT * larger
    names = [wrapped(e.name, NARROW, type_pt, name_pt * larger**2) for e in entries]
    widest = max((width_of(line, NARROW, type_pt) for lines in names for line in lines), default=60.0)
    column = SWATCH_PT + 5 + widest + GAP_PT
    columns = max(1, int((width + GAP_PT) // column))
    heights = [
        max(FLAG_ROW_PT if e.text and e.symbol else ROW_PT * larger, line_pt * len(lines) + 2 * larger**2)
        for e, lines in zip(entries, names, strict=True)
    ]
    whole = sum(heights)
    items: list[Item] = [Print(0, -type_pt, words.word("sheets.legend.title"), type_pt, bold=True)]
    top = -line_pt - 2
    x = y = deepest = 0.0
    for entry, lines, height in zip(entries, names, heights, strict=True):
        if y >= whole / columns - 1e-6:
            x, y = x + column, 0.0
        middle = top - y - height / 2
        items.append(Swatch(x + SWATCH_PT / 2, middle, entry.style, entry.symbol, entry.text))
        baseline = middle - 0.36 * type_pt + line_pt * (len(lines) - 1) / 2
        items += [Print(x + SWATCH_PT + 5, baseline - line_pt * i, line, type_pt) for i, line in enumerate(lines)]
        y += height
        deepest = max(deepest, y)
    return Block(tuple(items), x + column - GAP_PT, -top + deepest)


def scale_block(scale: Scale, words: Words) -> Block:
    """Return the scale in words and as a bar, with the print check, and the north arrow."""
    bar = scale_bar(scale)
    left = NORTH_PT + 12
    check = words.word("sheets.scale.check", length=words.measure(bar.check))
    said = scale.text() if scale.metric else words.word("sheets.scale.feet", feet=scale.ft_per_in)
    lines = wrapped(check, NARROW, TYPE_PT, 2 * bar.part_pt + 30)
    items: list[Item] = [
        Swatch(NORTH_PT / 2, -NORTH_PT / 2 - 10, symbol="north", size_pt=NORTH_PT),
        Print(NORTH_PT / 2 - 4, -9, words.word("sheets.north"), 10, bold=True),
        Print(left, -12, words.word("sheets.scale.title", scale=said), 12, bold=True),
        Bar(left + 4, -40, bar),
    ]
    for i in range(3):
        text = f"{i * bar.part:g}"
        text = words.measure(f"{text} {bar.unit}") if i == 2 else text
        x = left + 4 + i * bar.part_pt - width_of(f"{i * bar.part:g}", NARROW, TYPE_PT) / 2
        items.append(Print(x, -29, text))
    y = -52.0
    for line in lines:
        items.append(Print(left, y, line, color=QUIET))
        y -= LINE_PT
    return Block(tuple(items), left + 4 + 2 * bar.part_pt + 30, -y - LINE_PT + 3)


def key_block(key: KeyMap, words: Words) -> Block:
    """Return the key map under its title."""
    west, south, east, north = key.extent
    pt_per_ft = min(KEY_PT[0] / (east - west), KEY_PT[1] / (north - south))
    wide, tall = (east - west) * pt_per_ft, (north - south) * pt_per_ft
    title = Print(0, -TYPE_PT, words.word("sheets.parts.key", part=key.here.name), bold=True)
    return Block((title, Keyed(0, -LINE_PT - 3 - tall, wide, tall, key)), KEY_PT[0], LINE_PT + 3 + KEY_PT[1])


def logo_size(logo: Logo, room: tuple[float, float]) -> tuple[float, float]:
    """Return the width and height of a logo, pt: as large as the room allows, its aspect kept."""
    scale = min(room[0] / logo.width_px, room[1] / logo.height_px)
    return logo.width_px * scale, logo.height_px * scale


def title_block(header: Header, width: float, today: date, words: Words, letterhead: Letterhead = NO_ONE) -> Block:
    """Return the title block: logo, every field of the header that is filled in, who does the work, date and page."""
    items: list[Item] = []
    y = 0.0
    logo = letterhead.logo
    wide, tall = logo_size(logo, LOGO_PT) if logo is not None else (0.0, 0.0)
    if logo is not None and width < LOGO_BESIDE_PT:
        items.append(Picture(0, -tall, wide, tall, logo))
        y = -tall - 3
    for line in wrapped(printable(header.title) or words.word("sheets.untitled"), NARROW_BOLD, 13, width, most=4):
        y -= 14.5
        items.append(Print(0, y, line, 13, bold=True))
    y -= 3
    names = {f: words.word(f"sheets.title_block.{f}") for f in (*FIELDS, "date", "sheet")}
    indent = max(width_of(n, NARROW, TYPE_PT) for n in names.values()) + 6
    said = {"contractor": letterhead.name_for(header), "license": letterhead.firm.license}
    rows = [(names[f], printable(said[f] if f in said else getattr(header, f))) for f in FIELDS]
    rows.append((names["date"], header.date or today.isoformat()))
    rows.append((names["sheet"], words.word("sheets.title_block.page", sheet=SHEET, page=PAGE, pages=PAGES)))
    for name, value in rows:
        if not value:
            continue
        for i, line in enumerate(wrapped(value, NARROW, 10, width - indent, most=5)):
            y -= LINE_PT
            if i == 0:
                items.append(Print(0, y, name, color=QUIET))
            items.append(Print(indent, y, line, 10))
    y -= LINE_PT
    items.append(Print(0, y, words.word("sheets.title_block.program"), color=QUIET))
    if logo is not None and width >= LOGO_BESIDE_PT:
        items.append(Picture(width - wide, y - 1, wide, tall, logo))
    return Block(tuple(items), width, -y + 2)


def caution_block(width: float, words: Words, open_points: tuple[str, ...]) -> Block:
    """Return the caution that stands on every plan, and how much is still open."""
    items: list[Item] = []
    y = 0.0
    for text in (*open_points, words.word("sheets.caution.plan")):
        for line in wrapped(text, NARROW_BOLD, TYPE_PT, width):
            y -= LINE_PT
            items.append(Print(0, y, line, bold=True, color=LEVEL_COLORS["stop"]))
        y -= 3
    return Block(tuple(items), width, -y + 2)


class StripContent(Struct, frozen=True):
    """What stands in the strip of one plan sheet; ``key`` where the yard is drawn in parts."""

    header: Header
    entries: tuple[Entry, ...]
    open_points: tuple[str, ...]
    today: date
    words: Words
    letterhead: Letterhead = NO_ONE
    larger: float = 1.0  # how much larger than usual the words of the legend are, times
    key: KeyMap | None = None

    def title(self, width: float) -> Block:
        """Return the title block at a width."""
        return title_block(self.header, width, self.today, self.words, self.letterhead)

    def legend(self, width: float) -> Block:
        """Return the legend at a width."""
        return legend_block(self.entries, width, self.words, self.larger)

    def caution(self, width: float) -> Block:
        """Return the cautions at a width."""
        return caution_block(width, self.words, self.open_points)

    def scale(self, scale: Scale, *, wide: bool) -> Block:
        """Return the scale with the key map, if there is one, at its right (``wide``) or under it."""
        block = scale_block(scale, self.words)
        if self.key is None:
            return block
        key = key_block(self.key, self.words)
        if wide:
            items = (*block.items, *key.at(block.width + PAD, 0))
            return Block(items, block.width + PAD + key.width, max(block.height, key.height))
        items = (*block.items, *key.at(0, -block.height - PAD))
        return Block(items, max(block.width, key.width), block.height + PAD + key.height)

    def any_scale(self, *, wide: bool) -> Block:
        """Return the block of the scale; its size is the same at every scale."""
        return self.scale(Scale(10, self.header.units == "m"), wide=wide)
