"""Paragraphs and tables of following pages. ``para`` is the only maker of paragraphs: user text never acts as markup."""

from typing import Any
from xml.sax.saxutils import escape

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, LongTable, Paragraph, Spacer, Table, TableStyle

from drainsketch.look import INK, LEVEL_COLORS, QUIET
from drainsketch.sheets.fonts import BOLD, NARROW, NARROW_BOLD, PLAIN, load_fonts, printable, width_of
from drainsketch.sheets.schedules import Column, Heading, Schedule
from drainsketch.sheets.text import TEXT_LENGTH

# nothing is ever fetched: no host and no scheme is trusted, and text is escaped besides
rl_config.trustedHosts = []
rl_config.trustedSchemes = []
rl_config.useA85 = 0  # a fifth smaller and a tenth faster: no reader needs letters in place of bytes

CELL_LENGTH = 600  # longer text is cut in a table, whose rows do not break over pages
LEAST_TABLE_PT = 140.0  # a table does not begin with less room than this
CELL_PAD_PT = 4.0

load_fonts()
HEADING = ParagraphStyle("heading", fontName=BOLD, fontSize=13, leading=16, spaceBefore=12, spaceAfter=4, textColor=INK)
BODY = ParagraphStyle("body", fontName=PLAIN, fontSize=10, leading=13.5, spaceAfter=4, textColor=INK)
STRONG = ParagraphStyle("strong", parent=BODY, fontName=BOLD)
CELL = ParagraphStyle("cell", fontName=NARROW, fontSize=9.5, leading=11.5, textColor=INK)
CELL_RIGHT = ParagraphStyle("cell right", parent=CELL, alignment=TA_RIGHT)
CELL_STRONG = ParagraphStyle("cell strong", parent=CELL, fontName=NARROW_BOLD)
HEAD = ParagraphStyle("head", parent=CELL, fontName=NARROW_BOLD, fontSize=9, leading=10.5)
HEAD_RIGHT = ParagraphStyle("head right", parent=HEAD, alignment=TA_RIGHT)
SMALL = ParagraphStyle("small", parent=CELL, leading=11.8, spaceAfter=3)
SMALL_STRONG = ParagraphStyle("small strong", parent=SMALL, fontName=NARROW_BOLD)
QUIET_TEXT = ParagraphStyle("quiet", parent=CELL, fontSize=9, textColor=QUIET)


def para(text: str, style: ParagraphStyle = BODY, longest: int = TEXT_LENGTH, bullet: str | None = None) -> Paragraph:
    """Return a paragraph that prints its text literally, whatever the text holds; ``bullet`` stands before its first line."""
    return Paragraph(escape(printable(text, longest)), style, bulletText=bullet)


