"""Binds plan sheets and following pages into one PDF: builds it twice, the second time knowing how many pages there are."""

import contextlib
from collections import Counter
from collections.abc import Collection
from datetime import date
from functools import partial
from io import BytesIO
from typing import Any

from msgspec import Struct
from msgspec.structs import replace
from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, NextPageTemplate, PageBreak, PageTemplate, Spacer
from reportlab.platypus.doctemplate import LayoutError

from drainsketch.errors import SheetError
from drainsketch.job.ask import extent
from drainsketch.job.model import Job
from drainsketch.look import INK, LEVEL_COLORS, PAPER, QUIET
from drainsketch.review import Review
from drainsketch.sheets.arrange import FOOT_PT, MARGIN
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.flow_marks import NO_FLOW, flow_of, storm_marks, storm_title
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, PLAIN, printable, shortened, width_of
from drainsketch.sheets.ground_marks import backdrop_strokes
from drainsketch.sheets.laid_marks import record_marks
from drainsketch.sheets.layout import PlanSheet, lay_out
from drainsketch.sheets.marks import PlanMarks, Stroke
from drainsketch.sheets.offer import no_offer
from drainsketch.sheets.owner import owner_marks
from drainsketch.sheets.owner_plan import LARGER, picture_legend, picture_marks
from drainsketch.sheets.pages import SETS, Page, check_left_out
from drainsketch.sheets.pair_page import PairSheet, paint_pair, pair_sheet
from drainsketch.sheets.para import outline
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.plan_page import Scene, paint_plan, scene_of
from drainsketch.sheets.scale import Scale, asked_scale, paper_size
from drainsketch.sheets.storm_pair import pair_of
from drainsketch.sheets.strip import StripContent, legend_entries
from drainsketch.sheets.water_marks import Water, with_contour_levels, with_water
from drainsketch.water.results import Water as Storm
from drainsketch.water.storm.results import Storm as Played
from drainsketch.wording import Words

LEAST_COLUMN_PT = 520.0
LETTERS = {"a3": "a4", "a4": "a4"}  # what the letter to the owner is printed on, however large his plan is
GUTTER_PT = 24.0
HEAD_PT = 16.0
BAND_PAD_PT = 4.0


class _Set(Struct, frozen=True):
    """One reader's set: its pages in order, those of them that are drawn, and a band where something stops the job."""

    name: str
    band: str
    size: tuple[float, float]
    words: Words
    pages: tuple[Page, ...]
    drawn: dict[str, "Scene | PairSheet"]


def bound_pages(
    contents: Contents,
    *,
    paper: str,
    scale_ft_per_in: float | None,
    audience: str,
    lang: str,
    leave_out: Collection[str] = (),
) -> tuple[BytesIO, list[str]]:
    """Return the PDF and the name of each of its pages; parameters as in ``write_sheets``."""
    check_left_out(leave_out, audience)
    job, review = contents.job, contents.review
    words = Words.of(job, lang)
    marks = plan_marks(job, review, lang=lang)
    asked = None if scale_ft_per_in is None else asked_scale(scale_ft_per_in, job.header.units)
    shot = any(run.points for run in review.laid.values())
    sets = []
    for name, drawn in (
        ("crew", marks),
        ("owner", owner_marks(marks)),
        ("record", record_marks(marks, review, words)),
    ):
        if audience == name or (audience == "all" and (shot or name != "record")):
            made = _set(contents, drawn, words, reader=name, paper=paper, asked=asked)
            sets.append(replace(made, pages=tuple(page for page in made.pages if page.key not in leave_out)))
    pages: dict[int, list[str]] = {}
    _build(contents, words, sets, pages, total=None)
    total = len(pages)
    pages = {}
    data = _build(contents, words, sets, pages, total=total)
    return data, _page_names(pages)


def _set(contents: Contents, drawn: PlanMarks, words: Words, *, reader: str, paper: str, asked: Scale | None) -> _Set:
    """Return the set of one reader."""
    job, review, ground = contents.job, contents.review, contents.ground
    water = Water(ground, contents.contours) if ground is not None else None
    shown = drawn if water is None else with_water(drawn, water, words, reader=reader)
    points = _open_points(review, words, reader)
    under = backdrop_strokes(job.backdrop) if reader == "crew" else ()
    plain = shown
    if reader == "owner":
        shown = picture_marks(plain, job, review, words)
    sheet = _sheet(contents, shown, points, words, reader=reader, paper=paper, asked=asked, under=under)
    if reader == "owner":
        shown = picture_marks(plain, job, review, words, sheet)
    if water is not None and reader == "crew":
        shown = with_contour_levels(shown, water, words, sheet.scale.pt_per_ft)
    pages: dict[str, Scene | PairSheet | None] = {"plan": scene_of(shown, sheet, under)}
    if contents.storm is not None and reader == "crew":
        pages["storm-plan"] = _storm_scene(contents, shown, sheet, contents.storm, points, words)
    if reader == "owner":
        pages["yard-in-storm"] = _pair_sheet(job, drawn, water, contents.played, points, words, paper)
    band = points[0] if reader == "crew" and any(f.level == "stop" for f in review.findings) else ""
    if reader == "owner" and no_offer(contents, words):
        band = words.word("offer.band.short")
    return _Set(
        name=words.word(f"sheets.page.{reader}"),
        band=band,
        size=sheet.size if reader != "owner" else paper_size(LETTERS.get(paper, "letter")),
        words=words if reader != "owner" else Words.of(job, words.lang, with_ids=False),
        pages=SETS[reader],
        drawn={key: page for key, page in pages.items() if page is not None},
    )


