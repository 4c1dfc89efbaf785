"""Every finding can be said, in every language and every unit."""

import re
import tomllib
from pathlib import Path
from string import Formatter
from typing import Any, get_args

import pytest

from drainsketch.findings import LEVELS, Finding, Place, finding
from drainsketch.job import model as m
from drainsketch.job.model import Criteria
from drainsketch.resources import resource, table
from drainsketch.review import analyse
from drainsketch.wording import Words, languages
from tests.test_review import SAMPLES, sample

KINDS = tuple(table("catalogue/findings.toml"))
LANGS = languages()
TABLES = ("findings", "takeoff", "sheets")


def entries(lang: str, name: str) -> dict[str, str]:
    """Return every text of a table by its dotted key; sources are left out, since the catalogue has them in English."""

    def walk(at: dict[str, Any], path: str) -> dict[str, str]:
        found: dict[str, str] = {}
        for key, value in at.items():
            found |= walk(value, f"{path}{key}.") if isinstance(value, dict) else {path + key: value}
        return found

    texts = walk(table(f"translations/{lang}/{name}.toml"), "")
    return {key: text for key, text in texts.items() if not (name == "findings" and key.endswith(".source"))}


def placeholders(text: str) -> set[tuple[str, str]]:
    """Return the placeholders of a sentence with their specs; of the forms for one name and for several, that there are two."""
    found = {(field, spec or "") for _, field, spec, _ in Formatter().parse(text) if field is not None}
    assert all(spec.count("|") <= 1 and not spec.startswith("|") and not spec.endswith("|") for _, spec in found), text
    return {(field, "|" if "|" in spec else spec) for field, spec in found}


def figures(text: str) -> list[str]:
    return sorted(re.findall(r"\d+(?:\.\d+)?", text))


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


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("lang", LANGS)
def test_every_language_has_the_same_keys_placeholders_and_specs(lang: str, name: str) -> None:
    english, other = entries("en", name), entries(lang, name)
    assert set(other) == set(english)
    for key, text in english.items():
        assert placeholders(other[key]) == placeholders(text), key
        assert bool(other[key]) == bool(text), key
        assert other[key] == other[key].rstrip(), key


@pytest.mark.parametrize("lang", [lang for lang in LANGS if lang != "en"])
def test_another_language_names_every_source_with_the_same_figures(lang: str) -> None:
    for kind in KINDS:
        f = finding(kind, Place())
        said = Words(lang).source(f)
        assert table(f"translations/{lang}/findings.toml")[kind]["source"] == said
        assert figures(said) == figures(f.source), kind
        assert Words("en").source(f) == f.source


@pytest.mark.parametrize("lang", [lang for lang in LANGS if lang != "en"])
def test_sentences_of_another_language_carry_the_figures_of_the_english_ones(lang: str) -> None:
    for name in TABLES:
        for key, text in entries("en", name).items():
            plain, other = (re.sub(r"\{.*?\}", "", said) for said in (text, entries(lang, name)[key]))
            assert set(figures(plain)) - {"1"} <= set(figures(other)), key  # Spanish says "1 ft or finer" without the 1


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


def test_units_are_named_in_the_language_and_the_decimal_point_stays() -> None:
    english, spanish = Words("en", "ft"), Words("es", "ft")
    assert (english.length(12.5), english.inches(4.5), english.area(1250)) == ("12.50 ft", "4.5 in", "1250 sq ft")
    assert (spanish.length(12.5), spanish.inches(4.5), spanish.area(1250)) == ("12.50 pies", "4.5 pulg", "1250 pies²")
    for words in (Words("en", "m"), Words("es", "m")):
        assert (words.length(12.5), words.inches(4), words.area(100)) == ("3.81 m", "102 mm", "9.3 m²")
    assert Words("es", "ft-in").length(12.5) == "12' 6\""


def test_a_crossing_is_said_in_spanish() -> None:
    crossing = {"number": 1, "run": "R1", "other": "gas-1", "service": "gas", "position": "over", "hand_dig": 3.5}
    f = finding("hand_dig", Place(ids=("R1",)), value=1.0, params=crossing)
    said = "Cruce 1: R1 pasa por encima de línea de gas 1, a la vista, con 1' 0\" de separación. Excave a mano 3' 6\" de zanja."
    assert Words("es").sentence(f) == said


def test_things_are_called_by_the_names_the_user_gave_them() -> None:
    job = m.Job(
        obstacles=(m.Obstacle(id="tree-1", kind="tree", points=((0, 0),), name="Oak\x00{0}"),),
        services=(
            m.Service(id="gas-1", kind="gas", points=((0, 0), (1, 1)), name="House service"),
            m.Service(id="gas-2", kind="gas", points=((0, 0), (1, 1))),
            m.Service(id="X", kind="sewer", points=((0, 0), (1, 1)), name="Sewer lateral"),
            m.Service(id="Y", kind="water", points=((0, 0), (1, 1))),
        ),
        structures=(
            m.Structure(id="B1", kind="basin", point=(0, 0)),
            m.Structure(id="B3", kind="basin", point=(0, 0), name="Front basin"),
        ),
    )
    words = Words.of(job)
    said = {i: words.name(i) for i in ("tree-1", "gas-1", "gas-2", "X", "Y", "B1", "B3", "none")}
    assert said == {
        "tree-1": "Oak{0} (tree-1)",
        "gas-1": "House service (gas line 1)",
        "gas-2": "gas line 2",
        "X": "Sewer lateral, sewer line (X)",
        "Y": "water line (Y)",
        "B1": "B1",
        "B3": "B3 (Front basin)",
        "none": "none",
    }
    crossing = {"number": 1, "run": "R1", "other": "gas-1", "service": "gas", "position": "over", "hand_dig": 3.5}
    f = finding("hand_dig", Place(ids=("R1",)), value=1.0, params=crossing)
    assert words.sentence(f).startswith("Crossing 1: R1 passes over House service (gas line 1), exposed")
    assert "de House service (línea de gas 1), a la vista" in Words.of(job, "es").sentence(f)
    f = finding("no_outfall", Place(), structures=("B1", "B3"))
    assert words.sentence(f).startswith("B1, B3 (Front basin): ")


def test_without_a_job_a_service_is_called_by_its_kind_and_number_or_id() -> None:
    for other, said in (("gas-1", "gas line 1"), ("G1", "gas line (G1)"), ("gas", "gas line (gas)")):
        f = finding("depth_unknown", Place(), number=1, run="R1", other=other, service="gas")
        assert Words().sentence(f).startswith(f"Crossing 1: R1 crosses {said} whose depth")


@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_kind_of_service_has_a_name_of_the_trade(lang: str) -> None:
    for kind in get_args(m.ServiceKind):
        service_id = f"{kind.replace(' ', '-')}-7"
        job = m.Job(services=(m.Service(id=service_id, kind=kind, points=((0, 0), (1, 1))),))
        said = Words.of(job, lang).name(service_id)
        assert said.endswith(" 7")
        assert "-" not in said
        assert said.startswith("línea") is (lang == "es")


def test_a_registered_kind_is_asked_for() -> None:
    with pytest.raises(KeyError):
        finding("no_such_kind", Place())
    assert isinstance(finding("unused", Place(), structure="F1"), Finding)


def test_every_limit_of_the_criteria_has_a_name_and_a_source() -> None:
    named = tomllib.loads(resource("catalogue/criteria.toml").read_text(encoding="utf-8"))
    assert set(named) == set(Criteria.__struct_fields__)
    assert all(row["source"] for row in named.values())
