"""The contractor's own particulars, the same for all jobs. No part of the job file."""

from typing import Annotated

import msgspec
from msgspec import Meta, Struct, ValidationError

from drainsketch.job.frozen import Frozen
from drainsketch.job.model import Header

MOST_LINES, MOST_LINE, MOST_TERMS = 5, 80, 6_000
Line = Annotated[str, Meta(max_length=MOST_LINE)]


class Logo(Struct, frozen=True):
    """A picture that was decoded and written anew: PNG bytes without anything beside the picture, and its size, px."""

    png: bytes
    width_px: int
    height_px: int


class Firm(Frozen, frozen=True):
    """Who makes the offer. Empty where nothing was said; ``insured`` is what is said of insurance and bond."""

    name: Line = ""
    license: Line = ""
    address: Annotated[tuple[Line, ...], Meta(max_length=MOST_LINES)] = ()
    phone: Line = ""
    email: Line = ""
    web: Line = ""
    insured: Annotated[str, Meta(max_length=400)] = ""
    terms: Annotated[str, Meta(max_length=MOST_TERMS)] = ""


class Letterhead(Struct, frozen=True):
    """A firm with its logo, as sheets print it."""

    firm: Firm = Firm()
    logo: Logo | None = None

    def shown_for(self, header: Header) -> "Letterhead":
        """Return what stands on the sheets of a job: the firm in full, or the name alone of another contractor its header names.

        A firm that was kept without a name goes by the one that the job gives it.
        """
        named = header.contractor.strip()
        if not named or not self.firm.name.strip() or _as_one(named) == _as_one(self.firm.name):
            return self
        return Letterhead(Firm(name=named[:MOST_LINE]))

    def name_for(self, header: Header) -> str:
        """Return who makes the offer of a job: the contractor its header names, else the firm."""
        return header.contractor.strip() or self.firm.name


NO_ONE = Letterhead()


def _as_one(name: str) -> str:
    return " ".join(name.split()).casefold()


def firm_fault(name: str, value: object) -> str:
    """Return what is wrong with one particular, as a sentence without its place; '' where nothing is.

    Examples
    --------
    >>> firm_fault("phone", 5550100)
    'this is no text; put it between quotation marks'
    >>> firm_fault("phone", "555-0100")
    ''
    """
    if name == "address":
        if not isinstance(value, list | tuple) or not all(isinstance(line, str) for line in value):
            return 'this is no list of lines; write ["12 Sample Street", "Springdale"]'
        if len(value) > MOST_LINES:
            return f"more than {MOST_LINES} lines; an address has fewer"
    elif not isinstance(value, str):
        return "this is no text; put it between quotation marks"
    try:
        msgspec.convert({name: value}, Firm)
    except ValidationError:
        most = {"terms": MOST_TERMS, "insured": 400}.get(name, MOST_LINE)
        return f"more than {most:,} characters{' in a line' if name == 'address' else ''}; shorten it"
    return ""
