"""The profiles of the crew's set, read back from the real PDF."""

import re
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from msgspec.structs import replace

from drainsketch.job.edits.add import add
from drainsketch.job.model import Header, Job, Run, Structure
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.profile_page import lines_of_pipe
from tests.desk.at_desk import PLANE_YARD
from tests.sheets.reading import written

# O1 at x = 50, B1 50 ft up at x = 0, B2 another 50 ft up at (-40, 30)
BRANCHED = add(
    add(PLANE_YARD, Structure(id="B2", kind="basin", point=(-40.0, 30.0), size_in=12)),
    Run(id="R2", start="B2", end="B1"),
)


def words_of(job: Job, path: Path, lang: str = "en") -> tuple[list[dict[str, Any]], str]:
    """Return the words and the text of the page the profiles begin on."""
    write_sheets(Contents(job, analyse(job)), path, lang=lang)
    title = {"en": "Profiles", "es": "Perfiles"}[lang]
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages[1:]:
            text = page.extract_text()
            if re.search(rf"^{title}$", text, re.MULTILINE):
                return page.extract_words(), text
    raise AssertionError("there are no profiles in the set")


@pytest.mark.parametrize(("units", "unit_ft"), [("ft", 1.0), ("m", 1 / 0.3048)])
def test_stations_stand_at_the_scale_that_is_printed(tmp_path: Path, units: Any, unit_ft: float) -> None:
    """72 pt are an inch of paper."""
    job = replace(BRANCHED, header=Header(title="Yard", units=units))
    words, text = words_of(job, tmp_path / "set.pdf")
    if units == "m":
        along = float(re.search(r"Along 1:([\d.]+)", text)[1]) / 12  # type: ignore[index]
    else:
        along = float(re.search(r"Along 1 in = ([\d.]+) ft", text)[1])  # type: ignore[index]
    title = next(w["top"] for w in words if w["text"].startswith("Profile"))
    foot = min(
        w["top"] for w in words if w["text"] == ("m" if units == "m" else "ft") and w["x0"] < 90 and w["top"] > title
    )
    ticks = {
        float(w["text"]): (w["x0"] + w["x1"]) / 2
        for w in words
        if abs(w["top"] - foot) < 2 and re.fullmatch(r"[\d.]+", w["text"])
    }
    low, high = min(ticks), max(ticks)
    assert high > low
    assert (ticks[high] - ticks[low]) / 72 * along == pytest.approx((high - low) * unit_ft, rel=0.004)


def test_every_run_is_on_a_profile_and_none_is_drawn_for_nothing() -> None:
    review = analyse(BRANCHED)
    found = lines_of_pipe(review)
    assert len(found) == 1  # the path of B1 is part of that of B2
    assert set(found[0]) == {"R1", "R2"}


def test_a_line_ends_where_it_joins_one_shown_before() -> None:
    """Two basins on one main: the main is drawn once."""
    structures = (*BRANCHED.structures, Structure(id="B9", kind="basin", point=(10.0, 30.0)))
    joined = replace(BRANCHED, structures=structures, runs=(*BRANCHED.runs, Run(id="R9", start="B9", end="B1")))
    review = analyse(joined)
    every = [run for runs in lines_of_pipe(review) for run in runs]
    assert sorted(every) == ["R1", "R2", "R9"]
    assert len(lines_of_pipe(review)) == 2


def test_structures_slopes_and_services_are_lettered_in_both_languages(tmp_path: Path) -> None:
    for lang in ("en", "es"):
        _, text = words_of(BRANCHED, tmp_path / f"{lang}.pdf", lang)
        for part in ("B2 → O1", "B1", "2.00%", "G"):
            assert part in text


def test_without_shots_there_are_no_profiles(tmp_path: Path) -> None:
    with pytest.raises(AssertionError, match="no profiles"):
        words_of(replace(BRANCHED, shots=()), tmp_path / "set.pdf")


def test_a_run_without_length_has_no_profile_and_the_set_is_written(tmp_path: Path) -> None:
    """Basin and outfall on one spot: there is nothing to draw from the side, and the warnings say so."""
    here = tuple(replace(s, point=(50.0, 0.0)) for s in PLANE_YARD.structures)
    job = replace(PLANE_YARD, structures=here)
    write_sheets(Contents(job, analyse(job)), tmp_path / "set.pdf")
    with pdfplumber.open(tmp_path / "set.pdf") as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
    assert "has no length" in text
    assert not re.search(r"^Profiles$", text, re.MULTILINE)


def test_the_strip_dug_by_hand_is_hatched_lettered_and_keyed_in_black(tmp_path: Path) -> None:
    """It has to stand out on gray paper: an outline and a hatch in ink over any fill, and a letter at its foot."""
    for lang, letter, key in (("en", "H", "dig by hand"), ("es", "M", "excavar a mano")):
        path = tmp_path / f"{lang}.pdf"
        with written(BRANCHED, path, lang=lang, audience="crew") as pdf:
            page = next(p for p in pdf.pages if key in p.extract_text() and f"{letter} {key}" in p.extract_text())
            bold = [c for c in page.chars if c["text"] == letter and "Bold" in c["fontname"] and c["size"] == 9.0]
            sloping = [
                line
                for line in page.lines
                if abs(abs(line["x1"] - line["x0"]) - abs(line["bottom"] - line["top"])) < 0.1
            ]
        assert bold
        assert len(sloping) > 12
