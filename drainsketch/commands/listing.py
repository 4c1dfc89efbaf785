"""The commands that need no job: schemas, what ships with the program, and what is kept for all jobs."""

import argparse

from drainsketch.resources import sample_jobs
from drainsketch.wording import Words


def schema(options: argparse.Namespace) -> int:
    """Print the JSON Schema of the job file, or of what --json prints."""
    import json

    from drainsketch.exports.options_report import options_schema
    from drainsketch.exports.price_report import price_schema
    from drainsketch.exports.report import report_schema
    from drainsketch.exports.workplan_report import work_plan_schema
    from drainsketch.files.schema import job_schema

    schemas = {"job": job_schema, "price": price_schema, "workplan": work_plan_schema, "options": options_schema}
    print(json.dumps(schemas[options.of]() if options.of in schemas else report_schema(options.of), indent=2))
    return 0


def stock(options: argparse.Namespace) -> int:
    """Print the basin stock that ships with the program."""
    from drainsketch.files.stock import shipped_stock_text

    print(shipped_stock_text(), end="")
    return 0


def prices(options: argparse.Namespace) -> int:
    """Print the example price book or terms, or keep those of a file for all jobs."""
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


def contractor(options: argparse.Namespace) -> int:
    """Print an example of a contractor's particulars, or keep those of a file, and a logo, for all jobs."""
    from drainsketch.files.firm import keep_firm, keep_logo, shipped_firm_text

    if options.keep is None and options.logo is None:
        print(shipped_firm_text(), end="")
    if options.keep is not None:
        print(f"{keep_firm(options.keep)}: kept for all jobs")
    if options.logo is not None:
        logo = keep_logo(options.logo)
        print(f"{options.logo}: kept a copy for all jobs, {logo.width_px} by {logo.height_px} pixels")
    return 0


def samples(options: argparse.Namespace) -> int:
    """Print where the sample yards lie."""
    for name in sorted(f.name for f in sample_jobs().iterdir() if f.name.endswith(".drainjob")):
        print(sample_jobs().joinpath(name))
    return 0
