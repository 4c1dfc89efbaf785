"""The pages of the offer: a letter to the owner in large type, its price, and the lines to sign. Only an offer can be signed."""

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    HRFlowable,
    Image,
    Indenter,
    KeepTogether,
    Spacer,
    Table,
    TableStyle,
)

from drainsketch.job.firm import MOST_TERMS, Letterhead
from drainsketch.job.model import Header
from drainsketch.job.options import option_names
from drainsketch.look import INK, LEVEL_COLORS, PAPER, QUIET
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.fonts import BOLD, PLAIN
from drainsketch.sheets.offer import (
    Amount,
    allowance_words,
    amounts,
    dated,
    is_offer,
    no_offer,
    option_amounts,
    valid_words,
)
from drainsketch.sheets.option_table import name_of
from drainsketch.sheets.page_frame import title_of
from drainsketch.sheets.para import BODY, Section, para
from drainsketch.sheets.strip import logo_size
from drainsketch.sheets.text import LABEL_LENGTH, LINE_LENGTH, paragraphs, plain
from drainsketch.takeoff.price.money import dollars
from drainsketch.wording import Words

Names = dict[int, list[str]]
INDENT_PT = 34.0  # beside the margin of the page
WIDEST_PT = 500.0  # a longer line is hard to read
LOGO_ROOM = (190.0, 64.0)
NAMED_PT = 88.0  # room for the name before what is said
AMOUNT_PT = 110.0
SIGNED_PT = 30.0  # room to sign above a line
SEPARATE = HexColor("#cfd6dc")

SAID = ParagraphStyle("said", parent=BODY, fontSize=11, leading=15.5, spaceAfter=5)
SAID_STRONG = ParagraphStyle("said strong", parent=SAID, fontName=BOLD)
ITEM = ParagraphStyle("item", parent=SAID, leftIndent=28, bulletFontName=PLAIN, bulletFontSize=11, bulletIndent=2)
NAMED = ParagraphStyle("named", parent=SAID, textColor=QUIET, spaceAfter=0)
VALUE = ParagraphStyle("value", parent=SAID, spaceAfter=0)
FINE = ParagraphStyle("fine", parent=BODY, fontSize=9.5, leading=13, spaceAfter=4)
FIRM_NAME = ParagraphStyle("firm", fontName=BOLD, fontSize=14, leading=18, alignment=TA_RIGHT, textColor=INK)
FIRM_LINE = ParagraphStyle("firm line", fontName=PLAIN, fontSize=9.5, leading=12.5, alignment=TA_RIGHT, textColor=QUIET)
TITLE = ParagraphStyle("title", fontName=BOLD, fontSize=20, leading=26, spaceAfter=6, textColor=INK)
HEAD = ParagraphStyle("owner head", fontName=BOLD, fontSize=14, leading=18, spaceAfter=5, textColor=INK)
SUM = ParagraphStyle("sum", parent=VALUE, fontName=BOLD, fontSize=13)
AMOUNT = ParagraphStyle("amount", parent=VALUE, alignment=TA_RIGHT)
SUM_AMOUNT = ParagraphStyle("sum amount", parent=SUM, alignment=TA_RIGHT)
BAND = ParagraphStyle("band", fontName=BOLD, fontSize=13, leading=17, textColor=PAPER)
BAND_WHY = ParagraphStyle("band why", parent=BAND, fontName=PLAIN, fontSize=10.5, leading=14)


def measure(width: float) -> float:
    """Return how wide the words of the offer run on a page or column of this width, pt."""
    return min(WIDEST_PT, width - 2 * INDENT_PT)


def indented(parts: Iterable[Flowable], width: float) -> list[Flowable]:
    """Return parts of the offer with room beside them."""
    right = width - INDENT_PT - measure(width)
    return [Indenter(INDENT_PT, right), *parts, Indenter(-INDENT_PT, -right)]


