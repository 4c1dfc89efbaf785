"""The words of the owner's set, a page of the list each: the letter, what is done, what it costs and leaves out, the lines to sign."""

from reportlab.platypus import Flowable, PageBreak

from drainsketch.sheets.contents import Contents
from drainsketch.sheets.offer import after_words, excluded_words, found_words, is_offer, time_words
from drainsketch.sheets.offer_page import (
    SAID,
    SAID_STRONG,
    Names,
    acceptance,
    indented,
    letter_head,
    listed,
    measure,
    price_page,
    section,
    told_pages,
)
from drainsketch.sheets.owner import open_points, owner_quantities, work_in_words
from drainsketch.sheets.owner_goods import Goods
from drainsketch.sheets.owner_limits import known_words
from drainsketch.sheets.para import para, schedule_flowables
from drainsketch.wording import Words


def letter(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the head of the letter and what was found in the yard, on a page of its own."""
    found = [para(text, SAID) for text in found_words(contents, words)]
    head = letter_head(contents, words, width, names)
    return [PageBreak(), *indented([*head, *section(words.word("offer.found.title"), found, names)], width)]


def work(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return what will be done, in plain words."""
    said = work_in_words(contents.job, contents.review, words, contents.storm, contents.played, contents.price)
    return indented(section(words.word("offer.done.title"), listed(said, numbered=True), names), width)


def open_first(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return what has to be settled before any digging; [] when nothing has."""
    points = open_points(contents.review, words)
    said = [para(points[0], SAID_STRONG), *listed(points[1:])] if points else []
    return indented(section(words.word("sheets.owner.open_title"), said, names), width) if said else []


def limits(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return what the drains will not do, and what is to be settled, for an owner; [] when there is nothing to say."""
    said = listed(known_words(contents, words))
    return indented(section(words.word("offer.know.title"), said, names), width) if said else []


def afterward(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return what will be seen afterward and how long the work takes; the time only of a price that may be signed."""
    seen = listed((*after_words(contents.job, words), *Goods(contents.review, words).seen()))
    time = time_words(contents, words) if is_offer(contents, words) else ()
    parts = section(words.word("offer.after.title"), seen, names)
    parts += section(words.word("offer.time.title"), [para(text, SAID) for text in time], names, whole=True)
    return indented(parts, width) if parts else []


def price(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the price; [] without one."""
    parts = price_page(contents, words, width, names)
    return indented(parts, width) if parts else []


def excluded(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return what is not included, and what happens when it turns up."""
    parts = [*listed(excluded_words(contents.job, words)), para(words.word("offer.excluded.more"), SAID)]
    return indented(section(words.word("offer.excluded.title"), parts, names), width)


def terms(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the contractor's own words and terms, and whose matter it is where the water goes."""
    return indented(told_pages(contents, words, width, names), width)


def signed(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return the lines to sign; [] for what is no offer."""
    parts = acceptance(contents, words, width, names)
    return indented(parts, width) if parts else []


def quantities(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return what goes into the ground and comes out of it."""
    parts = schedule_flowables(owner_quantities(contents.review, words), measure(width), names)
    return indented(parts, width) if parts else []
