"""The command line.

Exit codes: 0 done (for check: nothing at stop level), 1 check found something at stop level, 2 a file or an argument cannot be
read or written, 3 a fault in the program. Errors go to standard error as one line that names the file and the place.
"""

import argparse
import contextlib
import io
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path

from drainsketch.arguments import parsed
from drainsketch.errors import DrainsketchError, EditError, JobFileError, SheetError, UsageError
from drainsketch.files.atomic import in_words
from drainsketch.files.jobfile import EXTENSION, read_job
from drainsketch.files.saving import save_job, with_way_out
from drainsketch.findings import LEVELS, Finding
from drainsketch.job.edits.options import switch_to
from drainsketch.job.model import Job
from drainsketch.job.units import format_length
from drainsketch.resources import sample_jobs
from drainsketch.review import Review, analyse
from drainsketch.study import Study, play, remedies_of, study
from drainsketch.wording import Words


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if sys.stdout is None:  # closed by whoever started us
        sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")  # a terminal that knows no degree sign gets a question mark
    try:
        options = parsed(arguments)
        code = COMMANDS[options.command](options)
        sys.stdout.flush()
        return code
    except DrainsketchError as fault:
        _complain(str(fault))
        return 2
    except BrokenPipeError:  # the reader of our output went away, as with `| head`
        _drop_output()
        return 0
    except OSError as fault:
        _complain(f"{fault.filename or 'the output'}: {in_words(fault)}")
        _drop_output()
        return 2
    except Exception as fault:
        if os.environ.get("DRAINSKETCH_TRACE"):
            traceback.print_exc()
        _complain(f"a fault in the program, please report it: {type(fault).__name__}: {fault}")
        return 3


