"""Binds plan sheets and following pages into one PDF: builds it twice, the second time knowing how many pages there are."""

from collections import Counter
from collections.abc import Callable
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
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, PLAIN, printable, shortened, width_of
from drainsketch.sheets.laid_marks import record_marks
from drainsketch.sheets.layout import PlanSheet, lay_out
from drainsketch.sheets.marks import PlanMarks
from drainsketch.sheets.owner import owner_marks
from drainsketch.sheets.pages import crew_pages, owner_pages, record_pages
from drainsketch.sheets.para import outline
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.plan_page import Scene, paint_plan, scene_of
from drainsketch.sheets.scale import Scale, asked_scale
from drainsketch.sheets.strip import StripContent, legend_entries
from drainsketch.sheets.water_marks import Water, with_contour_levels, with_water
from drainsketch.water.results import Water as Storm
from drainsketch.wording import Words

LEAST_COLUMN_PT = 520.0
GUTTER_PT = 24.0
HEAD_PT = 16.0
BAND_PAD_PT = 4.0


class _Set(Struct, frozen=True):
    """One reader's set: a plan and the pages after it, each with a band where something stops the job."""

    name: str
    band: str
    scene: Scene
    story: Callable[..., list[Any]]


def bound_pages(
    job: Job,
    review: Review,
    *,
    paper: str,
    scale_ft_per_in: float | None,
    audience: str,
    lang: str,
    water: Water | None = None,
    storm: Storm | None = None,
) -> tuple[BytesIO, list[str]]:
    """Return the PDF and the name of each of its pages; parameters as in ``write_sheets``."""
    words = Words.of(job, lang)
    marks = plan_marks(job, review, lang=lang)
    asked = None if scale_ft_per_in is None else asked_scale(scale_ft_per_in, job.header.units)
    sets = []
    readers: tuple[tuple[str, PlanMarks, Callable[..., list[Any]]], ...] = (
        ("crew", marks, partial(crew_pages, storm=storm)),
        ("owner", owner_marks(marks), owner_pages),
        ("record", record_marks(marks, review, words), record_pages),
    )
    shot = any(run.points for run in review.laid.values())
    for name, drawn, story in readers:
        if audience == name or (audience == "all" and (shot or name != "record")):
            shown = drawn if water is None else with_water(drawn, water, words, reader=name)
            points = _open_points(review, words, name)
            sheet = _sheet(job, shown, points, words, reader=name, paper=paper, asked=asked)
            if water is not None and name == "crew":
                shown = with_contour_levels(shown, water, words, sheet.scale.pt_per_ft)
            scene = scene_of(shown, sheet)
            said = words if name != "owner" else Words.of(job, lang, with_ids=False)
            stops = name == "crew" and any(f.level == "stop" for f in review.findings)
            band = points[0] if stops else ""
            sets.append(_Set(words.word(f"sheets.page.{name}"), band, scene, partial(story, job, review, said)))
    pages: dict[int, list[str]] = {}
    _build(job, words, sets, pages, total=None)
    total = len(pages)
    pages = {}
    data = _build(job, words, sets, pages, total=total)
    return data, _page_names(pages)


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
    job: Job, shown: PlanMarks, points: tuple[str, ...], words: Words, *, reader: str, paper: str, asked: Scale | None
) -> PlanSheet:
    found = extent(job)
    assert found is not None
    header = job.header
    if reader == "record":
        header = replace(header, title=f"{words.word('sheets.page.record')}: {header.title}".removesuffix(": "))
    content = StripContent(header, legend_entries(shown, words), points, date.today(), words)
    return lay_out(content, found, paper=paper, asked=asked)


def _build(job: Job, words: Words, sets: list[_Set], pages: dict[int, list[str]], *, total: int | None) -> BytesIO:
    """Return the file; fills ``pages`` with what stands on each page. Without a total the plan is left unpainted."""
    data = BytesIO()
    document = BaseDocTemplate(
        data,
        pagesize=sets[0].scene.sheet.size,
        lang=words.lang,
        title=printable(job.header.title) or words.word("sheets.untitled"),
        author=printable(job.header.contractor),
        subject=words.word("sheets.subject"),
        creator="drainsketch",
    )
    story: list[Any] = []
    templates = []
    for i, one in enumerate(sets):
        sheet = one.scene.sheet
        on_plan = partial(_plan_page, one, words, pages, total)
        on_words = partial(_words_page, job, one.band, words, pages, total)
        columns = _columns(sheet.size)
        whole = Frame(0, 0, *sheet.size, id="whole")
        templates += [
            PageTemplate(f"plan {i}", [whole], onPage=on_plan, pagesize=sheet.size),
            PageTemplate(f"words {i}", columns, onPage=on_words, pagesize=sheet.size),
        ]
        if i:
            story += [NextPageTemplate(f"plan {i}"), PageBreak()]
        width = columns[0].width
        story += [Spacer(1, 1), NextPageTemplate(f"words {i}"), PageBreak(), *one.story(width, pages)]
    document.addPageTemplates(templates)
    try:
        document.build(story, canvasmaker=_canvas)
    except LayoutError:
        raise SheetError("A text of this job is too long for its page; shorten it or choose a larger paper.") from None
    data.seek(0)
    return data


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


def _plan_page(one: _Set, words: Words, pages: dict[int, list[str]], total: int | None, canvas: Any, _doc: Any) -> None:
    page = canvas.getPageNumber()
    pages.setdefault(page, []).append(one.name)
    outline(canvas, one.name)
    if total is not None:
        paint_plan(canvas, one.scene, page, total)
        _foot(canvas, one.scene.sheet.size, words, page, total)


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
