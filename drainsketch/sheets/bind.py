"""Binds the sets of all readers into one PDF."""

from collections.abc import Collection, Mapping
from functools import partial
from io import BytesIO
from typing import Any

from msgspec.structs import replace
from reportlab.platypus import BaseDocTemplate, Frame, NextPageTemplate, PageBreak, PageTemplate, Spacer
from reportlab.platypus.doctemplate import LayoutError

from drainsketch.errors import SheetError
from drainsketch.files.jobfile import job_text
from drainsketch.files.sheetfile import ATTACHED
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.fonts import printable
from drainsketch.sheets.layers import LAYERS
from drainsketch.sheets.page_frame import columns, paint_foot, paint_head, title_of
from drainsketch.sheets.pages import Page, check_left_out
from drainsketch.sheets.pair_page import PairSheet, paint_pair
from drainsketch.sheets.para import schedule_flowables
from drainsketch.sheets.pdf_canvas import Attached, SetLabel, SheetCanvas
from drainsketch.sheets.plan_page import Scene, paint_plan
from drainsketch.sheets.scale import asked_scale
from drainsketch.sheets.schedules import Schedule
from drainsketch.sheets.sets import ReaderSet, sets_of

Names = dict[int, list[str]]


def bound_pages(
    contents: Contents,
    *,
    paper: str,
    scale_ft_per_in: float | None,
    audience: str,
    lang: Mapping[str, str],
    leave_out: Collection[str] = (),
    with_job: bool = False,
) -> tuple[BytesIO, list[str]]:
    """Return the PDF and the name of each of its pages; parameters as in ``write_sheets``, ``lang`` by reader."""
    check_left_out(leave_out, audience)
    contents = replace(contents, letterhead=contents.letterhead.shown_for(contents.job.header))
    asked = None if scale_ft_per_in is None else asked_scale(scale_ft_per_in, contents.job.header.units)
    sets = tuple(
        sets_of(contents, paper=paper, asked=asked, audience=audience, lang=lang, leave_out=frozenset(leave_out))
    )
    names: Names = {}
    data = _Book(contents, sets, names).bound(with_job=with_job)
    return data, _page_names(names)


def _page_names(names: Names) -> list[str]:
    """Return what begins on each page, in page order; a page on which nothing begins goes on with the last."""
    found: list[str] = []
    last = ""
    for number in sorted(names):
        begun = list(dict.fromkeys(names[number])) or [last]
        last = begun[-1]
        found.append(", ".join(begun))
    return found


