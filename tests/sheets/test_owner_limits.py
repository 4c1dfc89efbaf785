"""What the owner is told of water and limits: what the crew's findings and the storm say, in his words."""

import pytest
from msgspec.structs import replace

from drainsketch.resources import table
from drainsketch.sheets.offer import found_words
from drainsketch.sheets.owner_limits import OUT, SAID_BY, known_words
from drainsketch.water.storm.facts import came_out_of
from drainsketch.wording import Words
from tests.sheets.offers import contents_of, opened, words_of
from tests.test_review import SAMPLES, sample


def told(name: str, lang: str = "en") -> str:
    contents = contents_of(sample(name), None)
    return " ".join(known_words(contents, Words.of(contents.job, lang, with_ids=False)))


def test_the_steep_lot_says_what_falls_to_the_house_what_is_cut_and_what_is_passed() -> None:
    text = told("steep-lot")
    assert "No rain was given" in text
    assert "The ground falls toward House." in text
    assert "cuts roots of Beech" in text
    assert "goes through Terrace wall" in text
    assert "close to the lot line: O1" in text


def test_water_that_comes_out_of_grates_is_told_with_its_figures() -> None:
    contents = contents_of(sample("long-flat-yard"), None)
    out = came_out_of(contents.played.after)
    text = told("long-flat-yard")
    names = tuple(out) or contents.storm.over
    assert names
    assert f"over the ground: {', '.join(names)}" in text
    assert "more water comes than some of the pipe carries" in text


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("lang", ["en", "es"])
def test_nothing_that_is_to_be_settled_is_passed_over(name: str, lang: str) -> None:
    contents = contents_of(sample(name), None)
    settle = {f.kind for f in contents.review.findings if f.level == "settle"} - set(OUT)
    text = told(name, lang)
    plain = {kind for kinds in SAID_BY.values() for kind in kinds}
    for key, kinds in SAID_BY.items():
        start = str(table(f"translations/{lang}/offer.toml")["know"][key]).split("{")[0]
        assert (start in text) == bool(settle & set(kinds)), key
    rest = str(table(f"translations/{lang}/offer.toml")["know"]["rest"]).split("{")[0]
    assert (rest in text) == bool(settle - plain)
    assert "::" not in text
    assert ": ." not in text  # no list without names


def test_every_kind_that_is_said_is_one_of_the_catalogue() -> None:
    known = table("catalogue/findings.toml")
    for kinds in SAID_BY.values():
        for kind in kinds:
            assert kind in known, kind


@pytest.mark.parametrize("name", SAMPLES)
def test_what_was_found_never_says_that_no_water_stands(name: str) -> None:
    """The corner lot's notes say that water stands for days, which its levels do not show."""
    contents = contents_of(sample(name), None)
    for case in (contents, replace(contents, played=None)):
        for said in found_words(case, Words.of(case.job)):
            assert not said.startswith("In the storm") or "would stand under water" in said
            assert "no water" not in said
            assert "no low ground" not in said


def test_it_stands_in_the_letter_and_may_be_left_out(tmp_path) -> None:
    contents = contents_of(sample("steep-lot"), None)
    for left_out, there in (((), True), (("limits",), False)):
        with opened(contents, tmp_path / "o.pdf", leave_out=left_out) as pdf:
            assert ("What you should know" in words_of(pdf)) == there
