"""The pages of each set, in reading order: the one list to which a page is added.

A page is a line of ``SETS``: its key, the word that names it, and a function from contents to flowables, [] where there is nothing
to tell. A page without such a function is drawn by the binder (``sets.py``).
"""

from collections.abc import Callable, Iterable

from msgspec import Struct
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from drainsketch.errors import SheetError
from drainsketch.findings import Finding
from drainsketch.sheets import owner_set
from drainsketch.sheets import schedules as tables
from drainsketch.sheets.basin_drawings import basin_drawings
from drainsketch.sheets.basin_schedule import basin_schedule
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.crossing_drawings import crossing_drawings
from drainsketch.sheets.cut_pages import built_pages, cut_pages
from drainsketch.sheets.exposed_schedule import exposed_schedule
from drainsketch.sheets.flags import flagged
from drainsketch.sheets.loading_list import loading_schedule
from drainsketch.sheets.options_page import options_page
from drainsketch.sheets.para import SMALL, SMALL_STRONG, Section, para, schedule_flowables, warning_flowable
from drainsketch.sheets.pit_schedule import pit_schedule
from drainsketch.sheets.profile_page import profile_pages
from drainsketch.sheets.schedules import Schedule
from drainsketch.sheets.stakes import bend_schedule, stake_schedule
from drainsketch.sheets.storm_tables import storm_tables
from drainsketch.sheets.text import paragraphs
from drainsketch.sheets.trench_drawings import trench_drawings
from drainsketch.sheets.workplan_calendar import calendar_pages
from drainsketch.sheets.workplan_pages import order_pages
from drainsketch.sheets.workplan_rain import rain_pages
from drainsketch.wording import Words

CAUTIONS = ("call", "hand", "local", "trench", "hit_gas", "hit_power", "hit_other", "report", "not_safe")
LOUD = ("hit_gas", "hit_power", "not_safe")
TWO_COLUMNS_PT = 480.0  # quantities stand in two columns on pages at least so wide
Names = dict[int, list[str]]
Tell = Callable[[Contents, Words, float, Names], list[Flowable]]


class Page(Struct, frozen=True):
    """One page or section of a set.

    Parameters
    ----------
    key : what it is left out by; the same in each set that has it
    title : the word that names it
    tell : (contents, words, width in pt, names) -> flowables; None for a page that is drawn
    stays : it cannot be left out: other pages send the reader there, it keeps people from harm, or what is signed is about it
    """

    key: str
    title: str
    tell: Tell | None = None
    stays: bool = False


