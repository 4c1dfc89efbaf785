"""What stands on the pages after the plan, in reading order, for the crew and for the owner."""

from collections.abc import Iterable
from typing import Any

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from drainsketch.findings import Finding
from drainsketch.job.model import Job
from drainsketch.review import Review
from drainsketch.sheets import schedules as tables
from drainsketch.sheets.basin_drawings import basin_drawings
from drainsketch.sheets.basin_schedule import basin_schedule
from drainsketch.sheets.crossing_drawings import crossing_drawings
from drainsketch.sheets.cut_pages import built_pages, cut_pages
from drainsketch.sheets.exposed_schedule import exposed_schedule
from drainsketch.sheets.flags import flagged
from drainsketch.sheets.loading_list import loading_schedule
from drainsketch.sheets.owner import open_points, owner_quantities, work_in_words
from drainsketch.sheets.para import SMALL, SMALL_STRONG, STRONG, Section, para, schedule_flowables, warning_flowable
from drainsketch.sheets.pit_schedule import pit_schedule
from drainsketch.sheets.profile_page import profile_pages
from drainsketch.sheets.stakes import bend_schedule, stake_schedule
from drainsketch.sheets.storm_tables import storm_tables
from drainsketch.sheets.text import paragraphs
from drainsketch.sheets.trench_drawings import trench_drawings
from drainsketch.water.results import Water
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words

CAUTIONS = ("call", "hand", "local", "trench", "not_safe")
TWO_COLUMNS_PT = 480.0  # the takeoff stands in two columns on pages at least so wide
Names = dict[int, list[str]]


def crew_pages(
    job: Job,
    review: Review,
    words: Words,
    width: float,
    names: Names,
    storm: Water | None = None,
    storm_plan: Iterable[Flowable] = (),
) -> list[Flowable]:
    """Return the crew's schedules, warnings, what the storm does, takeoff and cautions.

    Parameters
    ----------
    storm_plan : what turns to the plan of the storm, which stands before its tables
    """
    story: list[Flowable] = []
    found = tuple(flagged(review))
    if found:
        story.append(Section(words.word("sheets.warnings.title"), names))
        story += [_warning(f, flag, words, width) for f, flag, _ in found]
    else:
        story += [Section(words.word("sheets.warnings.title"), names), para(words.word("sheets.warnings.none"))]
    takeoff = tables.takeoff_schedule(review, words)
    storm_pages = storm_tables(job, storm, words) if storm is not None else ()
    for schedule in (
        tables.crossing_schedule(review, words),
        tables.structure_schedule(job, review, words),
        basin_schedule(review, words),
        pit_schedule(review, words),
        stake_schedule(job, words),
        tables.run_schedule(job, review, words),
        bend_schedule(job, review, words),
        tables.path_schedule(review, words),
        *storm_pages,
        takeoff if width < TWO_COLUMNS_PT else tables.side_by_side(takeoff),
    ):
        if storm_pages and schedule is storm_pages[0]:
            story += storm_plan
        story += schedule_flowables(schedule, width, names)
    loads = loading_schedule(review, words)
    story += schedule_flowables(loads if width < TWO_COLUMNS_PT else tables.side_by_side(loads), width, names)
    story += crossing_drawings(job, review, words, width, names)
    story += basin_drawings(review, words, width, names)
    story += trench_drawings(job, review, words, width, names)
    story += profile_pages(job, review, words, width, names, storm)
    story += cut_pages(job, review, words, width, names) + built_pages(job, review, words, width, names)
    return story + _notes(job, words, names) + cautions(words, names)


def owner_pages(
    job: Job,
    review: Review,
    words: Words,
    width: float,
    names: Names,
    storm: Water | None = None,
    played: Storm | None = None,
) -> list[Flowable]:
    """Return what will be done in plain words, open points, quantities and cautions.

    Parameters
    ----------
    storm, played : its review at the peak, and as it was played
    """
    story: list[Flowable] = [Section(words.word("sheets.owner.title"), names)]
    work = work_in_words(job, review, words, storm, played)
    story += [para(f"{i}.  {text}") for i, text in enumerate(work, start=1)]
    points = open_points(review, words)
    if points:
        story += [CondPageBreak(80), Section(words.word("sheets.owner.open_title"), names), para(points[0], STRONG)]
        story += [para(f"–  {text}") for text in points[1:]]
    quantities = owner_quantities(review, words)
    quantities = quantities if width < TWO_COLUMNS_PT else tables.side_by_side(quantities)
    story += schedule_flowables(quantities, width, names)
    return story + _notes(job, words, names) + cautions(words, names)


def record_pages(job: Job, review: Review, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the pipe as built, run by run, and the services as exposed, for the record that stays with the house."""
    story = built_pages(job, review, words, width, names)
    exposed = exposed_schedule(job, review, words)
    if exposed is not None:
        story += schedule_flowables(exposed, width, names)
    return story + _notes(job, words, names) + cautions(words, names)


def cautions(words: Words, names: Names) -> list[Flowable]:
    """Return the cautions that close every set."""
    said: list[Any] = [
        para(words.word(f"sheets.caution.{key}"), SMALL_STRONG if key == "not_safe" else SMALL) for key in CAUTIONS
    ]
    return [KeepTogether([Section(words.word("sheets.caution.title"), names), *said])]


def _notes(job: Job, words: Words, names: Names) -> list[Flowable]:
    lines = paragraphs(job.header.notes)
    if not lines:
        return []
    return [
        CondPageBreak(60),
        Section(words.word("sheets.notes"), names),
        *(para(line) for line in lines),
        Spacer(0, 4),
    ]


def _warning(finding: Finding, flag: str, words: Words, width: float) -> Flowable:
    number = words.number_against_limit(finding)
    said = "" if finding.source == "plan" else words.source(finding)  # the plan itself is no source worth a line
    source = words.word("sheets.warnings.source", source=said) if said else ""
    if number:
        source = f"{words.word('sheets.warnings.number', number=number)} {source}".strip()
    level = f"{finding.level}|{words.word(f'sheets.level.{finding.level}')}"
    texts = (("strong", words.sentence(finding)), ("body", words.remedy(finding)), ("quiet", source))
    return warning_flowable(flag, level, texts, width)