def _storm_scene(
    contents: Contents, crews: PlanMarks, sheet: PlanSheet, storm: Storm, points: tuple[str, ...], words: Words
) -> Scene | None:
    """Return the plan of the storm, at the scale of the crew's plan where its legend leaves the room; None without a storm."""
    flow = flow_of(contents.job, storm, words)
    if flow is NO_FLOW:
        return None
    shown = storm_marks(crews, flow)
    make = partial(_sheet, contents, shown, points, words, reader="storm", paper=sheet.paper)
    try:
        return scene_of(shown, make(asked=sheet.scale))
    except SheetError:
        return scene_of(shown, make(asked=None))


def _pair_sheet(
    job: Job,
    owners: PlanMarks,
    water: Water | None,
    played: Played | None,
    points: tuple[str, ...],
    words: Words,
    paper: str,
) -> PairSheet | None:
    """Return the page of the before and after; None where there is nothing to show, or no room."""
    pair = pair_of(job, owners, water.ground if water is not None else None, played, words)
    found = extent(job)
    if pair is None or found is None:
        return None
    return pair_sheet(pair, points, found, words, paper=paper)


def _page_names(pages: dict[int, list[str]]) -> list[str]:
    """Return what begins on each page, in page order; a page on which nothing begins goes on with the last."""
    names: list[str] = []
    last = ""
    for number in sorted(pages):
        begun = list(dict.fromkeys(pages[number])) or [last]
        last = begun[-1]
        names.append(", ".join(begun))
    return names


def _open_points(review: Review, words: Words, reader: str) -> tuple[str, ...]:
    """Return how much is open before this set can be built, the gravest first."""
    counts: Counter[str] = Counter(f.level for f in review.findings)
    keys = {"crew": (("stop", "stop"), ("settle", "settle")), "owner": (("owner", "stop"),), "record": ()}[reader]
    return tuple(words.word(f"sheets.open.{key}", count=counts[level]) for key, level in keys if counts[level])


def _sheet(
    contents: Contents,
    shown: PlanMarks,
    points: tuple[str, ...],
    words: Words,
    *,
    reader: str,
    paper: str,
    asked: Scale | None,
    under: tuple[Stroke, ...] = (),
) -> PlanSheet:
    job = contents.job
    found = extent(job)
    assert found is not None
    header = job.header
    if reader in ("record", "storm"):
        name = words.word("sheets.page.record") if reader == "record" else storm_title(job.rain, words)
        header = replace(header, title=f"{name}: {header.title}".removesuffix(": "))
    if reader != "owner":
        content = StripContent(
            header, legend_entries(shown, words, under), points, date.today(), words, contents.letterhead
        )
        return lay_out(content, found, paper=paper, asked=asked)
    content = StripContent(header, picture_legend(shown, words), points, date.today(), words, contents.letterhead)
    best = lay_out(content, found, paper=paper, asked=asked)
    for larger in LARGER:  # words as large as they can be without making the yard smaller
        with contextlib.suppress(SheetError):
            sheet = lay_out(replace(content, larger=larger), found, paper=paper, asked=asked)
            if sheet.scale == best.scale:
                return sheet
    return best


def _build(
    contents: Contents, words: Words, sets: list[_Set], pages: dict[int, list[str]], *, total: int | None
) -> BytesIO:
    """Return the file; fills ``pages`` with what stands on each page. Without a total the plan is left unpainted."""
    job, data = contents.job, BytesIO()
    document = BaseDocTemplate(
        data,
        pagesize=sets[0].size,
        lang=words.lang,
        title=printable(job.header.title) or words.word("sheets.untitled"),
        author=printable(contents.letterhead.name_for(job.header)),
        subject=words.word("sheets.subject"),
        creator="drainsketch",
    )
    story: list[Any] = []
    templates: list[PageTemplate] = []

    def turn_to(template: PageTemplate) -> None:
        """Begin a page of a template."""
        templates.append(template)
        if len(templates) > 1:
            story.extend((NextPageTemplate(template.id), PageBreak()))

    for i, one in enumerate(sets):
        told = False  # whether a page of words is open
        for page in one.pages:
            if page.tell is None:
                drawn = one.drawn.get(page.key)
                if drawn is None:
                    continue
                name = one.name if page.key == "plan" else words.word(page.title)
                turn_to(_drawn_page(f"{page.key} {i}", name, drawn, job, words, pages, total))
                story += drawn.words if isinstance(drawn, PairSheet) else [Spacer(1, 1)]
                told = False
                continue
            columns = _columns(one.size)
            flowables = page.tell(contents, one.words, columns[0].width, pages)
            if flowables and not told:
                on_words = partial(_words_page, job, one.band, words, pages, total)
                turn_to(PageTemplate(f"words {i} {page.key}", columns, onPage=on_words, pagesize=one.size))
                told = True
            story += flowables
    document.addPageTemplates(templates)
    try:
        document.build(story, canvasmaker=_canvas)
    except LayoutError:
        raise SheetError("A text of this job is too long for its page; shorten it or choose a larger paper.") from None
    data.seek(0)
    return data


