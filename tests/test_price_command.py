"""drainsketch price and drainsketch prices, as a user meets them."""

import csv
import io
import json
import re
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest

from drainsketch.cli import main
from drainsketch.files.pricebook import shipped_book
from drainsketch.resources import sample_jobs
from tests.test_review import SAMPLES

YARDS = Path(str(sample_jobs().joinpath("corner-lot.drainjob"))).parent
YARD = YARDS / "corner-lot.drainjob"
EXAMPLE = shipped_book().read_text(encoding="utf-8")
MONEY = re.compile(r"-?\$[0-9,]+\.[0-9]{2}")


def run(capsys, *arguments):
    code = main([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return code, out, err


def amount(text: str) -> Decimal:
    return Decimal(text.replace("$", "").replace(",", ""))


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_what_is_printed_adds_up_and_is_the_json(capsys, name, lang):
    code, text, err = run(capsys, "price", YARDS / f"{name}.drainjob", "--lang", lang)
    assert (code, err) == (0, "")
    assert "{" not in text
    _, told, _ = run(capsys, "price", YARDS / f"{name}.drainjob", "--lang", lang, "--json")
    report = json.loads(told)
    lines = [line for line in text.splitlines() if re.match(r" *[0-9,.]+ \S.*\$[0-9,.]+\* ", line)]
    assert [amount(MONEY.findall(line)[1]) for line in lines] == [Decimal(row["amount"]) for row in report["lines"]]
    steps = {s["key"]: Decimal(s["amount"]) for s in report["steps"]}
    added = sum(steps.get(key, 0) for key in ("overhead", "profit", "minimum", "tax", "rounding"))
    assert sum(Decimal(row["amount"]) for row in report["lines"]) + added == Decimal(report["total"]) == steps["total"]
    for value in steps.values():
        assert f"${value:,.2f}" in text


def test_json_holds_against_its_schema(capsys):
    _, schema, _ = run(capsys, "schema", "price")
    for name in SAMPLES:
        _, told, _ = run(capsys, "price", YARDS / f"{name}.drainjob", "--json")
        report = json.loads(told)
        jsonschema.validate(report, json.loads(schema))
        assert (report["format"], report["version"], report["complete"]) == ("drainsketch-price", 1, True)
        assert {row["why"] for row in report["lines"]} == {""}
        assert report["stops"] == (2 if name == "courtyard" else 0)


def test_invented_figures_are_marked_above_beside_and_below(capsys, own_home):
    _, text, _ = run(capsys, "price", YARD)
    assert text.startswith("EXAMPLE PRICES: the figures marked * are invented and this is no bid.")
    assert "EXAMPLE TERMS: nobody set these, so that they too are invented: overhead, " in text
    assert f"Your own go in {own_home}" in text
    _, text, _ = run(capsys, "price", YARD, "--lang", "es")
    assert text.startswith("PRECIOS DE EJEMPLO: las cifras marcadas con * son inventadas")


def test_the_example_is_printed_edited_and_kept_for_all_jobs(capsys, own_home, tmp_path):
    for what, name in (("book", "prices.csv"), ("terms", "price-terms.toml")):
        code, text, _ = run(capsys, "prices", what)
        assert (code, "EXAMPLE" in text) == (0, True)
        mine = tmp_path / f"mine-{name}"
        mine.write_text(text.replace(",example,", ",our yard,").replace("EXAMPLE", "OURS"), encoding="utf-8")
        assert run(capsys, "prices", what, "--keep", mine) == (0, f"{own_home / name}: kept for all jobs\n", "")
    _, text, _ = run(capsys, "price", YARD)
    assert "EXAMPLE" not in text
    assert "*" not in text
    report = json.loads(run(capsys, "price", YARD, "--json")[1])
    assert (report["has_examples"], report["book"], report["terms"]) == (
        *(False, str(own_home / "prices.csv"), [str(own_home / "price-terms.toml")]),
    )


def test_a_named_book_and_terms_are_used(capsys, tmp_path):
    book, terms = tmp_path / "b.csv", tmp_path / "t.toml"
    book.write_text(
        EXAMPLE.replace("outlet_daylight,,6,,each,20.50", "outlet_daylight,,6,,each,520.50"), encoding="utf-8"
    )
    terms.write_text('profit_as = "margin"\nprofit_pct = 25\nvalid_days = 1\n', encoding="utf-8")
    code, text, _ = run(capsys, "price", YARD, "--book", book, "--terms", terms)
    assert code == 0
    assert "$520.50" in text
    assert "Profit, 25% margin on the price = 33.333% mark-up on cost" in text
    assert "Valid for 1 day." in text


def test_terms_for_one_job_say_only_what_is_different_there(capsys, tmp_path):
    own, here = tmp_path / "own.toml", tmp_path / "here.toml"
    own.write_text('valid_days = 9\nprofit_as = "mark-up"\nprofit_pct = 50\n', encoding="utf-8")
    here.write_text("valid_days = 5\n", encoding="utf-8")
    run(capsys, "prices", "terms", "--keep", own)
    assert "Valid for 9 days." in run(capsys, "price", YARD)[1]
    text = run(capsys, "price", YARD, "--terms", here)[1]
    assert "Valid for 5 days." in text
    assert "Profit, 33.333% margin on the price = 50% mark-up on cost" in text
    told = json.loads(run(capsys, "price", YARD, "--terms", here, "--json")[1])
    assert len(told["terms"]) == 2
    assert {"valid_days", "profit_as", "profit_pct"}.isdisjoint(told["example_terms"])


def test_what_is_only_a_matter_of_terms_marks_no_line(capsys, tmp_path):
    book = tmp_path / "b.csv"
    book.write_text(EXAMPLE.replace(",example,", ",our yard,"), encoding="utf-8")
    _, text, _ = run(capsys, "price", YARD, "--book", book)
    assert text.startswith("EXAMPLE TERMS: ")
    assert "*" not in text


def test_what_has_no_price_is_said_and_the_total_is_not_complete(capsys, tmp_path):
    book = tmp_path / "b.csv"
    head = next(row for row in EXAMPLE.splitlines() if row.startswith("item,"))
    book.write_text(f"{head}\nsock,,4,,ft,,,yes,,yard,\ntip_ton,,,,ton,,,no,,,\n", encoding="utf-8")
    code, text, err = run(capsys, "price", YARD, "--book", book)
    assert (code, err) == (0, "")
    assert re.search(r"56\.00 ft +\? +no price  Filter sock for 4 in pipe", text)
    assert "Total so far, NOT COMPLETE" in text
    assert "NOT COMPLETE: 2 lines have no price and are not in the total." in text
    assert "Deposit" not in text
    assert "settle  Filter sock for 4 in pipe: no price, since its row in the price book has no price." in text
    assert "In the price book, fill in: sock, size_in 4." in text
    report = json.loads(run(capsys, "price", YARD, "--book", book, "--json")[1])
    missing = [row for row in report["lines"] if row["amount"] is None]
    assert {(row["key"], row["why"]) for row in missing} == {("sock", "no_figure"), ("tip_ton", "no_figure")}
    assert (report["complete"], report["deposit"], report["balance"]) == (False, None, None)
    assert {(f["kind"], f["level"]) for f in report["findings"]} == {("no_price", "settle")}


def test_an_item_nobody_knows_is_said(capsys, tmp_path):
    book = tmp_path / "b.csv"
    book.write_text(EXAMPLE + "grates,,12,,each,1.00,,yes,,mine,\n", encoding="utf-8")
    _, text, _ = run(capsys, "price", YARD, "--book", book)
    assert "'grates' is not counted by any takeoff, so its price is not used; did you mean grate?" in text
    _, text, _ = run(capsys, "price", YARD, "--book", book, "--lang", "es")
    assert "ninguna cantidad cuenta 'grates', así que su precio no se usa; ¿quiso decir grate?" in text


def test_what_the_job_has_of_its_own_is_in_the_price_and_marked(capsys, tmp_path):
    job = json.loads(YARD.read_text())
    job["pricing"] = {
        "terms": {"tax_pct": 0, "valid_days": 9},
        "changes": [{"item": "tip_ton", "price": 20}, {"item": "grate", "size_in": "24", "price": 1}],
        "extras": [{"name": "Permit {of} the town", "price": 125}, {"name": "Stump", "quantity": 2, "unit": "each"}],
    }
    path = tmp_path / "own.drainjob"
    path.write_text(json.dumps(job), encoding="utf-8")
    for lang, told in (
        (
            "en",
            ("Extras", "Valid", "Figures marked ' are of this job alone.", "no line of it goes by: grate, size_in 24."),
        ),
        ("es", ("Adicionales", "INCOMPLETO", "Las cifras marcadas con ' son solo de esta obra.", "grate, size_in 24.")),
    ):
        code, text, err = run(capsys, "price", path, "--lang", lang)
        assert (code, err) == (0, "")
        assert all(said in text for said in told if said != "Valid")
        assert re.search(r"\$20\.00 +\$[0-9.,]+' ", text)
        assert "Permit {of} the town" in text
    report = json.loads(run(capsys, "price", path, "--json")[1])
    rows = {row["item"]: row for row in report["lines"]}
    assert (rows["Dump fee"]["unit_price"], rows["Dump fee"]["source"], rows["Dump fee"]["of_this_job"]) == (
        "20.00",
        "yours",
        True,
    )
    assert rows["Permit {of} the town"]["amount"] == "125.00"
    assert (rows["Stump"]["amount"], rows["Stump"]["why"]) == (None, "no_extra")
    assert (report["complete"], report["unused_changes"]) == (False, ["grate, size_in 24"])
    assert set(report["job_terms"]) == {"tax_pct", "valid_days"}
    assert "tax_pct" not in report["example_terms"]
    schema = json.loads(run(capsys, "schema", "price")[1])
    jsonschema.validate(report, schema)
    # none of it stops the job
    assert "no_price" not in run(capsys, "check", path)[1]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("price",), "job"),
        (("price", "nosuch.drainjob"), "nosuch.drainjob"),
        (("price", YARD, "--book", "nosuch.csv"), "nosuch.csv: this file cannot be read"),
        (("price", YARD, "--terms", "nosuch.toml"), "nosuch.toml: this file cannot be read"),
        (("price", YARD, "--book", YARD), "corner-lot.drainjob: line 1, column 1"),
        (("prices", "--keep", "nosuch.csv"), "nosuch.csv: this file cannot be read"),
        (("prices", "terms", "--keep", YARD), "this is not TOML"),
    ],
)
def test_a_wrong_call_is_one_line_and_exit_2(capsys, arguments, says):
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert says in err


