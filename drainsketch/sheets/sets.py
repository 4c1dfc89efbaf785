"""What each reader's set is made of: its words, its pages in order, and the pages that are drawn."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.errors import SheetError
from drainsketch.job.ask import extent
from drainsketch.review import Review
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.crowding import roomy_scale
from drainsketch.sheets.flow_marks import NO_FLOW, flow_of, storm_marks, storm_title
from drainsketch.sheets.ground_marks import backdrop_strokes
from drainsketch.sheets.laid_marks import record_marks
from drainsketch.sheets.layout import PlanSheet, lay_out, lay_out_parts
from drainsketch.sheets.marks import PlanMarks, Stroke
from drainsketch.sheets.offer import no_offer
from drainsketch.sheets.owner import owner_marks
from drainsketch.sheets.owner_plan import LARGER, picture_legend, picture_marks
from drainsketch.sheets.pages import SETS, Page
from drainsketch.sheets.pair_page import PairSheet, pair_sheet
from drainsketch.sheets.part_index import part_index
from drainsketch.sheets.parts import Extent
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.plan_page import Scene, scene_of
from drainsketch.sheets.scale import Scale, paper_size
from drainsketch.sheets.schedules import Schedule
from drainsketch.sheets.storm_pair import pair_of
from drainsketch.sheets.strip import StripContent, legend_entries
from drainsketch.sheets.water_marks import Water, with_contour_levels, with_water
from drainsketch.wording import Words

LETTERS = {"a3": "a4", "a4": "a4"}  # what the letter to the owner is printed on, however large his plan is
Drawn = tuple[Scene, ...] | PairSheet | Schedule


class ReaderSet(Struct, frozen=True):
    """One reader's set. ``band`` stands over its pages where something stops the job; ``told`` are the words its text is in.

    ``drawn`` holds, by key, the pages that are drawn: the scenes of a plan, one a part; a pair of plans; a table that speaks of them.
    """

    reader: str
    name: str  # of its plan
    band: str
    size: tuple[float, float]
    words: Words
    told: Words
    pages: tuple[Page, ...]
    drawn: dict[str, Drawn]


def sets_of(
    contents: Contents,
    *,
    paper: str,
    asked: Scale | None,
    audience: str,
    lang: Mapping[str, str],
    leave_out: Collection[str],
) -> Iterator[ReaderSet]:
    """Yield the sets that are wanted; parameters as in ``write_sheets``, ``lang`` by reader."""
    shot = any(run.points for run in contents.review.laid.values())
    for reader in SETS:
        if audience == reader or (audience == "all" and (shot or reader != "record")):
            words = Words.of(contents.job, lang[reader])
            made = _Maker(contents, words, reader, paper).made(asked, leave_out)
            yield made


def reader_marks(contents: Contents, words: Words, reader: str) -> PlanMarks:
    """Return what a reader's plan shows, before standing water is laid under it."""
    marks = plan_marks(contents.job, contents.review, lang=words.lang)
    if reader == "owner":
        return owner_marks(marks)
    return record_marks(marks, contents.review, words) if reader == "record" else marks