def _drawn_page(
    key: str,
    name: str,
    drawn: Scene | PairSheet,
    job: Job,
    words: Words,
    pages: dict[int, list[str]],
    total: int | None,
) -> PageTemplate:
    """Return the template of a page that is drawn."""
    if isinstance(drawn, PairSheet):
        x0, y0, x1, y1 = drawn.words_room
        room = Frame(x0, y0, x1 - x0, y1 - y0, 0, 0, 0, 0, id="below")
        on_page = partial(_pair_page, job, drawn, words, pages, total)
        return PageTemplate(key, [room], onPage=on_page, pagesize=drawn.size)
    size = drawn.sheet.size
    on_plan = partial(_plan_page, name, drawn, words, pages, total)
    return PageTemplate(key, [Frame(0, 0, *size, id="whole")], onPage=on_plan, pagesize=size)


def _canvas(*args: Any, **kwargs: Any) -> Canvas:
    canvas = Canvas(*args, **{**kwargs, "initialFontName": PLAIN})  # so that no font is named that is not embedded
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.showOutline()
    return canvas


def _columns(size: tuple[float, float]) -> list[Frame]:
    """Return as many columns as the page holds at a readable width."""
    inner, height = size[0] - 2 * MARGIN, size[1] - 2 * MARGIN - FOOT_PT - HEAD_PT
    count = max(1, int((inner + GUTTER_PT) // (LEAST_COLUMN_PT + GUTTER_PT)))
    width = (inner - (count - 1) * GUTTER_PT) / count
    return [
        Frame(MARGIN + i * (width + GUTTER_PT), MARGIN + FOOT_PT, width, height, 0, 0, 0, 0, id=f"column {i}")
        for i in range(count)
    ]


def _plan_page(
    name: str, scene: Scene, words: Words, pages: dict[int, list[str]], total: int | None, canvas: Any, _doc: Any
) -> None:
    page = canvas.getPageNumber()
    pages.setdefault(page, []).append(name)
    outline(canvas, name)
    if total is not None:
        paint_plan(canvas, scene, page, total)
        _foot(canvas, scene.sheet.size, words, page, total)


def _pair_page(
    job: Job, sheet: PairSheet, words: Words, pages: dict[int, list[str]], total: int | None, canvas: Any, doc: Any
) -> None:
    _words_page(job, "", words, pages, total, canvas, doc)
    pages[canvas.getPageNumber()].append(sheet.pair.title)
    outline(canvas, sheet.pair.title)
    if total is not None:
        paint_pair(canvas, sheet)


def _words_page(
    job: Job, band: str, words: Words, pages: dict[int, list[str]], total: int | None, canvas: Any, _doc: Any
) -> None:
    page = canvas.getPageNumber()
    pages.setdefault(page, [])
    width, height = canvas._pagesize
    title = printable(job.header.title) or words.word("sheets.untitled")
    room = width - 2 * MARGIN - (_band(canvas, band, (width, height)) + GUTTER_PT if band else 0.0)
    canvas.setFillColor(HexColor(INK))
    canvas.setFont(NARROW_BOLD, 10)
    canvas.drawString(MARGIN, height - MARGIN - 9, shortened(title, NARROW_BOLD, 10, room))
    _foot(canvas, (width, height), words, page, total or 0)


def _band(canvas: Any, text: str, size: tuple[float, float]) -> float:
    """Paint what stops the job at the right of the head of a page; return how wide that is."""
    wide = width_of(text, NARROW_BOLD, 10) + 2 * BAND_PAD_PT
    right, low = size[0] - MARGIN, size[1] - MARGIN - HEAD_PT + BAND_PAD_PT
    canvas.setFillColor(HexColor(LEVEL_COLORS["stop"]))
    canvas.rect(right - wide, low, wide, HEAD_PT - BAND_PAD_PT, stroke=0, fill=1)
    canvas.setFillColor(HexColor(PAPER))
    canvas.setFont(NARROW_BOLD, 10)
    canvas.drawString(right - wide + BAND_PAD_PT, size[1] - MARGIN - 9, text)
    return wide


def _foot(canvas: Any, size: tuple[float, float], words: Words, page: int, total: int) -> None:
    """Paint the foot of a page: the caution at the left, the page number at the right."""
    number = words.word("sheets.foot.page", page=page, pages=total)
    room = size[0] - 2 * MARGIN - width_of(number, NARROW, 9) - 12
    canvas.setFillColor(HexColor(QUIET))
    canvas.setFont(NARROW, 9)
    canvas.drawString(MARGIN, MARGIN, shortened(words.word("sheets.foot.caution"), NARROW, 9, room))
    canvas.drawRightString(size[0] - MARGIN, MARGIN, number)
