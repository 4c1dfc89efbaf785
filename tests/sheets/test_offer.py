"""The offer that a homeowner signs, read back from the PDF: its figures, what it promises, and when it is none."""

import json
import re
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.cli import main
from drainsketch.files.prices import prices_in_use
from drainsketch.files.saving import save_job
from drainsketch.job.firm import Letterhead
from drainsketch.job.model import Header, Job, Option
from drainsketch.job.pricing import Extra, Offer, Pricing
from drainsketch.job.sections import Sections
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.offer import after_words, found_words, time_words, usual_exclusions
from drainsketch.wording import Words
from tests.sheets.offers import (
    FIRM,
    contents_of,
    opened,
    own_files,
    own_prices,
    with_lines,
    words_of,
)
from tests.sheets.reading import least_type_pt, overlapping_text
from tests.sheets.test_spanish import TELLTALE, nameless, vocabulary
from tests.sheets.test_spanish import words_of as words_in
from tests.test_review import SAMPLES, sample

PAPERS = ("letter", "arch-d", "a4", "a3")
SOUND = [name for name in SAMPLES if name != "courtyard"]  # the courtyard cannot drain
MONEY = r"-?\$[0-9,]+\.[0-9]{2}"
SAYS = {
    "en": {
        "sale": "Price before tax",
        "tax": "Tax",
        "rounding": "Rounding",
        "total": "Total",
        "deposit": "Deposit, when you sign",
        "balance": "Balance, when the work is done",
    },
    "es": {
        "sale": "Precio sin impuesto",
        "tax": "Impuesto",
        "rounding": "Redondeo",
        "total": "Total",
        "deposit": "Anticipo, al firmar",
        "balance": "Saldo, al terminar el trabajo",
    },
}


@cache
def alone(name: str = "low-lawn") -> Job:
    """A sample with the drawn option alone."""
    return replace(sample(name), option="", option_note="", option_at=0, aside=())


def lawn() -> Job:
    """The low lawn, which names no contractor."""
    job = alone()
    return with_lines(replace(job, header=replace(job.header, contractor="")))


@pytest.fixture
def offer(tmp_path: Path) -> Contents:
    return contents_of(lawn(), own_prices(tmp_path))


def amount(text: str) -> Decimal:
    return Decimal(re.sub(r"[$,]", "", text))


def line_of(text: str, what: str) -> Decimal:
    found = re.findall(rf"^{re.escape(what)} ({MONEY})$", text, re.MULTILINE)
    assert len(found) == 1, (what, found)
    return amount(found[0])


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("paper", PAPERS)
def test_figures_are_those_of_the_price_command_to_the_cent(lang, paper, tmp_path, capsys):
    book, terms = own_files(tmp_path)
    job, out = tmp_path / "yard.drainjob", tmp_path / "o.pdf"
    permit = Pricing(extras=(Extra(name="Permit", price=123.45, taxed=False),))
    save_job(replace(lawn(), pricing=permit), job)
    asked = ("--book", str(book), "--terms", str(terms))
    assert main(["price", str(job), "--json", *asked]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["complete"], told["has_examples"], told["stops"]) == (True, False, 0)
    asked = (*asked, "--for", "owner", "--paper", paper, "--lang", lang)
    assert main(["sheets", str(job), "-o", str(out), *asked]) == 0
    from pdfplumber import open as read

    with read(out) as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
    steps = {step["key"]: Decimal(step["amount"]) for step in told["steps"]}
    for key, what in SAYS[lang].items():
        assert line_of(text, what) == steps[key], key
    price = text[text.index(f"\n{Words(lang).word('offer.price.title')}\n") :]
    shown = [amount(x) for x in re.findall(rf" ({MONEY})$", price, re.MULTILINE)]
    at = shown.index(steps["sale"])
    assert len(shown[:at]) == 4  # materials, work, hauling, and the permit by its name
    assert sum(shown[:at]) == steps["sale"]
    assert "\nPermit $" in price
    for hidden in ("direct", "overhead", "cost", "profit"):
        assert f"{steps[hidden]:,.2f}" not in text
    assert steps["sale"] + steps["tax"] + steps["rounding"] == steps["total"] == steps["deposit"] + steps["balance"]


@pytest.mark.parametrize("name", SOUND)
def test_the_total_alone_is_shown_unless_the_job_says_so(name, tmp_path):
    contents = contents_of(alone(name), own_prices(tmp_path))
    with opened(contents, tmp_path / "o.pdf") as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
    assert line_of(text, "Total") == contents.price.total
    assert "Digging, laying" not in text
    for secret in ("Overhead", "Profit", "Direct cost", "margin", "mark-up", "crew hour", " hours "):
        assert secret.lower() not in text.lower()
    assert text.count("Signature Signature") == 1
    assert f"at the total of ${contents.price.total:,.2f}" in " ".join(text.split())


