"""How a warning and its place on the plan find each other: by the number of its crossing, or by a letter of its own."""

from collections.abc import Iterator

from drainsketch.findings import Finding, Level
from drainsketch.review import Review


def warnings_of(review: Review) -> tuple[Finding, ...]:
    """Return the findings that are printed as warnings: stop and settle."""
    return tuple(f for f in review.findings if f.level != "note")


def flagged(review: Review) -> Iterator[tuple[Finding, str, bool]]:
    """Yield each warning with its flag, and whether it needs a sign of its own on the plan.

    A warning about a crossing goes by the crossing's number, whose sign is there already; every other gets the next letter.
    """
    letters = 0
    for finding in warnings_of(review):
        number = dict(finding.params).get("number")
        if number is not None:
            yield finding, str(number), False
        else:
            yield finding, finding_letter(letters), True
            letters += 1


def crossing_levels(review: Review) -> dict[int, Level]:
    """Return the level of the gravest finding about each crossing that has one, by its number."""
    levels: dict[int, Level] = {}
    for finding in review.findings:  # worst first
        number = dict(finding.params).get("number")
        if isinstance(number, int):
            levels.setdefault(number, finding.level)
    return levels


def named_by_warnings(review: Review) -> frozenset[str]:
    """Return the ids of all things that a warning names."""
    return frozenset(
        value
        for finding in warnings_of(review)
        for param in (finding.place.ids, *(value for _, value in finding.params))
        for value in (param if isinstance(param, tuple) else (param,))
        if isinstance(value, str)
    )


def finding_letter(index: int) -> str:
    """Return the letter of the n-th warning of a job, from 0: A to Z, AA, AB, ...

    Examples
    --------
    >>> finding_letter(0), finding_letter(25), finding_letter(26)
    ('A', 'Z', 'AA')
    """
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