def test_a_hostile_book_is_a_sentence_and_its_text_does_nothing(capsys, tmp_path):
    book = tmp_path / "b.csv"
    book.write_text(EXAMPLE.replace("sock,,4,,ft,0.35", "sock,,4,,ft,=cmd|'/c calc'!A1"), encoding="utf-8")
    code, out, err = run(capsys, "price", YARD, "--book", book)
    assert (code, out) == (2, "")
    assert re.search(r"b\.csv: line \d+, price: '=cmd\|'/c calc'!A1' is a formula; write the number", err)


def test_a_job_without_levels_and_one_without_anything(capsys, tmp_path):
    job = json.loads(YARD.read_text())
    bare = tmp_path / "bare.drainjob"
    bare.write_text(json.dumps({**job, "shots": [], "breaklines": [], "book": {}}), encoding="utf-8")
    code, text, _ = run(capsys, "price", bare)
    assert code == 0
    assert "NOT COMPLETE" in text
    assert "Dig R1, its stone and spoil: no price, since no depth is known there." in text
    assert "Hole, bed and risers of B1" in text
    empty = tmp_path / "empty.drainjob"
    empty.write_text(json.dumps({"format": job["format"], "version": job["version"]}), encoding="utf-8")
    assert run(capsys, "price", empty) == (0, "Nothing to price yet: draw a drain first.\n", "")


def test_metric_jobs_are_told_that_quantities_are_in_feet(capsys, tmp_path):
    job = json.loads(YARD.read_text())
    metric = tmp_path / "m.drainjob"
    metric.write_text(json.dumps({**job, "header": {**job["header"], "units": "m"}}), encoding="utf-8")
    _, text, _ = run(capsys, "price", metric)
    assert "Quantities are in the units of the price book, feet and short tons." in text


def test_the_printed_example_is_the_shipped_file(capsys):
    _, text, _ = run(capsys, "prices")
    assert text == EXAMPLE
    assert next(csv.reader(io.StringIO(text)))[0].startswith("# EXAMPLE PRICES, all invented")