@pytest.mark.parametrize("lang", ["en", "es"])
def test_nobody_can_sign_a_price_that_is_incomplete_or_an_example(lang, offer, tmp_path):
    words = Words(lang)
    sign, short = words.word("offer.accept.signature"), words.word("offer.band.short")
    missing = replace(offer.price, lines=(replace(offer.price.lines[0], amount=None), *offer.price.lines[1:]))
    cases = {
        "example": replace(offer, price=replace(offer.price, has_example_prices=True)),
        "incomplete": replace(offer, price=missing),
        "stops": contents_of(with_lines(sample("courtyard")), own_prices(tmp_path)),
    }
    for why, contents in cases.items():
        with opened(contents, tmp_path / "o.pdf", lang=lang) as pdf:
            text = words_of(pdf)
            told = [page for page in pdf.pages if page.extract_text().splitlines()[0].endswith(short)]
            assert len(told) >= 3  # every page of words
        assert sign not in text, why
        assert words.word("offer.title") not in text
        assert words.word("offer.band.title") in text
        if why == "incomplete":
            assert re.findall(MONEY, text) == []
            assert words.word("offer.price.none") in text
        if why == "example":
            assert f"{words.word('offer.price.total')}, {'EXAMPLE' if lang == 'en' else 'EJEMPLO'}" in text
        assert words.word("offer.time.title") not in text  # made with the same figures
    with opened(offer, tmp_path / "o.pdf", lang=lang) as pdf:
        assert words_of(pdf).count(sign) == 2


def test_the_shipped_prices_are_no_offer(tmp_path):
    with opened(contents_of(lawn(), prices_in_use()), tmp_path / "o.pdf") as pdf:
        text = words_of(pdf)
    assert "Invented example prices or terms are in it" in text
    assert "Signature" not in text


def test_terms_that_nobody_set_make_an_example_of_it(tmp_path):
    book, _ = own_files(tmp_path)
    assert contents_of(lawn(), prices_in_use(book)).price.has_examples


def test_without_a_price_the_set_stands_and_nobody_signs(tmp_path):
    job, out = tmp_path / "yard.drainjob", tmp_path / "o.pdf"
    save_job(lawn(), job)
    assert main(["sheets", str(job), "-o", str(out), "--for", "owner", "--without-price"]) == 0
    from pdfplumber import open as read

    with read(out) as pdf:
        text = words_of(pdf)
    assert "What we propose for your yard" in text
    assert "What will be done" in text
    assert "Not included" in text
    assert re.findall(MONEY, text) == []
    assert "Signature" not in text
    assert "NO OFFER" not in text