def letter_head(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the head of the letter: who makes the offer, what it is, to whom it goes, and why it may be none yet."""
    job, wide, offered = contents.job, measure(width), is_offer(contents, words)
    head: list[Flowable] = _firm(contents.letterhead, job.header, words, wide)
    head.append(Section(words.word("offer.title" if offered else "offer.proposal"), names, TITLE))
    rows = [
        ("to", job.header.client),
        ("site", job.header.site),
        ("date", dated(job)),
        ("valid", valid_words(job, contents.price, words) if contents.price is not None and offered else ""),
    ]
    said = [
        [para(words.word(f"offer.head.{key}"), NAMED), para(text, VALUE, LINE_LENGTH)]
        for key, text in rows
        if text.strip()
    ]
    band = _band(no_offer(contents, words), words, wide)
    return [*head, _plain_table(said, [NAMED_PT, wide - NAMED_PT]), Spacer(0, 6), *band]


def _firm(letterhead: Letterhead, header: Header, words: Words, wide: float) -> list[Flowable]:
    firm, name = letterhead.firm, letterhead.name_for(header)
    lines = [*firm.address, "  ·  ".join(one for one in (firm.phone, firm.email, firm.web) if one.strip())]
    if firm.license.strip():
        lines.append(words.word("offer.head.license", license=firm.license))
    said = [para(name, FIRM_NAME, LINE_LENGTH)] if name.strip() else []
    said += [para(line, FIRM_LINE, 2 * LINE_LENGTH) for line in lines if line.strip()]
    if letterhead.logo is None and not said:
        return []
    left = LOGO_ROOM[0] + 12 if letterhead.logo is not None else 0.0
    row: list[Any] = [said]
    if letterhead.logo is not None:
        size = logo_size(letterhead.logo, LOGO_ROOM)
        row.insert(0, Image(BytesIO(letterhead.logo.png), *size, lazy=0, hAlign="LEFT"))
    widths = [left, wide - left] if left else [wide]
    rule = HRFlowable("100%", 0.8, color=SEPARATE, spaceBefore=4, spaceAfter=8)
    return [Spacer(0, 8), _plain_table([row], widths), rule]


def _band(reasons: Sequence[str], words: Words, wide: float) -> list[Flowable]:
    """Return the band that says why this is no offer yet; [] when it is one."""
    if not reasons:
        return []
    said = [para(words.word("offer.band.title"), BAND), *(para(reason, BAND_WHY) for reason in reasons)]
    look = [
        ("BACKGROUND", (0, 0), (-1, -1), HexColor(LEVEL_COLORS["stop"])),
        *((f"{side}PADDING", (0, 0), (-1, -1), 8) for side in ("TOP", "BOTTOM", "LEFT", "RIGHT")),
    ]
    return [Table([[said]], colWidths=[wide], style=TableStyle(look), hAlign="LEFT"), Spacer(0, 8)]


def section(title: str, parts: Iterable[Flowable], names: Names, *, whole: bool = False) -> list[Flowable]:
    """Return a heading with what stands under it; [] when nothing does. Heading and first two parts stay together, or the whole."""
    every = [*parts]
    if not every:
        return []
    kept = every if whole else every[:2]
    return [KeepTogether([Section(title, names, HEAD), *kept]), *every[len(kept) :], Spacer(0, 5)]


def listed(texts: Iterable[str], *, numbered: bool = False) -> list[Flowable]:
    """Return texts as the items of a list."""
    return [para(text, ITEM, bullet=f"{i}." if numbered else "–") for i, text in enumerate(texts, 1)]


def price_page(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the price; [] without one. One that is not complete shows no figure at all."""
    price, firm = contents.price, contents.letterhead.firm
    if price is None or not price.lines:
        return []
    wide = measure(width)
    title = words.word("offer.price.title")
    if contents.job.aside and contents.job.option:
        title = words.word("offer.price.of_option", option=plain(contents.job.option, LABEL_LENGTH))
    parts: list[Flowable] = [Section(title, names, HEAD)]
    parts += _band(no_offer(contents, words), words, wide)
    if price.complete:
        parts.append(_amounts(list(amounts(contents.job, price, words)), wide))
        parts += [para(text, FINE) for text in allowance_words(contents, words)]
    else:
        parts.append(para(words.word("offer.price.none"), SAID_STRONG))
    if firm.insured.strip():
        parts += [Spacer(0, 4), para(words.word("offer.price.insured", said=firm.insured), FINE)]
    return [KeepTogether(parts), Spacer(0, 10)]


def _amounts(rows: Sequence[Amount], wide: float) -> Table:
    body: list[list[Any]] = []
    look: list[tuple[Any, ...]] = []
    for at, row in enumerate(rows):
        what, amount = (SUM, SUM_AMOUNT) if row.is_sum else (VALUE, AMOUNT)
        body.append([para(row.what, what, LINE_LENGTH), para(row.amount, amount)])
        look.append(("LINEBELOW", (0, at), (-1, at), 0.5, SEPARATE))
        if row.is_sum:
            look.append(("LINEABOVE", (0, at), (-1, at), 1.2, HexColor(INK)))
    return _plain_table(body, [wide - AMOUNT_PT, AMOUNT_PT], look, pad=4)


def told_pages(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the contractor's own words, the terms of business, and whose matter it is where the water goes.

    The last of them stands on the page of the lines to sign, which are never alone.
    """
    note = [para(line, SAID) for line in paragraphs(contents.job.offer.note)]
    terms = [para(line, FINE) for line in paragraphs(contents.letterhead.firm.terms, MOST_TERMS)]
    lawful = [para(words.word(f"offer.lawful.{key}"), SAID) for key in ("text", "promise")]
    last = section(words.word("offer.lawful.title"), lawful, names, whole=True)
    return [
        *section(words.word("offer.note.title"), note, names),
        *section(words.word("offer.terms.title"), terms, names),
        CondPageBreak(_tall([*last, *acceptance(contents, words, width, {})], measure(width))),
        *last,
    ]


def _tall(parts: Iterable[Flowable], wide: float) -> float:
    """Return how tall parts are together, pt."""
    inner = [one for part in parts for one in (getattr(part, "_content", None) or [part])]
    return sum(float(one.wrap(wide, 1e6)[1] + one.getSpaceBefore() + one.getSpaceAfter()) for one in inner)


def acceptance(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the lines to sign, for both sides; [] for what is no offer."""
    job, price = contents.job, contents.price
    if price is None or not is_offer(contents, words):
        return []
    key = "offer.accept.choice" if job.aside else "offer.accept.text"
    named = title_of(job.header.title, words)
    drawn = name_of(option_names(job)[job.option_at], words)
    said = words.word(key, job=named, date=dated(job), total=dollars(price.total), drawn=drawn)
    parts: list[Flowable] = [Section(words.word("offer.accept.title"), names, HEAD), para(said, SAID)]
    wide = measure(width)
    if job.aside:
        if contents.options:
            parts.append(_amounts(list(option_amounts(contents.options, words)), wide))
        parts.append(_lines([(words.word("offer.accept.option"),)], [wide]))
    sides = [words.word(f"offer.accept.{side}") for side in ("owner", "contractor")]
    half = (wide - 24) / 2
    keys = [words.word(f"offer.accept.{key}") for key in ("name", "signature", "date")]
    heads = [[para(sides[0], SAID_STRONG), "", para(sides[1], SAID_STRONG)]]
    parts.append(_plain_table(heads, [half, 24, half]))
    parts.append(_lines([(key, "", key) for key in keys], [half, 24, half]))
    return [KeepTogether(parts)]


def _lines(rows: Sequence[tuple[str, ...]], widths: Sequence[float]) -> Table:
    """Return ruled lines to write on, each with what it is for under it."""
    body = [[para(text, NAMED) if text else "" for text in row] for row in rows]
    look = [
        ("LINEABOVE", (column, at), (column, at), 0.8, HexColor(INK))
        for at, row in enumerate(rows)
        for column, text in enumerate(row)
        if text
    ]
    spaced: list[list[Any]] = []
    rules: list[tuple[Any, ...]] = []
    for at, row in enumerate(body):
        spaced += [[""] * len(row), row]
        rules += [(name, (c, 2 * at + 1), (c, 2 * at + 1), *rest) for name, (c, r), _, *rest in look if r == at]
    heights = [SIGNED_PT, None] * len(rows)
    return _plain_table(spaced, list(widths), rules, heights=heights)


def _plain_table(
    rows: list[list[Any]],
    widths: list[float],
    look: Sequence[tuple[Any, ...]] = (),
    *,
    pad: float = 1,
    heights: list[float | None] | None = None,
) -> Table:
    style = [
        ("FONT", (0, 0), (-1, -1), PLAIN, 11),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), pad),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
        *look,
    ]
    return Table(rows, colWidths=widths, rowHeights=heights, style=TableStyle(style), hAlign="LEFT")
