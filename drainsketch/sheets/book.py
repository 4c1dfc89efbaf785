"""The door to the sheets: writes the set of pages of a job as one vector PDF at a true scale."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from io import BytesIO
from pathlib import Path
from typing import Literal, TypedDict, Unpack

from drainsketch.errors import SheetError
from drainsketch.files.atomic import in_words, write_whole
from drainsketch.job.ask import extent
from drainsketch.resources import resource
from drainsketch.sheets.contents import Contents

Audience = Literal["crew", "owner", "record", "all"]
READERS = ("crew", "owner", "record")


class Asked(TypedDict, total=False):
    """How sheets are asked for; see ``made_sheets``."""

    paper: str
    scale_ft_per_in: float | None
    audience: Audience
    lang: str | Mapping[str, str]
    leave_out: Collection[str]
    with_job: bool | None


def takes_job(audience: str, asked: bool | None) -> bool:
    """Return whether the job file travels in somebody's sheets: as asked, else not in those that are handed to the owner."""
    return audience in ("crew", "all") if asked is None else asked


def write_sheets(contents: Contents, out_path: Path, **asked: Unpack[Asked]) -> list[str]:
    """Write the sheets of a job and return the name of each page.

    Parameters
    ----------
    contents : the job and all that is known of it
    out_path : the PDF file; an older one is replaced once the new one is whole
    asked : as for ``made_sheets``

    Raises
    ------
    SheetError : the sheets cannot be made as asked, or the file cannot be written
    """
    data, names = made_sheets(contents, **asked)
    replace_file(out_path, data)
    return names


def made_sheets(
    contents: Contents,
    *,
    paper: str = "letter",
    scale_ft_per_in: float | None = None,
    audience: Audience = "crew",
    lang: str | Mapping[str, str] = "en",
    leave_out: Collection[str] = (),
    with_job: bool | None = None,
) -> tuple[BytesIO, list[str]]:
    """Return the sheets of a job as a PDF, and the name of each page.

    Parameters
    ----------
    contents : the job and all that is known of it
    paper : a key of ``scale.PAPERS``
    scale_ft_per_in : feet of ground per inch of paper; None picks the largest scale that fits
    audience : whose pages: 'crew', 'owner', 'record' (as built) or 'all'; nothing is on record before pipe was shot
    lang : language of the words, for all readers or by reader; the units are the job's
    leave_out : keys of pages that are not wanted (``pages.SETS``)
    with_job : whether the job file travels inside; None: in what stays with the contractor, not in the owner's or the record's sheets
        alone, since a job also holds prices

    Raises
    ------
    SheetError : nothing is drawn, paper, language or a page is unknown, or the scale takes too many pages
    """
    from drainsketch.sheets.bind import bound_pages

    if extent(contents.job) is None:
        raise SheetError("Nothing is drawn yet: draw the yard first, then print it.")
    if audience not in ("crew", "owner", "record", "all"):
        raise SheetError(f"Sheets for {audience[:40]!r}: choose crew, owner, record or all.")
    if audience == "record" and not any(run.points for run in contents.review.laid.values()):
        raise SheetError("Nothing was shot on laid pipe yet: type the as-laid readings in the cut sheet first.")
    langs = {reader: lang if isinstance(lang, str) else lang.get(reader, "en") for reader in READERS}
    for one in langs.values():
        if not one.isalpha() or not resource(f"translations/{one}/sheets.toml").is_file():
            raise SheetError(f"There are no sheets in the language {one[:40]!r}.")
    return bound_pages(
        contents,
        paper=paper,
        scale_ft_per_in=scale_ft_per_in,
        audience=audience,
        lang=langs,
        leave_out=leave_out,
        with_job=takes_job(audience, with_job),
    )


def replace_file(path: Path, data: BytesIO) -> None:
    """Write a file whole or not at all.

    Raises
    ------
    SheetError : the folder or file cannot be written
    """
    try:
        write_whole(path, data.getvalue())
    except OSError as fault:
        raise SheetError(f"{path}: {in_words(fault)}.") from None
    except ValueError:
        raise SheetError(f"{str(path)!r} is no file name; choose another one.") from None
