"""The owner's page of options: each as a small picture, all at one scale, and under them what they come to in plain words."""

from typing import Any

from msgspec.structs import replace
from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, Spacer, Table, TableStyle

from drainsketch.job.ask import extent
from drainsketch.look import INK, STYLES
from drainsketch.options import Variant
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.layout import PlanSheet, spread
from drainsketch.sheets.marks import Disc, Mark, PlanMarks
from drainsketch.sheets.option_table import Cell, OptionTable, one_line, option_table
from drainsketch.sheets.owner import owner_marks
from drainsketch.sheets.paint import paint_line
from drainsketch.sheets.para import CELL, CELL_PAD_PT, CELL_STRONG, QUIET_TEXT, SMALL, STRONG, Section, para
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.plan_page import Scene, paint_yard, scene_of
from drainsketch.sheets.scale import Scale, largest_fit
from drainsketch.wording import Words

LABEL_SHARE = 0.24  # of the width; the options part the rest
TALLEST_PT = 170.0  # of a picture
INSET_PT = 5.0
GAP_PT = 7.0  # between a figure and its difference
NOTE_LENGTH = 400
NAME = ParagraphStyle("option", parent=CELL_STRONG, fontSize=11, leading=13)
PRICE = ParagraphStyle("option price", parent=CELL_STRONG, fontSize=12, leading=14.5)


class Picture(Flowable):  # type: ignore[misc]
    """The yard with the drains of one option, to scale."""

    def __init__(self, scene: Scene) -> None:
        super().__init__()
        self.scene = scene

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Return the room it takes."""
        size: tuple[float, float] = self.scene.sheet.size
        return size

    def draw(self) -> None:
        """Paint it."""
        paint_yard(self.canv, self.scene)
        left, low, right, high = self.scene.sheet.frame
        corners = [(left, low), (right, low), (right, high), (left, high)]
        paint_line(self.canv, corners, STYLES["frame"], closed=True)


class Figure(Flowable):  # type: ignore[misc]
    """A figure with its difference behind it on one line, or below it where there is no room."""

    def __init__(self, text: Any, against: Any) -> None:
        super().__init__()
        self._text, self._against = text, against

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the room it takes."""
        _, tall = self._text.wrap(width, height)
        _, below = self._against.wrap(width, height)
        used, more = max(self._text.getActualLineWidths0()), max(self._against.getActualLineWidths0())
        self._at = used + GAP_PT if tall < 2 * self._text.style.leading and used + GAP_PT + more <= width else None
        self._low = below
        return width, tall if self._at is not None else tall + below

    def draw(self) -> None:
        """Paint both."""
        if self._at is not None:
            self._text.drawOn(self.canv, 0, 0)
            self._against.drawOn(self.canv, self._at, 0)
        else:
            self._text.drawOn(self.canv, 0, self._low)
            self._against.drawOn(self.canv, 0, 0)


def options_page(contents: Contents, words: Words, width: float, names: dict[int, list[str]]) -> list[Flowable]:
    """Return the page of options; [] where a job has one only."""
    options = contents.options
    if len(options) < 2:
        return []
    column = width * (1 - LABEL_SHARE) / len(options)
    scenes = pictures(options, column - 2 * CELL_PAD_PT, words)
    table = option_table(options, words, "owner")
    grid = _grid(table, options, scenes, words, width)
    tall = grid.wrap(width, 1e6)[1]
    warned = [para(text, STRONG) for text in table.warned]
    said = table.said[-1:] if scenes else table.said  # the caution; what else is said stands beside the pictures
    head = [CondPageBreak(min(tall + 60, 640)), Section(words.word("options.title"), names)]
    return [*head, *warned, grid, Spacer(0, 4), *(para(text, SMALL) for text in said)]


