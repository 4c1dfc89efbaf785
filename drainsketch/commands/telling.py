"""The commands that tell of a job: what is found, counted, priced, held side by side, planned."""

import argparse

from drainsketch.commands.jobs import guard, read, reviewed, studied
from drainsketch.findings import LEVELS, Finding
from drainsketch.review import Review
from drainsketch.study import Study, play, remedies_of
from drainsketch.wording import Words


def check(options: argparse.Namespace) -> int:
    """Print what the review finds; 1 where something stops the job."""
    job, closer = studied(options.job, options.option)
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


def takeoff(options: argparse.Namespace) -> int:
    """Print the quantities, or write them as CSV or workbook."""
    job, review = reviewed(options.job, options.option)
    for output, suffix in ((options.csv, ".csv"), (options.xlsx, ".xlsx")):
        if output is not None:
            guard(output, options.job, suffix)
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


def price(options: argparse.Namespace) -> int:
    """Print the price, or write it as a workbook."""
    from drainsketch.exports.price_report import price_json, price_report
    from drainsketch.exports.price_text import price_lines
    from drainsketch.files.prices import prices_in_use
    from drainsketch.pricing import price_of, priced_here

    _, review = reviewed(options.job, options.option)
    prices = prices_in_use(options.book, options.terms)
    made = price_of(review, prices)
    if options.xlsx is not None:
        from drainsketch.exports.price_xlsx import write_price_xlsx

        guard(options.xlsx, options.job, ".xlsx")
        write_price_xlsx(review, made, priced_here(prices, review.job.pricing).terms, options.xlsx, options.lang)
    if options.json:
        print(price_json(price_report(review, made, prices, options.lang)))
    elif options.xlsx is None:
        for line in price_lines(review, made, prices, options.lang):
            print(line)
    return 0


def options(options: argparse.Namespace) -> int:
    """Print the options of a job side by side."""
    from drainsketch.files.prices import prices_in_use
    from drainsketch.options import compared

    job = read(options.job)
    variants = compared(job, prices_in_use(options.book, options.terms), played=True)
    if options.json:
        from drainsketch.exports.options_report import options_json, options_report

        print(options_json(options_report(variants)))
    else:
        from drainsketch.sheets.option_table import option_lines, option_table

        words = Words.of(job, options.lang)
        print("\n".join(option_lines(option_table(variants, words), words)))
    return 0


def workplan(options: argparse.Namespace) -> int:
    """Print the order of work day by day."""
    from drainsketch.exports.workplan_report import work_plan_json, work_plan_report
    from drainsketch.exports.workplan_text import work_plan_lines
    from drainsketch.files.prices import prices_in_use
    from drainsketch.planning import work_plan_of

    _, review = reviewed(options.job, options.option)
    plan = work_plan_of(review, prices_in_use(options.book, options.terms))
    if options.json:
        print(work_plan_json(work_plan_report(review, plan, options.lang)))
    else:
        for line in work_plan_lines(review, plan, options.lang):
            print(line)
    return 0
