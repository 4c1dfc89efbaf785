"""The words of the owner's set in reading order: the letter, what it costs, what it leaves out, the lines to sign."""

from collections.abc import Iterable

from reportlab.platypus import Flowable

from drainsketch.ground.results import GroundStudy
from drainsketch.job.model import Job
from drainsketch.review import Review
from drainsketch.sheets.offer import Asked, after_words, found_words, no_offer
from drainsketch.sheets.offer_page import (
    SAID,
    SAID_STRONG,
    Names,
    acceptance,
    excluded_page,
    indented,
    letter_head,
    listed,
    measure,
    price_page,
    section,
    time_page,
    told_pages,
)
from drainsketch.sheets.owner import open_points, owner_quantities, work_in_words
from drainsketch.sheets.para import para, schedule_flowables
from drainsketch.water.results import Water
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words


def owner_story(
    job: Job,
    review: Review,
    words: Words,
    width: float,
    names: Names,
    *,
    asked: Asked,
    ground: GroundStudy | None = None,
    storm: Water | None = None,
    played: Storm | None = None,
    options: Iterable[Flowable] = (),
) -> list[Flowable]:
    """Return the offer to the owner, from the letter to the acceptance.

    Parameters
    ----------
    asked : who makes it and for what; without a price it stands as a proposal that nobody signs
    ground, storm, played : what was found of water in the yard
    options : the variants side by side; they stand before the price
    """
    reasons = no_offer(job, review, asked, words)
    found = [para(text, SAID) for text in found_words(job, review, ground, played, words)]
    done = listed(work_in_words(job, review, words, storm, played), numbered=True)
    points = open_points(review, words)
    settle = [para(points[0], SAID_STRONG), *listed(points[1:])] if points else []
    letter = [
        *letter_head(job, review, asked, words, width, names),
        *section(words.word("offer.found.title"), found, names),
        *section(words.word("offer.done.title"), done, names),
        *section(words.word("sheets.owner.open_title"), settle, names),
        *section(words.word("offer.after.title"), listed(after_words(job, words)), names),
        *time_page(asked, reasons, words, names),
    ]
    rest = [
        *price_page(job, asked, reasons, words, width, names),
        *excluded_page(job, words, names),
        *told_pages(job, asked, words, names),
        *acceptance(job, asked, reasons, words, width, names),
    ]
    quantities = schedule_flowables(owner_quantities(review, words), measure(width), names)
    return [
        *indented(letter, width),
        *options,
        *indented([*rest, *quantities], width),
    ]