class Section(Flowable):  # type: ignore[misc]
    """A heading that also stands in the outline, at a level under that of its page, and names its page."""

    def __init__(
        self, title: str, names: dict[int, list[str]], style: ParagraphStyle = HEADING, level: int = 0
    ) -> None:
        super().__init__()
        self._level = level
        self._title = printable(title)
        self._para = para(title, style)
        self._names = names

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the room the heading takes."""
        w, h = self._para.wrap(width, height)
        return w, h + 4

    def getSpaceBefore(self) -> float:  # noqa: N802 (name set by the PDF writer)
        """Return the room above the heading, pt."""
        return 9.0

    def draw(self) -> None:
        """Paint the heading and note it."""
        self._para.drawOn(self.canv, 0, 4)
        self.canv.outline(self._title, self._level)
        self._names.setdefault(self.canv.getPageNumber(), []).append(self._title)


def column_widths(schedule: Schedule, width: float) -> list[float]:
    """Return the widths of a schedule's columns, pt: by their shares, but so that no word of a head is broken.

    What a narrow column needs more than its share comes from the others, as much as each has to spare.
    """
    shares = sum(c.share for c in schedule.columns)
    widths = [width * c.share / shares for c in schedule.columns]
    least = [
        max((width_of(word, HEAD.fontName, HEAD.fontSize) for word in c.head.split()), default=0.0)
        + 2 * CELL_PAD_PT
        + 0.5
        for c in schedule.columns
    ]
    wanted = sum(max(0.0, need - has) for need, has in zip(least, widths, strict=True))
    spare = sum(max(0.0, has - need) for need, has in zip(least, widths, strict=True))
    if not wanted or wanted > spare:
        return widths
    return [max(need, has - wanted / spare * max(0.0, has - need)) for need, has in zip(least, widths, strict=True)]


def schedule_flowables(schedule: Schedule, width: float, names: dict[int, list[str]]) -> list[Flowable]:
    """Return a schedule as heading, table (its head repeated on each page) and note; [] when it has no rows."""
    if not schedule.rows:
        return []
    widths = column_widths(schedule, width)
    body: list[list[Any]] = [[para(c.head, HEAD_RIGHT if c.right else HEAD) for c in schedule.columns]]
    style: list[tuple[Any, ...]] = [
        ("FONT", (0, 0), (-1, -1), CELL.fontName, CELL.fontSize),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), CELL_PAD_PT),
        ("RIGHTPADDING", (0, 0), (-1, -1), CELL_PAD_PT),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
        ("NOSPLIT", (0, 0), (0, min(2, len(schedule.rows)))),  # no lone row at the foot of a page, nor at the head
        ("NOSPLIT", (0, -min(3, len(schedule.rows))), (0, -1)),
        ("BACKGROUND", (0, 0), (-1, 0), HexColor("#e9edf1")),
        ("LINEBELOW", (0, 0), (-1, 0), 0.9, HexColor(INK)),
        ("LINEBELOW", (0, 1), (-1, -1), 0.4, HexColor("#b9c0c8")),
    ]
    for i, row in enumerate(schedule.rows, start=1):
        if len(row) == 1:
            body.append([para(row[0], CELL_STRONG), *([""] * (len(widths) - 1))])
            style += [("SPAN", (0, i), (-1, i)), ("NOSPLIT", (0, i), (0, min(i + 1, len(schedule.rows))))]
            continue
        if any(isinstance(text, Heading) for text in row):
            style.append(("NOSPLIT", (0, i), (0, min(i + 1, len(schedule.rows)))))
        cells = zip(row, schedule.columns, strict=True)
        body.append(
            [para(t, _cell_style(t, c, schedule.has_ids and j == 0), CELL_LENGTH) for j, (t, c) in enumerate(cells)]
        )
    table = LongTable(body, colWidths=widths, repeatRows=1, style=TableStyle(style), hAlign="LEFT")
    note = [para(schedule.note, QUIET_TEXT), Spacer(0, 2)] if schedule.note else []
    told_pt = sum(flowable.wrap(width, 1e4)[1] for flowable in note)
    return [CondPageBreak(LEAST_TABLE_PT + told_pt), Section(schedule.title, names), *note, table]


def _cell_style(text: str, column: Column, is_id: bool) -> ParagraphStyle:
    if isinstance(text, Heading) or (is_id and not column.right):
        return CELL_STRONG
    return CELL_RIGHT if column.right else CELL


def warning_flowable(letter: str, level: str, texts: tuple[tuple[str, str], ...], width: float) -> Flowable:
    """Return one warning: its letter and level at the left in a colored bar, its sentences at the right.

    Parameters
    ----------
    level : the level's name in the sheet's language, and its key in the look, joined by ``|``
    texts : pairs of style ('strong', 'body', 'quiet') and sentence
    """
    key, name = level.split("|", 1)
    styles = {"strong": CELL_STRONG, "body": CELL, "quiet": QUIET_TEXT}
    mark = ParagraphStyle("mark", parent=CELL_STRONG, textColor="#ffffff", fontSize=11, leading=13)
    small = ParagraphStyle("level", parent=CELL_STRONG, textColor="#ffffff", fontSize=9, leading=11)
    table = Table(
        [[[para(letter, mark), para(name, small)], [para(t, styles[s], CELL_LENGTH) for s, t in texts if t]]],
        colWidths=[62, width - 62],
        style=TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), CELL.fontName, CELL.fontSize),
                ("BACKGROUND", (0, 0), (0, 0), HexColor(LEVEL_COLORS[key])),
                ("BOX", (0, 0), (-1, -1), 0.9, HexColor(LEVEL_COLORS[key])),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("TOPPADDING", (0, 0), (-1, -1), 4),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 5),
            ]
        ),
        hAlign="LEFT",
    )
    return KeepTogether([table, Spacer(0, 5)])