def pictures(options: tuple[Variant, ...], width_pt: float, words: Words) -> tuple[Scene, ...]:
    """Return the small plans of options, at the largest common scale that is not too wide or tall.

    Parameters
    ----------
    width_pt : of one picture, its frame included
    """
    extents = [found for one in options if (found := extent(one.job)) is not None]
    if not extents:
        return ()
    west, south, east, north = zip(*extents, strict=True)
    whole = (min(west), min(south), max(east), max(north))
    wide, high = spread(whole)
    room = (width_pt - 2 * INSET_PT, TALLEST_PT - 2 * INSET_PT)
    scale = largest_fit(wide, high, room, words.units)
    center = ((whole[0] + whole[2]) / 2, (whole[1] + whole[3]) / 2)
    size = (width_pt, high * scale.pt_per_ft + 2 * INSET_PT)
    sheet = PlanSheet("", size, (0.0, 0.0, *size), (0.0, 0.0, *size), scale, center, (), ())
    return tuple(scene_of(_bare(one, words), sheet) for one in options)


def _bare(one: Variant, words: Words) -> PlanMarks:
    """Return the owner's marks of an option without services, root zones and words: they stand on the plan."""
    job = one.job
    marks = owner_marks(plan_marks(job, one.study.whole, lang=words.lang))
    services = {s.id for s in job.services}

    def kept(mark: Mark) -> bool:
        return mark.owner not in services and not (isinstance(mark, Disc) and mark.style == "root zone")

    ground, drains = (tuple(filter(kept, some)) for some in (marks.ground, marks.drains))
    return replace(marks, ground=ground, drains=drains, flags=(), labels=())


def _grid(
    table: OptionTable, options: tuple[Variant, ...], scenes: tuple[Scene, ...], words: Words, width: float
) -> Table:
    """Return pictures and figures as one table, an option a column."""
    rows: list[list[Any]] = [["", *(_name(name, i == table.drawn, words) for i, name in enumerate(table.names))]]
    if scenes:
        scale = para(words.word("options.scale", scale=_scale_text(scenes[0].sheet.scale, words)), QUIET_TEXT)
        against = para(words.word("options.compared", first=table.names[0]), QUIET_TEXT)
        rows.append([[scale, against, *(para(text, SMALL) for text in table.said[:-1])], *map(Picture, scenes)])
    if any(one.note.strip() for one in options):
        notes = (para(one_line(one.note), CELL, NOTE_LENGTH) for one in options)
        rows.append([para(words.word("options.different"), CELL), *notes])
    for row in table.rows:
        style = PRICE if row.key == "total_usd" else CELL_STRONG
        cells = (_cell(c, style) for c in row.cells)
        rows.append([para(row.label, CELL), *cells])
    column = width * (1 - LABEL_SHARE) / len(options)
    style = TableStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), CELL_PAD_PT),
            ("RIGHTPADDING", (0, 0), (-1, -1), CELL_PAD_PT),
            ("TOPPADDING", (0, 0), (-1, -1), 2.0),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3.0),
            ("LINEBELOW", (0, 0), (-1, 0), 0.9, HexColor(INK)),
            ("LINEBELOW", (0, 1), (-1, -1), 0.4, HexColor("#b9c0c8")),
        ]
    )
    return Table(
        rows, colWidths=[width * LABEL_SHARE, *[column] * len(options)], style=style, hAlign="LEFT", repeatRows=1
    )


def _cell(cell: Cell, style: ParagraphStyle) -> Flowable:
    """Return a figure with its difference behind it, or below where the column is narrow."""
    return Figure(para(cell.text, style), para(cell.against, QUIET_TEXT)) if cell.against else para(cell.text, style)


def _name(name: str, is_drawn: bool, words: Words) -> list[Flowable]:
    said: list[Flowable] = [para(name, NAME)]
    return [*said, para(words.word("options.on_plan"), QUIET_TEXT)] if is_drawn else said


def _scale_text(scale: Scale, words: Words) -> str:
    return scale.text() if scale.metric else words.word("sheets.scale.feet", feet=scale.ft_per_in)