class _Maker:
    """Makes the set of one reader."""

    def __init__(self, contents: Contents, words: Words, reader: str, paper: str) -> None:
        self._contents, self._words, self._reader, self._paper = contents, words, reader, paper
        self._water = Water(contents.ground, contents.contours) if contents.ground is not None else None
        self._points = open_points(contents.review, words, reader)
        found = extent(contents.job)
        assert found is not None
        self._extent: Extent = found

    def made(self, asked: Scale | None, leave_out: Collection[str]) -> ReaderSet:
        """Return the set; pages that are left out are not drawn."""
        contents, words, reader = self._contents, self._words, self._reader
        marks = reader_marks(contents, words, reader)
        shown = marks if self._water is None else with_water(marks, self._water, words, reader=reader)
        sheets = self._sheets(shown, reader, asked)
        if self._water is not None and reader == "crew":
            shown = with_contour_levels(shown, self._water, words, sheets[0].scale.pt_per_ft)
        drawn: dict[str, Drawn | None] = {}
        pages = tuple(page for page in SETS[reader] if page.key not in leave_out)
        wanted = {page.key for page in pages}
        if "plan" in wanted:
            scenes = tuple(scene_of(self._pictured(shown, sheet), sheet, self._under(reader)) for sheet in sheets)
            drawn["plan"] = scenes
            if len(scenes) > 1:
                drawn["plan-index"] = part_index(scenes, words, reader)
        if "storm-plan" in wanted:
            drawn["storm-plan"] = self._storm_scenes(shown, sheets[0].scale)
        if "yard-in-storm" in wanted:
            drawn["yard-in-storm"] = self._pair(marks)
        return ReaderSet(
            reader=reader,
            name=words.word(f"sheets.page.{reader}"),
            band=self._band(),
            size=sheets[0].size if reader != "owner" else paper_size(LETTERS.get(self._paper, "letter")),
            words=words,
            told=words if reader != "owner" else Words.of(contents.job, words.lang, with_ids=False),
            pages=pages,
            drawn={key: page for key, page in drawn.items() if page is not None},
        )

    def _band(self) -> str:
        """Return what stands over the pages where something stops the job, or there is no offer yet."""
        if self._reader == "crew" and any(f.level == "stop" for f in self._contents.review.findings):
            return self._points[0]
        if self._reader == "owner" and no_offer(self._contents, self._words):
            return self._words.word("offer.band.short")
        return ""

    def _under(self, kind: str) -> tuple[Stroke, ...]:
        """Return the lines of a drawing that lie under the crew's plan."""
        return backdrop_strokes(self._contents.job.backdrop) if kind == "crew" else ()

    def _pictured(self, shown: PlanMarks, sheet: PlanSheet | None = None) -> PlanMarks:
        """Return the marks as this reader sees them: the owner as a picture."""
        if self._reader != "owner":
            return shown
        return picture_marks(shown, self._contents.job, self._contents.review, self._words, sheet)

    def _sheets(self, shown: PlanMarks, kind: str, asked: Scale | None) -> tuple[PlanSheet, ...]:
        """Return the sheets of a plan: at the scale asked, or one that fits, or in parts where one page would be too crowded."""
        marks = self._pictured(shown)
        content = self._strip(marks, kind)
        if asked is None:
            whole = lay_out(content, self._extent, paper=self._paper, asked=None)
            asked = roomy_scale(marks, whole, self._extent) if kind != "owner" else None
            if asked is None:
                return (self._with_larger_words(content, whole),)
        return lay_out_parts(content, self._extent, marks, paper=self._paper, scale=asked)

    def _with_larger_words(self, content: StripContent, whole: PlanSheet) -> PlanSheet:
        """Return the owner's sheet with the words of its legend as large as they can be without making the yard smaller."""
        for larger in LARGER if self._reader == "owner" else ():
            with suppress(SheetError):
                sheet = lay_out(replace(content, larger=larger), self._extent, paper=self._paper, asked=None)
                if sheet.scale == whole.scale:
                    return sheet
        return whole

    def _strip(self, shown: PlanMarks, kind: str) -> StripContent:
        header, words = self._contents.job.header, self._words
        if kind in ("record", "storm"):
            job = self._contents.job
            name = words.word("sheets.page.record") if kind == "record" else storm_title(job.rain, words)
            header = replace(header, title=f"{name}: {header.title}".removesuffix(": "))
        entries = picture_legend(shown, words) if kind == "owner" else legend_entries(shown, words, self._under(kind))
        return StripContent(header, entries, self._points, date.today(), words, self._contents.letterhead)

    def _storm_scenes(self, crews: PlanMarks, scale: Scale) -> tuple[Scene, ...] | None:
        """Return the plan of the storm, at the scale of the crew's plan; None without a storm."""
        if self._contents.storm is None:
            return None
        flow = flow_of(self._contents.job, self._contents.storm, self._words)
        if flow is NO_FLOW:
            return None
        shown = storm_marks(crews, flow)
        try:
            sheets = self._sheets(shown, "storm", scale)
        except SheetError:
            sheets = self._sheets(shown, "storm", None)
        return tuple(scene_of(shown, sheet) for sheet in sheets)

    def _pair(self, owners: PlanMarks) -> PairSheet | None:
        """Return the page of the before and after; None where there is nothing to show, or no room."""
        contents = self._contents
        pair = pair_of(contents.job, owners, contents.ground, contents.played, self._words)
        if pair is None:
            return None
        return pair_sheet(pair, self._points, self._extent, self._words, paper=self._paper)


def open_points(review: Review, words: Words, reader: str) -> tuple[str, ...]:
    """Return how much is open before this set can be built, the gravest first."""
    counts: Counter[str] = Counter(f.level for f in review.findings)
    keys = {"crew": (("stop", "stop"), ("settle", "settle")), "owner": (("owner", "stop"),), "record": ()}[reader]
    return tuple(words.word(f"sheets.open.{key}", count=counts[level]) for key, level in keys if counts[level])