def _drop_output() -> None:
    """Send what is still to be written nowhere, so that the interpreter does not complain at its end."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def open_window() -> int:
    """Open the window; the entry point without a console."""
    return main(["window", *sys.argv[1:]])


def _complain(sentence: str) -> None:
    print("drainsketch: " + " ".join(sentence.split()), file=sys.stderr)


def _reviewed(path: Path, option: str | None) -> tuple[Job, Review]:
    job, closer = _studied(path, option)
    return job, closer.whole


def _studied(path: Path, option: str | None) -> tuple[Job, Study]:
    job = _read(path, option)
    return job, study(analyse(job))


def _read(path: Path, option: str | None = None) -> Job:
    """Return the job in a file, with the option of that name drawn; None leaves it as it was saved."""
    try:
        job = read_job(path)
    except JobFileError as fault:
        raise JobFileError(f"{path}: {with_way_out(str(fault), path)}") from fault
    try:
        return job if option is None else switch_to(job, option)
    except EditError as fault:
        raise UsageError(f"{path}: {fault}") from fault


def _guard(output: Path, job: Path, suffix: str) -> None:
    """Refuse to write over the job, or under a name that says something else than what is in the file."""
    if output.exists() and job.exists() and output.samefile(job):
        raise SheetError(f"{output}: that is the job file itself; name another file to write to")
    if output.suffix.lower() != suffix:
        raise SheetError(f"{output}: end the name in {suffix}")


def _window(options: argparse.Namespace) -> int:
    unix = sys.platform not in ("win32", "darwin")
    if unix and not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")):
        raise UsageError("there is no display to open a window on; check, sheets, takeoff and export work without one")
    from drainsketch.desk.app import run

    return run(options.job)


def _check(options: argparse.Namespace) -> int:
    job, closer = _studied(options.job, options.option)
    review, storm = closer.whole, play(closer)
    if options.json:
        from drainsketch.exports.report import check_report, json_text

        print(json_text(check_report(review, options.lang, closer, storm)))
    else:
        from drainsketch.sheets.storm_words import caveat_lines, storm_lines

        words = Words.of(job, options.lang)
        said = {level: words.word(f"findings.level.{level}") for level in LEVELS}
        width = max(map(len, said.values())) + 1
        for f in review.findings:
            print(f"{said[f.level]:{width}} {words.sentence(f)}")
            for line in _remedies(closer, f, words):
                print(f"{'':{width}}   {line}")
        if storm is not None:
            for line in (
                *storm_lines(job, storm, words),
                *caveat_lines(job, review.network, closer.water, storm, words),
            ):
                print(line)
        counts = {level: sum(f.level == level for f in review.findings) for level in LEVELS}
        print(words.word("findings.summary", **counts))
        print(words.word("findings.safety"))
    return 1 if any(f.level == "stop" for f in review.findings) else 0


def _remedies(closer: Study, finding: Finding, words: Words) -> list[str]:
    """Return the reason of a finding and its cures, a line each."""
    reason, cures = remedies_of(closer, finding)
    lines = []
    if reason is not None:
        lines.append(
            f"{words.word('remedies.why')}: {words.reason(reason.links, reason.short_ft, of_run=reason.of_run)}"
        )
    for cure in cures:
        text, _ = words.cure(cure.kind, cure.params)
        less = f" {words.word('remedies.less')}" if cure.keeps == "fall" else ""
        lines.append(f"{words.word('remedies.way_out')}: {text}.{less}")
    return lines


def _sheets(options: argparse.Namespace) -> int:
    from drainsketch.files.firm import letterhead_in_use
    from drainsketch.files.prices import prices_in_use
    from drainsketch.options import compared
    from drainsketch.planning import work_plan_of
    from drainsketch.pricing import offered
    from drainsketch.sheets.book import shows_storm, write_sheets
    from drainsketch.sheets.contents import Contents

    job, closer = _studied(options.job, options.option)
    _guard(options.output, options.job, ".pdf")
    prices, for_owner = prices_in_use(options.book, options.terms), shows_storm(options.audience)
    contents = Contents(
        job,
        closer.whole,
        ground=closer.ground,
        contours=options.contours,
        storm=closer.water,
        played=play(closer) if for_owner else None,
        options=compared(job, None if options.without_price else prices, played=True)
        if for_owner and job.aside
        else (),
        price=offered(closer.whole, prices) if for_owner and not options.without_price else None,
        letterhead=letterhead_in_use(),
        work=work_plan_of(closer.whole, prices) if options.audience != "record" else None,
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


def _takeoff(options: argparse.Namespace) -> int:
    job, review = _reviewed(options.job, options.option)
    for output, suffix in ((options.csv, ".csv"), (options.xlsx, ".xlsx")):
        if output is not None:
            _guard(output, options.job, suffix)
    if options.csv is not None:
        from drainsketch.exports.csv import write_takeoff_csv

        write_takeoff_csv(job, review, options.csv, options.lang)
    if options.xlsx is not None:
        from drainsketch.exports.xlsx import write_takeoff_xlsx

        write_takeoff_xlsx(job, review, options.xlsx, options.lang)
    if options.json:
        from drainsketch.exports.report import json_text, takeoff_report

        print(json_text(takeoff_report(review, options.lang)))
    elif options.loading:
        _print_loading(review, Words.of(job, options.lang))
    elif options.csv is None and options.xlsx is None:
        words = Words.of(job, options.lang)
        for line in review.takeoff:
            quantity, unit = words.counted(line)
            bought = words.bought(line, with_each=True)
            bought = f"  ({words.word('takeoff.purchase.buy', bought=bought)})" if bought else ""
            print(f"{quantity:>10} {unit:6} {words.item(line)}{bought}")
        stops = sum(f.level == "stop" for f in review.findings)
        if stops:
            print(words.word("findings.stops_stand", stops=stops))
    return 0


def _print_loading(review: Review, words: Words) -> None:
    """Print what goes on the truck, by where it is loaded."""
    from drainsketch.takeoff.loading_words import load_name, load_quantity

    place = ""
    for load in review.loading:
        if load.place != place:
            place = load.place
            print(words.word(f"details.loading.{place}"))
        quantity, unit = load_quantity(load, words)
        print(f"{quantity:>10} {unit:6} {load_name(load, words)}" if quantity else f"{'':18}{load_name(load, words)}")
    stops = sum(f.level == "stop" for f in review.findings)
    if stops:
        print(words.word("findings.stops_stand", stops=stops))


def _price(options: argparse.Namespace) -> int:
    from drainsketch.exports.price_report import price_json, price_report
    from drainsketch.exports.price_text import price_lines
    from drainsketch.files.prices import prices_in_use
    from drainsketch.pricing import price_of, priced_here

    _, review = _reviewed(options.job, options.option)
    prices = prices_in_use(options.book, options.terms)
    made = price_of(review, prices)
    if options.xlsx is not None:
        from drainsketch.exports.price_xlsx import write_price_xlsx

        _guard(options.xlsx, options.job, ".xlsx")
        write_price_xlsx(review, made, priced_here(prices, review.job.pricing).terms, options.xlsx, options.lang)
    if options.json:
        print(price_json(price_report(review, made, prices, options.lang)))
    elif options.xlsx is None:
        for line in price_lines(review, made, prices, options.lang):
            print(line)
    return 0


def _options(options: argparse.Namespace) -> int:
    from drainsketch.files.prices import prices_in_use
    from drainsketch.options import compared

    job = _read(options.job)
    variants = compared(job, prices_in_use(options.book, options.terms), played=True)
    if options.json:
        from drainsketch.exports.options_report import options_json, options_report

        print(options_json(options_report(variants)))
    else:
        from drainsketch.sheets.option_table import option_lines, option_table

        words = Words.of(job, options.lang)
        print("\n".join(option_lines(option_table(variants, words), words)))
    return 0


def _workplan(options: argparse.Namespace) -> int:
    from drainsketch.exports.workplan_report import work_plan_json, work_plan_report
    from drainsketch.exports.workplan_text import work_plan_lines
    from drainsketch.files.prices import prices_in_use
    from drainsketch.planning import work_plan_of

    _, review = _reviewed(options.job, options.option)
    plan = work_plan_of(review, prices_in_use(options.book, options.terms))
    if options.json:
        print(work_plan_json(work_plan_report(review, plan, options.lang)))
    else:
        for line in work_plan_lines(review, plan, options.lang):
            print(line)
    return 0


def _export(options: argparse.Namespace) -> int:
    job, closer = _studied(options.job, options.option)
    review = closer.whole
    suffix = options.output.suffix.lower()
    _guard(options.output, options.job, suffix)
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


def _import(options: argparse.Namespace) -> int:
    from drainsketch.files.drawing_place import backdrop_of, in_feet, largest_outline, placed
    from drainsketch.files.drawing_read import read_drawing
    from drainsketch.job.edits.add import add
    from drainsketch.job.edits.backdrop import lay_under
    from drainsketch.job.model import Boundary

    _guard(options.output, options.job, EXTENSION)
    job = _read(options.job)
    drawing = read_drawing(options.drawing)
    fitted = in_feet(drawing, job.header.units, options.unit)
    lines = placed(fitted, options.place, job)
    if options.taken_as == "under":
        job = lay_under(job, backdrop_of(lines, options.drawing.name))
    else:
        job = add(job, Boundary(id="boundary", points=largest_outline(lines, drawing.source)))
    save_job(job, options.output)
    wide, high = (format_length(ft, job.header.units) for ft in fitted.size_ft)
    print(f"{options.output}: {len(lines):,} lines, {wide} wide and {high} high")
    for said in fitted.told:
        print(said)
    return 0


def _picture(options: argparse.Namespace) -> int:
    from drainsketch.desk.picture import save_picture

    _guard(options.output, options.job, ".png")
    if options.option is not None:
        _read(options.job, options.option)  # says what is wrong before a window opens
    try:
        save_picture(options.job, options.output, options.size, options.option)
    except JobFileError as fault:
        raise JobFileError(f"{options.job}: {fault}") from fault
    return 0


def _schema(options: argparse.Namespace) -> int:
    import json

    from drainsketch.exports.options_report import options_schema
    from drainsketch.exports.price_report import price_schema
    from drainsketch.exports.report import report_schema
    from drainsketch.exports.workplan_report import work_plan_schema
    from drainsketch.files.schema import job_schema

    schemas = {"job": job_schema, "price": price_schema, "workplan": work_plan_schema, "options": options_schema}
    print(json.dumps(schemas[options.of]() if options.of in schemas else report_schema(options.of), indent=2))
    return 0


def _stock(options: argparse.Namespace) -> int:
    from drainsketch.files.stock import shipped_stock_text

    print(shipped_stock_text(), end="")
    return 0


def _prices(options: argparse.Namespace) -> int:
    from drainsketch.exports.price_text import said_unknown
    from drainsketch.files.price_terms import keep_terms, shipped_terms_text
    from drainsketch.files.pricebook import keep_price_book, own_book, shipped_book

    is_book = options.what == "book"
    if options.keep is None:
        print(shipped_book().read_text(encoding="utf-8") if is_book else shipped_terms_text(), end="")
        return 0
    read = own_book(options.keep) if is_book else None
    kept = keep_price_book(read) if read is not None else keep_terms(options.keep)
    for row in read.unknown if read is not None else ():
        print(f"{options.keep}: {said_unknown(row, Words())}")
    print(f"{kept}: kept for all jobs")
    return 0


def _contractor(options: argparse.Namespace) -> int:
    from drainsketch.files.firm import keep_firm, keep_logo, shipped_firm_text

    if options.keep is None and options.logo is None:
        print(shipped_firm_text(), end="")
    if options.keep is not None:
        print(f"{keep_firm(options.keep)}: kept for all jobs")
    if options.logo is not None:
        logo = keep_logo(options.logo)
        print(f"{options.logo}: kept a copy for all jobs, {logo.width_px} by {logo.height_px} pixels")
    return 0


def _samples(options: argparse.Namespace) -> int:
    for name in sorted(f.name for f in sample_jobs().iterdir() if f.name.endswith(".drainjob")):
        print(sample_jobs().joinpath(name))
    return 0


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "window": _window,
    "check": _check,
    "sheets": _sheets,
    "takeoff": _takeoff,
    "price": _price,
    "options": _options,
    "workplan": _workplan,
    "export": _export,
    "import": _import,
    "picture": _picture,
    "schema": _schema,
    "stock": _stock,
    "prices": _prices,
    "contractor": _contractor,
    "samples": _samples,
}


if __name__ == "__main__":
    sys.exit(main())
