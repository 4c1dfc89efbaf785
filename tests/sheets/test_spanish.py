"""The Spanish sheets: nothing English left on them, nothing cut off, the cautions as strong as the English ones."""

import re
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from msgspec.structs import replace

from drainsketch.job import model as m
from drainsketch.job.model import Job
from drainsketch.look import STYLES, SYMBOLS
from drainsketch.resources import table
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.fonts import NARROW_BOLD, width_of
from drainsketch.sheets.legend import write_legend
from drainsketch.sheets.pages import CAUTIONS
from drainsketch.sheets.para import CELL_PAD_PT, HEAD, column_widths
from drainsketch.sheets.schedules import crossing_schedule, run_schedule, structure_schedule
from drainsketch.sheets.strip import legend_block, style_entry, symbol_entry
from drainsketch.wording import Words
from tests.sheets import yards
from tests.sheets.reading import least_type_pt, overlapping_text
from tests.test_review import SAMPLES, sample

_TELLTALE = (
    "the of and with from before after each page plan pipe trench depth ground level slope cover cut fall run runs basin "
    "outfall inlet invert rim grate service crossing station warning warnings limit stone soil spoil topsoil fitting "
    "downspout cleanout ditch deep unknown perforated solid dig digging safe call length quantity unit item in ft"
)
TELLTALE = set(_TELLTALE.split())
ID = re.compile(r"\b[a-z]+(?:-[a-z]+)*-\d+\b")  # gas-1: stays as it is in every language


def nameless(job: Job) -> Job:
    """Return a job without a word of its own, so that every word on its sheets is the program's."""

    def bare(things: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(replace(t, name="") for t in things)

    return replace(
        job,
        header=m.Header(date="2026-05-04", units=job.header.units),
        **{kind: bare(getattr(job, kind)) for kind in ("obstacles", "downspouts", "services", "structures")},
    )


def vocabulary(text: str) -> set[str]:
    """Return the words of a text; single letters stand for services and warnings."""
    return set(re.findall(r"[^\W\d_]{2,}", ID.sub(" ", text.lower())))


@cache
def words_of(lang: str) -> frozenset[str]:
    """Return every word of a language's tables, the catalogue's sources with the English."""
    names = [f"translations/{lang}/{name}.toml" for name in ("findings", "takeoff", "sheets", "offer")]
    texts = [text for name in (*names, *(["catalogue/findings.toml"] if lang == "en" else [])) for text in said(name)]
    return frozenset(vocabulary(re.sub(r"\{.*?\}", " ", " ".join(texts))))


def said(name: str) -> list[str]:
    def walk(at: Any) -> list[str]:
        return [at] if isinstance(at, str) else [text for value in at.values() for text in walk(value)]

    return walk(table(name))


def printed(job: Job, path: Path, **asked: Any) -> Any:
    write_sheets(Contents(job, analyse(job)), path, lang="es", **asked)
    return pdfplumber.open(path)


def read(pages: list[Any]) -> str:
    return " ".join(" ".join(w["text"] for w in page.extract_words(use_text_flow=True)) for page in pages)


JOBS = {**{name: nameless(sample(name)) for name in SAMPLES}, "rich": nameless(yards.rich())}


@pytest.mark.parametrize("name", JOBS)
def test_no_english_is_left(name: str, tmp_path: Path) -> None:
    with printed(JOBS[name], tmp_path / "p.pdf", audience="all") as pdf:
        text = read(pdf.pages)
        outline = " ".join(title for _, title, *_ in pdf.doc.get_outlines())
    assert "{" not in text
    found = vocabulary(f"{text} {outline}")
    assert found & TELLTALE == set()
    own = vocabulary(" ".join(mark.name for mark in JOBS[name].book.benchmarks))  # names stay as they are written
    assert found & (words_of("en") - words_of("es")) - own == set()


@pytest.mark.parametrize("name", SAMPLES)
def test_the_crews_set_says_the_cautions_in_full(name: str, tmp_path: Path) -> None:
    with printed(sample(name), tmp_path / "p.pdf") as pdf:
        text = read(pdf.pages)
        plan = read(pdf.pages[:1])
        assert pdf.doc.catalog["Lang"] == b"es"
        for page in pdf.pages:
            assert "Llame al 811 antes de excavar. Este plano no dice que sea seguro excavar." in page.extract_text()
    assert plan.count("Este plano no dice que sea seguro excavar.") == 2  # in the strip and at the foot
    for key in CAUTIONS:
        assert Words("es").word(f"sheets.caution.{key}") in text
    assert "{" not in text


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", ["metric"])
def test_longer_words_neither_overlap_nor_leave_their_place(name: str, paper: str, tmp_path: Path) -> None:
    job = yards.rich("m") if name == "metric" else sample(name)
    with printed(job, tmp_path / "p.pdf", paper=paper, audience="all") as pdf:
        for page in pdf.pages:
            assert least_type_pt(page) >= 8.99
            assert overlapping_text(page) == []
            for thing in (*page.chars, *page.lines, *page.curves, *page.rects):
                # 27 pt is the margin of every sheet; half a line's width may stand over it
                assert thing["x0"] >= 26
                assert thing["x1"] <= page.width - 26


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("width", [102.0, 224.0, 527.0, 1100.0])
def test_the_legend_stays_within_its_room(lang: str, width: float) -> None:
    words = Words(lang)
    entries = (*(style_entry(n, words) for n in STYLES), *(symbol_entry(n, words) for n in SYMBOLS))
    block = legend_block(entries, width, words)
    assert block.width <= width
    lines = [item.text for item in block.items if hasattr(item, "bold") and not item.bold]
    assert " ".join(lines) == " ".join(e.name for e in entries)


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("width", [541.0, 558.0, 738.0])
def test_no_word_of_a_tables_head_is_broken(lang: str, width: float) -> None:
    job = yards.rich()
    review, words = analyse(job), Words(lang)
    for schedule in (
        crossing_schedule(review, words),
        structure_schedule(job, review, words),
        run_schedule(job, review, words),
    ):
        widths = column_widths(schedule, width)
        assert sum(widths) == pytest.approx(width)
        for column, room in zip(schedule.columns, widths, strict=True):
            for word in column.head.split():
                assert width_of(word, NARROW_BOLD, HEAD.fontSize) <= room - 2 * CELL_PAD_PT


def test_the_legend_sheet_is_spanish(tmp_path: Path) -> None:
    write_legend(tmp_path / "legend.pdf", "es")
    with pdfplumber.open(tmp_path / "legend.pdf") as pdf:
        page = pdf.pages[0]
        assert vocabulary(page.extract_text()) & (TELLTALE | (words_of("en") - words_of("es"))) == set()
        assert overlapping_text(page) == []
        assert max(c["x1"] for c in page.chars) <= page.width - 18