def test_it_is_valid_from_its_date_on(offer, tmp_path):
    until = date(2026, 10, 6) + timedelta(days=30)
    with opened(offer, tmp_path / "o.pdf") as pdf:
        assert f"Valid for 30 days, until {until.isoformat()}" in words_of(pdf)
    last = replace(offer, job=replace(offer.job, header=Header(title="x", date="9999-12-20")))
    with opened(last, tmp_path / "o.pdf") as pdf:
        assert "until 9999-12-31" in words_of(pdf)


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_overlaps_leaves_the_margin_or_is_too_small(lang, paper, offer, tmp_path):
    with opened(offer, tmp_path / "o.pdf", paper=paper, lang=lang) as pdf:
        for page in pdf.pages:
            assert overlapping_text(page) == []
            assert least_type_pt(page) >= 8.99
            for thing in (*page.chars, *page.images):
                assert thing["x0"] >= 26
                assert thing["x1"] <= page.width - 26
                assert thing["y0"] >= 24  # the foot stands on the margin
                assert thing["y1"] <= page.height - 26
        letter = next(page for page in pdf.pages if Words(lang).word("offer.title") in page.extract_text())
        body = [c for c in letter.chars if c["x0"] > 60 and c["top"] > 200]
        assert sorted(c["size"] for c in body)[len(body) // 2] >= 10.99  # large type
        office = (595.28, 841.89) if paper in ("a4", "a3") else (612.0, 792.0)  # ISO 216; letter, 8 1/2 by 11 in
        assert (letter.width, letter.height) == pytest.approx(office, abs=0.1)


def test_the_logo_keeps_its_aspect_small_on_the_plan_and_larger_on_the_letter(offer, tmp_path):
    with opened(offer, tmp_path / "o.pdf") as pdf:
        found = {page.page_number: page.images for page in pdf.pages if page.images}
        letter = next(p.page_number for p in pdf.pages if "Offer for draining" in p.extract_text())
    assert set(found) == {1, letter}
    for images, widest, tallest in ((found[1], 110, 32.2), (found[letter], 190, 64)):
        (image,) = images
        assert image["srcsize"] == (300, 100)  # every pixel of it
        assert image["width"] / image["height"] == pytest.approx(3.0, rel=0.01)
        assert image["width"] <= widest + 0.1
        assert image["height"] <= tallest + 0.1
        assert max(image["width"] / widest, image["height"] / tallest) == pytest.approx(1.0, abs=0.01)


def test_who_makes_the_offer_stands_on_every_set(offer, tmp_path):
    from drainsketch.sheets.book import write_sheets

    write_sheets(replace(offer, job=replace(offer.job, header=Header(title="x"))), tmp_path / "c.pdf", audience="crew")
    from pdfplumber import open as read

    with read(tmp_path / "c.pdf") as pdf:
        plan = pdf.pages[0].extract_text()
        assert pdf.metadata["Author"] == FIRM.name
        assert len(pdf.pages[0].images) == 1
    assert "Willow Drainage" in plan
    assert "INV-4711" in plan
    with opened(offer, tmp_path / "o.pdf") as pdf:
        text = words_of(pdf)
    for said in ("7 Invented Road", "555-0142", "License INV-4711", "Invented Mutual", "Half on signing."):
        assert said in text


@pytest.mark.parametrize("audience", ["owner", "crew"])
def test_another_contractor_stands_alone_without_the_particulars_of_the_firm_that_is_kept(audience, offer, tmp_path):
    from pdfplumber import open as read

    from drainsketch.sheets.book import write_sheets

    for named, in_full in (("Another Yard Company", False), ("  willow  Drainage (INVENTED)", True), ("", True)):
        job = replace(offer.job, header=replace(offer.job.header, contractor=named))
        write_sheets(replace(offer, job=job), tmp_path / "s.pdf", audience=audience)
        with read(tmp_path / "s.pdf") as pdf:
            text = words_of(pdf)
            assert any(page.images for page in pdf.pages) == in_full
        assert ("INV-4711" in text) == in_full
        if not in_full:
            assert named in text
            for other in ("Willow", "7 Invented Road", "555-0142", "Invented Mutual", "Half on signing."):
                assert other not in text


@pytest.mark.parametrize("lang", ["en", "es"])
def test_what_is_no_offer_says_so_on_every_page(lang, offer, tmp_path):
    short = Words(lang).word("offer.band.short")
    example = replace(offer, price=replace(offer.price, has_example_prices=True))
    with opened(example, tmp_path / "o.pdf", lang=lang) as pdf:
        assert len(pdf.pages) >= 5
        for page in pdf.pages:
            assert short in page.extract_text(), page.page_number
            assert overlapping_text(page) == []
    with opened(offer, tmp_path / "o.pdf", lang=lang) as pdf:
        assert short not in words_of(pdf)


def test_who_signs_reads_what_for_with_every_option_and_its_price(tmp_path):
    from drainsketch.options import compared

    prices, job = own_prices(tmp_path), sample("low-lawn")
    contents = replace(contents_of(job, prices), options=compared(job, prices))
    with opened(contents, tmp_path / "o.pdf") as pdf:
        (page,) = [p for p in pdf.pages if "Signature" in p.extract_text()]
        text = page.extract_text()
    for one in contents.options:
        assert f"{one.name} ${one.price.total:,.2f}" in text
    assert "For Low back lawn that stands after rain: I accept this offer dated 2026-10-06" in " ".join(text.split())
    assert "Where the water may go" in text  # the lines to sign are not alone


def test_a_heading_is_not_alone_at_the_foot_of_a_page(offer, tmp_path):
    titles = {Words().word(f"offer.{key}.title") for key in ("done", "know", "after", "excluded", "lawful", "terms")}
    titles.add(Words().word("sheets.owner.open_title"))
    for name in ("courtyard", "corner-lot"):
        for left_out in ((), ("limits",)):
            with opened(contents_of(alone(name), None), tmp_path / "o.pdf", leave_out=left_out) as pdf:
                for page in pdf.pages:
                    *_, before, last, _foot = ["", "", "", *page.extract_text().splitlines()]
                    assert not {before.strip(), last.strip()} & titles, (name, page.page_number)


def test_what_is_left_out_is_the_usual_list_or_the_jobs_own(tmp_path):
    own = contents_of(with_lines(sample("low-lawn"), excluded=("Moving the shed.",), note="Thank you."), None)
    with opened(own, tmp_path / "o.pdf") as pdf:
        text = words_of(pdf)
    assert "Moving the shed." in text
    assert "A word from us Thank you." in text
    assert not any(line in text for line in usual_exclusions())
    for lang in ("en", "es"):
        with opened(contents_of(sample("low-lawn"), None), tmp_path / "o.pdf", lang=lang) as pdf:
            text = words_of(pdf)
        assert all(line in text for line in usual_exclusions(lang))
        assert Words(lang).word("offer.lawful.text") in text


def test_the_crews_notes_are_not_the_owners(tmp_path):
    job = replace(lawn(), header=replace(lawn().header, notes="The dog bites, and he pays late."))
    with opened(contents_of(job, None), tmp_path / "o.pdf") as pdf:
        assert "bites" not in words_of(pdf)


def test_what_was_found_is_the_played_storm_or_else_the_ground(offer):
    words = Words.of(offer.job)
    (played, _) = found_words(offer, words)
    assert "In the storm we figured for (10-year, " in played
    assert "It has nowhere to run" in played
    (ground, _) = found_words(replace(offer, played=None), words)
    assert ground.startswith("By the levels we shot, low ground holds water in 2 places, up to 5 1/2 in deep")
    (nothing, _) = found_words(replace(offer, played=None, ground=None), words)
    assert nothing.startswith("Not enough levels were shot yet")


def test_what_is_seen_afterward_is_what_is_built():
    words, job = Words(), sample("low-lawn")
    said = " ".join(after_words(job, words))
    assert "mow over them: 3." in said
    assert "flushed: 1." in said
    assert "water comes out: 1." in said
    assert "under 4 in of topsoil" in said
    assert "straw" in said
    assert "sod" in " ".join(after_words(replace(job, sections=Sections(lawn="sod")), words))
    assert after_words(Job(), words) == ()


def test_an_arrow_shows_where_the_water_leaves(offer, tmp_path):
    """O1 of the low lawn is reached from the north, so the arrow points south, below the outfall's own sign."""
    arrow = (0x24 / 255, 0x78 / 255, 0xAD / 255)
    with opened(offer, tmp_path / "o.pdf") as pdf:
        page = pdf.pages[0]
        shapes = [
            s
            for s in page.curves
            if s["non_stroking_color"] is not None and s["non_stroking_color"] == pytest.approx(arrow, abs=0.01)
        ]
        (outfall,) = [w for w in page.extract_words() if w["text"] == "O1"]
        (words,) = page.search("the water leaves here", regex=False, main_group=0)[-1:] or [None]
    on_plan = [s for s in shapes if abs(s["x0"] - outfall["x1"]) < 40]
    assert on_plan
    assert all(s["height"] > s["width"] for s in on_plan)  # upright: along the pipe
    assert all(s["top"] > outfall["top"] - 2 for s in on_plan)
    assert words is not None


def test_with_options_the_owner_names_the_one_he_chooses(offer, tmp_path):
    job = replace(offer.job, option="Two grates", aside=(Option(name="One grate"),))
    with opened(replace(offer, job=job), tmp_path / "o.pdf") as pdf:
        text = words_of(pdf)
    assert "Price of the option Two grates" in text
    assert "for the option named here, at the total printed for it" in text
    assert "Option chosen" in text
    with opened(offer, tmp_path / "o.pdf") as pdf:
        assert "ption chosen" not in words_of(pdf)


def test_the_days_are_those_of_the_work_plan_where_it_has_more(offer, tmp_path):
    from drainsketch.planning import work_plan_of

    work = work_plan_of(offer.review, own_prices(tmp_path))
    days = max(len(work.days), -(-offer.price.crew_hours // 8))  # days of 8 hours
    assert f"About {days} working days" in " ".join(time_words(replace(offer, work=work), Words()))
    more = replace(work, days=work.days * 5)
    assert f"About {5 * len(work.days)} working days" in " ".join(time_words(replace(offer, work=more), Words()))


def test_no_english_is_left_in_a_spanish_offer(tmp_path):
    job = replace(nameless(alone()), offer=Offer(show_lines=True))
    made = contents_of(job, own_prices(tmp_path), Letterhead())
    theirs = vocabulary("gal min Invented example, no real place")  # units, and what the job says of its rain
    for contents in (
        made,
        replace(made, price=replace(made.price, has_example_prices=True)),
        replace(made, played=None),
    ):
        with opened(contents, tmp_path / "o.pdf", lang="es") as pdf:
            found = vocabulary(words_of(pdf))
        assert found & TELLTALE == set()
        assert found & (words_in("en") - words_in("es")) <= theirs
