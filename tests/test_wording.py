"""Every finding can be said, in every language and every unit."""

import re
import tomllib
from pathlib import Path

import pytest

from drainsketch.findings import LEVELS, Finding, Place, finding
from drainsketch.job.model import Criteria
from drainsketch.resources import resource, table
from drainsketch.review import analyse
from drainsketch.wording import Words, languages
from tests.test_review import SAMPLES, sample

KINDS = tuple(table("catalogue/findings.toml"))
LANGS = languages()


@pytest.mark.parametrize("lang", LANGS)
def test_every_kind_has_a_sentence_and_a_remedy_and_no_other_is_worded(lang: str) -> None:
    worded = {k for k, v in table(f"translations/{lang}/findings.toml").items() if isinstance(v, dict) and "text" in v}
    assert worded == set(KINDS)
    for kind in KINDS:
        assert table(f"translations/{lang}/findings.toml")[kind]["remedy"]


def test_every_kind_has_a_level_and_a_source() -> None:
    for kind in KINDS:
        f = finding(kind, Place())
        assert f.level in LEVELS
        assert f.source


def test_every_kind_is_made_somewhere_in_the_engine() -> None:
    code = "".join(p.read_text() for p in Path("drainsketch").rglob("*.py"))
    made = set(re.findall(r'"([a-z_]+)"', code))
    assert set(KINDS) <= made


@pytest.mark.parametrize("lang", LANGS)
@pytest.mark.parametrize("name", SAMPLES)
def test_sample_findings_and_takeoff_are_said_without_a_gap(name: str, lang: str) -> None:
    review = analyse(sample(name))
    for units in ("ft-in", "ft", "m"):
        words = Words(lang, units)  # type: ignore[arg-type]
        for f in review.findings:
            said = words.sentence(f) + words.remedy(f) + words.number_against_limit(f)
            assert "{" not in said
            assert "None" not in said
        for line in review.takeoff:
            assert "{" not in words.item(line) + words.rule(line)


def test_one_finding_is_said_in_feet_inches_decimals_and_meters() -> None:
    f = finding("under_hardscape", Place(ids=("R1", "hardscape-1")), value=12.5, run="R1", obstacle="hardscape-1")
    assert Words("en", "ft-in").sentence(f) == "R1 passes under hardscape-1 for 12' 6\"."
    assert Words("en", "ft").sentence(f) == "R1 passes under hardscape-1 for 12.50 ft."
    assert Words("en", "m").sentence(f) == "R1 passes under hardscape-1 for 3.81 m."


def test_a_registered_kind_is_asked_for() -> None:
    with pytest.raises(KeyError):
        finding("no_such_kind", Place())
    assert isinstance(finding("unused", Place(), structure="F1"), Finding)


def test_every_limit_of_the_criteria_has_a_name_and_a_source() -> None:
    named = tomllib.loads(resource("catalogue/criteria.toml").read_text(encoding="utf-8"))
    assert set(named) == set(Criteria.__struct_fields__)
    assert all(row["source"] for row in named.values())