def _schedule(of: Callable[[Contents, Words], Schedule | None], *, beside: bool = False) -> Tell:
    """Return the page of one table; ``beside`` folds it into two columns where there is room."""

    def tell(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
        schedule = of(contents, words)
        if schedule is None:
            return []
        if beside and width >= TWO_COLUMNS_PT:
            schedule = tables.side_by_side(schedule)
        return schedule_flowables(schedule, width, names)

    return tell


def _cautions(_contents: Contents, words: Words, _width: float, names: Names) -> list[Flowable]:
    said = [para(words.word(f"sheets.caution.{key}"), SMALL_STRONG if key in LOUD else SMALL) for key in CAUTIONS]
    return [KeepTogether([Section(words.word("sheets.caution.title"), names), *said])]


def _notes(contents: Contents, words: Words, _width: float, names: Names) -> list[Flowable]:
    lines = paragraphs(contents.job.header.notes)
    if not lines:
        return []
    heading = [CondPageBreak(60), Section(words.word("sheets.notes"), names)]
    return [*heading, *(para(line) for line in lines), Spacer(0, 4)]


def _warnings(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    heading, found = Section(words.word("sheets.warnings.title"), names), tuple(flagged(contents.review))
    if not found:
        return [heading, para(words.word("sheets.warnings.none"))]
    return [heading, *(_warning(finding, flag, words, width) for finding, flag, _ in found)]


def _warning(finding: Finding, flag: str, words: Words, width: float) -> Flowable:
    number = words.number_against_limit(finding)
    said = "" if finding.source == "plan" else words.source(finding)  # the plan itself is no source worth a line
    source = words.word("sheets.warnings.source", source=said) if said else ""
    if number:
        source = f"{words.word('sheets.warnings.number', number=number)} {source}".strip()
    level = f"{finding.level}|{words.word(f'sheets.level.{finding.level}')}"
    texts = (("strong", words.sentence(finding)), ("body", words.remedy(finding)), ("quiet", source))
    return warning_flowable(flag, level, texts, width)


def _storm(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    if contents.storm is None:
        return []
    made = storm_tables(contents.job, contents.storm, words)
    return [flowable for schedule in made for flowable in schedule_flowables(schedule, width, names)]


def _profiles(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    return profile_pages(contents.job, contents.review, words, width, names, contents.storm)


def _cut_sheets(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    return cut_pages(contents.job, contents.review, words, width, names)


def _as_built(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    return built_pages(contents.job, contents.review, words, width, names)


BEFORE_YOU_DIG = Page("cautions", "sheets.caution.title", _cautions, stays=True)
PARTS = Page("plan-index", "sheets.parts.title")
NOTES = Page("notes", "sheets.notes", _notes)

SETS: dict[str, tuple[Page, ...]] = {
    "crew": (
        Page("plan", "sheets.page.crew"),
        BEFORE_YOU_DIG,
        PARTS,
        Page("warnings", "sheets.warnings.title", _warnings, stays=True),
        Page("order-of-work", "workplan.sheet.order", order_pages),
        Page("calendar", "workplan.sheet.calendar", calendar_pages),
        Page("rain", "workplan.sheet.rain", rain_pages),
        Page("loading", "details.loading.title", _schedule(lambda c, w: loading_schedule(c.review, w), beside=True)),
        # what lies in the ground, and what is set in it
        Page(
            "crossings",
            "sheets.crossings.title",
            _schedule(lambda c, w: tables.crossing_schedule(c.review, w)),
            stays=True,
        ),
        Page(
            "crossing-details",
            "details.crossings.title",
            lambda c, w, width, names: crossing_drawings(c.job, c.review, w, width, names),
        ),
        Page(
            "structures",
            "sheets.structures.title",
            _schedule(lambda c, w: tables.structure_schedule(c.job, c.review, w)),
            stays=True,
        ),
        Page("basins", "sheets.basins.title", _schedule(lambda c, w: basin_schedule(c.review, w))),
        Page(
            "basin-details",
            "details.basins.title",
            lambda c, w, width, names: basin_drawings(c.review, w, width, names),
        ),
        Page("pits", "sheets.pits.title", _schedule(lambda c, w: pit_schedule(c.review, w))),
        Page("stakes", "sheets.stakes.title", _schedule(lambda c, w: stake_schedule(c.job, w))),
        Page("runs", "sheets.runs.title", _schedule(lambda c, w: tables.run_schedule(c.job, c.review, w))),
        Page(
            "trench-details",
            "details.trench.title",
            lambda c, w, width, names: trench_drawings(c.job, c.review, w, width, names),
        ),
        Page("bends", "sheets.bends.title", _schedule(lambda c, w: bend_schedule(c.job, c.review, w))),
        Page("paths", "sheets.paths.title", _schedule(lambda c, w: tables.path_schedule(c.review, w))),
        Page("storm-plan", "sheets.page.storm"),
        Page("storm", "sheets.storm.title", _storm),
        Page(
            "takeoff", "sheets.takeoff.title", _schedule(lambda c, w: tables.takeoff_schedule(c.review, w), beside=True)
        ),
        Page("profiles", "sheets.profile.title", _profiles),
        Page("cut-sheets", "sheets.cut.title", _cut_sheets, stays=True),
        Page("as-built", "sheets.built.title", _as_built),
        NOTES,
    ),
    "owner": (
        Page("plan", "sheets.page.owner"),
        Page("yard-in-storm", "sheets.pair.title"),
        BEFORE_YOU_DIG,
        PARTS,
        Page("quantities", "offer.quantities.title", owner_set.quantities),
        Page("letter", "offer.page", owner_set.letter),
        Page("work", "offer.done.title", owner_set.work),
        Page("open-points", "sheets.owner.open_title", owner_set.open_first, stays=True),
        Page("limits", "offer.know.title", owner_set.limits),
        Page("afterward", "offer.after.title", owner_set.afterward),
        Page("options", "options.title", options_page),
        Page("price", "offer.price.title", owner_set.price),
        Page("not-included", "offer.excluded.title", owner_set.excluded, stays=True),
        Page("terms", "offer.terms.title", owner_set.terms, stays=True),
        Page("acceptance", "offer.accept.title", owner_set.signed),
    ),
    "record": (
        Page("plan", "sheets.page.record"),
        BEFORE_YOU_DIG,
        PARTS,
        Page("as-built", "sheets.built.title", _as_built),
        Page("exposed", "sheets.exposed.title", _schedule(lambda c, w: exposed_schedule(c.job, c.review, w))),
        NOTES,
    ),
}


def pages_of(audience: str) -> tuple[Page, ...]:
    """Return the pages that a reader's sheets may have, each key once; ``audience`` is a key of ``SETS`` or 'all'."""
    sets = SETS.values() if audience == "all" else (SETS[audience],)
    found: dict[str, Page] = {}
    for page in (page for pages in sets for page in pages):
        found.setdefault(page.key, page)
    return tuple(found.values())


def check_left_out(keys: Iterable[str], audience: str) -> None:
    """Check what is to be left out.

    Raises
    ------
    SheetError : there is no such page, or it cannot be left out; says which there are
    """
    pages = {page.key: page for page in pages_of(audience)}
    there = ", ".join(page.key for page in pages.values() if not page.stays)
    for key in keys:
        if key not in pages:
            raise SheetError(f"Leave out {key[:40]!r}: there is no such page; there are {there}.")
        if pages[key].stays:
            raise SheetError(f"Leave out {key!r}: that page stays in every set; others may go: {there}.")
