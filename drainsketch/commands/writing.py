"""The commands that write a file of a job: sheets, drawings for others, a job with a drawing under it, a picture."""

import argparse

from drainsketch.commands.jobs import guard, read, studied
from drainsketch.errors import JobFileError, SheetError
from drainsketch.files.jobfile import EXTENSION
from drainsketch.files.saving import save_job
from drainsketch.job.units import format_length
from drainsketch.wording import Words


def sheets(options: argparse.Namespace) -> int:
    """Write the sheets of a job as PDF."""
    from drainsketch.files.firm import letterhead_in_use
    from drainsketch.files.prices import prices_in_use
    from drainsketch.sheets.book import write_sheets
    from drainsketch.sheets.contents import contents_for

    _, closer = studied(options.job, options.option)
    guard(options.output, options.job, ".pdf")
    contents = contents_for(
        closer,
        options.audience,
        prices_in_use(options.book, options.terms) if options.audience != "record" else None,
        letterhead_in_use(),
        contours=options.contours,
        with_price=not options.without_price,
    )
    try:
        pages = write_sheets(
            contents,
            options.output,
            paper=options.paper,
            scale_ft_per_in=options.scale,
            audience=options.audience,
            lang=options.lang,
            leave_out=options.leave_out,
            with_job=options.job_inside,
        )
    except SheetError as fault:
        raise SheetError(f"{options.job}: {fault}") from fault
    lang = options.lang if isinstance(options.lang, str) else "en"
    print(f"{options.output}: {Words(lang).word('sheets.page.count', count=len(pages))}")
    return 0


def export(options: argparse.Namespace) -> int:
    """Write the plan for other programs, by the ending of the file."""
    job, closer = studied(options.job, options.option)
    review = closer.whole
    suffix = options.output.suffix.lower()
    guard(options.output, options.job, suffix)
    match suffix:
        case ".dxf":
            from drainsketch.exports.dxf import write_dxf

            write_dxf(job, review, options.output, closer.ground)
        case ".geojson":
            from drainsketch.exports.geojson import write_geojson

            write_geojson(job, review, options.output)
        case ".csv" if options.csv == "cut-sheet":
            from drainsketch.exports.cut_csv import write_cut_sheet_csv

            write_cut_sheet_csv(job, review, options.output)
        case ".csv":
            from drainsketch.exports.csv import write_points_csv

            write_points_csv(job, review, options.output)
        case ".xml":
            raise SheetError(
                f"{options.output}: XML is left out, since no schema is at hand to hold it against; use .dxf"
            )
        case other:
            raise SheetError(f"{options.output}: cannot write '{other}'; end the name in .dxf, .geojson or .csv")
    return 0


def import_(options: argparse.Namespace) -> int:
    """Write a job with a drawing from elsewhere under its plan, or with its lot line."""
    from drainsketch.files.drawing_place import backdrop_of, in_feet, largest_outline, placed
    from drainsketch.files.drawing_read import read_drawing
    from drainsketch.job.edits.add import add
    from drainsketch.job.edits.backdrop import lay_under
    from drainsketch.job.model import Boundary

    guard(options.output, options.job, EXTENSION)
    job = read(options.job)
    drawing = read_drawing(options.drawing)
    fitted = in_feet(drawing, job.header.units, options.unit)
    lines = placed(fitted, options.place, job)
    if options.taken_as == "under":
        job = lay_under(job, backdrop_of(lines, options.drawing.name))
    else:
        job = add(job, Boundary(id="boundary", points=largest_outline(lines, drawing.source)))
    save_job(job, options.output)
    wide, high = (format_length(ft, job.header.units) for ft in fitted.size_ft)
    count = "1 line" if len(lines) == 1 else f"{len(lines):,} lines"
    print(f"{options.output}: {count}, {wide} wide and {high} high")
    for said in fitted.told:
        print(said)
    return 0


def picture(options: argparse.Namespace) -> int:
    """Write a picture of the window with the job in it."""
    from drainsketch.desk.picture import save_picture

    guard(options.output, options.job, ".png")
    if options.option is not None:
        read(options.job, options.option)  # says what is wrong before a window opens
    try:
        save_picture(options.job, options.output, options.size, options.option)
    except JobFileError as fault:
        raise JobFileError(f"{options.job}: {fault}") from fault
    return 0
