"""The door to the sheets: writes the set of pages of a job as one vector PDF at a true scale."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Literal

from drainsketch.errors import SheetError
from drainsketch.files.atomic import in_words, write_whole
from drainsketch.ground.results import GroundStudy
from drainsketch.job.ask import extent
from drainsketch.job.model import Job
from drainsketch.resources import resource
from drainsketch.review import Review
from drainsketch.water.results import Water as Storm
from drainsketch.water.storm.results import Storm as Played

Audience = Literal["crew", "owner", "record", "all"]


def shows_storm(audience: str) -> bool:
    """Return whether the sheets for somebody show the storm as it was played."""
    return audience in ("owner", "all")


def write_sheets(
    job: Job,
    review: Review,
    out_path: Path,
    *,
    paper: str = "letter",
    scale_ft_per_in: float | None = None,
    audience: Audience = "crew",
    lang: str = "en",
    ground: GroundStudy | None = None,
    contours: bool = False,
    storm: Storm | None = None,
    played: Played | None = None,
    asked: "Asked | None" = None,
) -> list[str]:
    """Write the sheets of a job and return the name of each page.

    Parameters
    ----------
    review : the review of this job
    out_path : the PDF file; an older one is replaced once the new one is whole
    paper : a key of ``scale.PAPERS``
    scale_ft_per_in : feet of ground per inch of paper; None picks the largest scale that fits
    audience : whose pages: 'crew', 'owner', 'record' (as built) or 'all'; nothing is on record before pipe was shot
    lang : language of the words; the units are the job's
    ground : the ground study of this job; standing water is drawn from it
    contours : whether its contours are drawn too, on the crew's plan
    storm : the water review of this job; its tables come into the crew's set
    played : its storm as it was played; the owner's set shows the yard in it. ``shows_storm`` says whether it is wanted

    Raises
    ------
    SheetError : nothing is drawn, paper or language is unknown, the scale does not fit, or the file cannot be written
    """
    from drainsketch.sheets.bind import bound_pages
    from drainsketch.sheets.offer import Asked
    from drainsketch.sheets.water_marks import Water

    if extent(job) is None:
        raise SheetError("Nothing is drawn yet: draw the yard first, then print it.")
    if audience not in ("crew", "owner", "record", "all"):
        raise SheetError(f"Sheets for {audience[:40]!r}: choose crew, owner, record or all.")
    if audience == "record" and not any(run.points for run in review.laid.values()):
        raise SheetError("Nothing was shot on laid pipe yet: type the as-laid readings in the cut sheet first.")
    if not lang.isalpha() or not resource(f"translations/{lang}/sheets.toml").is_file():
        raise SheetError(f"There are no sheets in the language {lang[:40]!r}.")
    data, names = bound_pages(
        job,
        review,
        paper=paper,
        scale_ft_per_in=scale_ft_per_in,
        audience=audience,
        lang=lang,
        water=Water(ground, contours) if ground is not None else None,
        storm=storm,
        played=played,
        asked_for=asked or Asked(),
    )
    replace_file(out_path, data)
    return names


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