class _Book:
    """The sets as one story; ``names`` is filled with what stands on each page."""

    def __init__(self, contents: Contents, sets: tuple[ReaderSet, ...], names: Names) -> None:
        self._contents, self._sets, self._names = contents, sets, names
        self._story: list[Any] = []
        self._templates: list[PageTemplate] = []

    def bound(self, *, with_job: bool) -> BytesIO:
        """Return the file."""
        for one in self._sets:
            self._add_set(one)
        if not self._templates:
            raise SheetError("Every page is left out: keep at least one.")
        header, words, data = self._contents.job.header, self._sets[0].words, BytesIO()
        document = BaseDocTemplate(
            data,
            pagesize=self._sets[0].size,
            lang=words.lang,
            title=title_of(header.title, words),
            author=printable(self._contents.letterhead.name_for(header)),
            subject=words.word("sheets.subject"),
            creator="drainsketch",
            keywords=[words.word("sheets.keywords")],
        )
        document.addPageTemplates(self._templates)
        layers = {key: words.word(f"sheets.layer.{key}") for key in LAYERS}
        attached = None
        if with_job:
            job = job_text(self._contents.job).encode()
            attached = Attached(ATTACHED, job, "application/json", words.word("sheets.attached"))
        try:
            document.build(self._story, canvasmaker=partial(SheetCanvas, layers=layers, attached=attached))
        except LayoutError:
            raise SheetError(
                "A text of this job is too long for its page; shorten it or choose a larger paper."
            ) from None
        data.seek(0)
        return data

    def _add_set(self, one: ReaderSet) -> None:
        label = SetLabel(
            one.words.word(f"sheets.set.{one.reader}") if len(self._sets) > 1 else "",
            one.words.word(f"sheets.letter.{one.reader}"),
        )
        frames = columns(one.size)
        told = False  # whether a page of words is open
        for page in one.pages:
            drawn = one.drawn.get(page.key)
            if isinstance(drawn, tuple | PairSheet):
                self._add_drawn(one, label, page, drawn)
                told = False
                continue
            flowables: list[Any] = []
            if isinstance(drawn, Schedule):
                flowables = schedule_flowables(drawn, frames[0].width, self._names)
            elif page.tell is not None:
                flowables = page.tell(self._contents, one.told, frames[0].width, self._names)
            if flowables and not told:
                self._turn_to(f"words {page.key}", frames, one.size, partial(self._words_page, one, label))
                told = True
            self._story += flowables

    def _add_drawn(self, one: ReaderSet, label: SetLabel, page: Page, drawn: tuple[Scene, ...] | PairSheet) -> None:
        if isinstance(drawn, PairSheet):
            x0, y0, x1, y1 = drawn.words_room
            below = Frame(x0, y0, x1 - x0, y1 - y0, 0, 0, 0, 0, id="below")
            self._turn_to(page.key, [below], drawn.size, partial(self._pair_page, one, label, drawn))
            self._story += drawn.words
            return
        name = one.name if page.key == "plan" else one.words.word(page.title)
        for scene in drawn:
            size = scene.sheet.size
            on_page = partial(self._plan_page, one, label, name, scene, is_first=scene is drawn[0])
            self._turn_to(page.key, [Frame(0, 0, *size, id="whole")], size, on_page)
            self._story.append(Spacer(1, 1))

    def _turn_to(self, key: str, frames: list[Frame], size: tuple[float, float], on_page: Any) -> None:
        """Begin a page of its own kind."""
        template = PageTemplate(f"{len(self._templates)} {key}", frames, onPage=on_page, pagesize=size)
        self._templates.append(template)
        if len(self._templates) > 1:
            self._story += [NextPageTemplate(template.id), PageBreak()]

    def _begin(self, canvas: SheetCanvas, label: SetLabel) -> list[str]:
        canvas.in_set(label)
        return self._names.setdefault(canvas.getPageNumber(), [])

    def _plan_page(
        self,
        one: ReaderSet,
        label: SetLabel,
        name: str,
        scene: Scene,
        canvas: SheetCanvas,
        _doc: Any,
        *,
        is_first: bool,
    ) -> None:
        begun, part = self._begin(canvas, label), scene.sheet.part
        if is_first:
            canvas.outline(name)
        if part is not None:
            name = one.words.word("sheets.parts.page", plan=name, part=part.name)
            canvas.outline(name, 1)
        begun.append(name)
        paint_plan(canvas, scene, one.words)
        paint_foot(canvas, scene.sheet.size, one.words, one.band if one.reader == "owner" else "")

    def _pair_page(self, one: ReaderSet, label: SetLabel, sheet: PairSheet, canvas: SheetCanvas, _doc: Any) -> None:
        self._begin(canvas, label).append(sheet.pair.title)
        canvas.outline(sheet.pair.title)
        paint_head(canvas, title_of(self._contents.job.header.title, one.words), one.band, sheet.size)
        paint_pair(canvas, sheet)
        paint_foot(canvas, sheet.size, one.words)

    def _words_page(self, one: ReaderSet, label: SetLabel, canvas: SheetCanvas, _doc: Any) -> None:
        self._begin(canvas, label)
        paint_head(canvas, title_of(self._contents.job.header.title, one.words), one.band, one.size)
        paint_foot(canvas, one.size, one.words)
