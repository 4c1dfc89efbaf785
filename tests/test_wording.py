"""Every finding can be said, in every language and every unit."""

import re
import tomllib
from pathlib import Path
from string import Formatter
from typing import Any, get_args

import pytest

from drainsketch.findings import LEVELS, Finding, Place, finding
from drainsketch.job import model as m
from drainsketch.job.limits import Criteria
from drainsketch.resources import resource, table
from drainsketch.review import analyse
from drainsketch.wording import Words, languages
from tests.test_review import SAMPLES, sample

KINDS = tuple(table("catalogue/findings.toml"))
LANGS = languages()
TABLES = ("findings", "takeoff", "sheets", "details", "water", "price", "workplan", "offer", "options")


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


@pytest.mark.parametrize(
    ("units", "value_ft", "said"),
    [
        ("ft-in", 0.999, "only 0' 11 7/8\" of cover"),  # 11.988 in, nearest to 12
        ("ft", 0.999, "only 0.99 ft of cover"),
        ("m", 0.999, "only 0.29 m of cover"),  # 0.3045 m against 0.3048 m
        ("ft-in", 0.9, "only 0' 10 3/4\" of cover"),  # 10.8 in: not touched
    ],
)
def test_what_is_short_of_its_limit_is_not_written_like_it(units: Any, value_ft: float, said: str) -> None:
    f = finding("shallow_cover", Place(station_ft=5.0), value=value_ft, limit=1.0, run="R1", down="O1")
    words = Words("en", units)
    assert said in words.sentence(f)
    assert f"{words.length(1.0)} is required" in words.sentence(f)
    value, limit = words.number_against_limit(f).split(" against ")
    assert value != limit


def test_a_drop_or_a_slope_a_hair_off_is_not_written_like_what_is_asked() -> None:
    small = finding("drop_small", Place(), value=0.0829, limit=1 / 12, structure="B2", run="R1")
    assert "only 0' 0 7/8\" above" in Words().sentence(small)
    assert "the drop of 0' 1\" asked" in Words().sentence(small)
    flat = finding("run_flat", Place(), value=0.00998, limit=0.01, run="R1", fall=0.998, length=100.0, down="O1")
    assert "0.99%: flatter than the least slope of 1.00%" in Words().sentence(flat)
    steep = finding("run_steep", Place(), value=0.05001, limit=0.05, run="R1", fall=5.001, length=100.0)
    assert "5.01%: steeper than 5.00%" in Words().sentence(steep)


def test_more_than_is_asked_is_never_written_as_more_than_it_is() -> None:
    f = finding("near_well", Place(), value=50.001, limit=50.0, run="R1", obstacle="Y3")
    assert "50' 0\" from well" in Words().sentence(f)


def test_levels_that_differ_and_what_is_short_by_a_hair_are_told_apart() -> None:
    levels = {"needed": 98.063, "highest": 98.061, "slope": 0.01}
    f = finding("cannot_drain", Place(), value=0.002, structure="B1", outfall="O1", **levels)
    said = Words().sentence(f)
    assert "has to leave at 98.07, but the highest it can leave here is 98.06" in said
    assert said.endswith("short of fall by 0' 0 1/8\".")


@pytest.mark.parametrize(
    ("units", "level_ft", "down", "up"),
    [
        ("ft-in", 97.7583, "97.75", "97.76"),
        ("ft", 97.75, "97.75", "97.75"),
        ("m", 97.7583, "29.796", "29.797"),  # 29.79673 m
        ("m", 30 / 0.3048, "30.000", "30.000"),
    ],
)
def test_what_will_be_typed_is_rounded_to_the_safe_side(units: Any, level_ft: float, down: str, up: str) -> None:
    params = (("structure", "O1"), ("by", 0.1), ("to", level_ft), ("was", 99.0))
    for lang in LANGS:
        words = Words(lang, units)
        for kind in ("lower_tie_in", "lower_end", "tie_in_below"):
            assert f" {down} " in words.cure(kind, params)[1]
        for kind in ("raise_grate", "fill"):
            assert re.search(rf" {re.escape(up)}\b", words.cure(kind, params)[1])


def test_cover_and_drop_that_will_be_typed_are_rounded_down() -> None:
    cover = (("runs", ("R1",)), ("cover_in", 7.0), ("drive_in", 12.0))
    assert "177 mm" in Words("en", "m").cure("less_cover", cover)[0]  # 177.8 mm
    assert "7 in" in Words("en", "ft").cure("less_cover", cover)[0]
    assert "1 1/8 in" in Words("en", "ft-in").cure("less_drop", (("drop_in", 1.2), ("was_in", 2.0)))[0]


@pytest.mark.parametrize(("lang", "said"), [("en", "grate and ground together"), ("es", "rejilla y terreno juntos")])
def test_to_spare_at_an_inlet_says_that_grate_and_ground_move_together(lang: str, said: str) -> None:
    for key in ("spare_inlet", "spare_inlet_fall"):
        assert said in Words(lang).word(f"remedies.{key}", value=0.5)


def test_directions_have_the_letters_of_the_language() -> None:
    assert Words("en").bearing(274.8) == "N 85.2° W"
    assert Words("es").bearing(274.8) == "N 85.2° O"
    assert (Words("es").bearing(270.0), Words("es").bearing(90.0)) == ("O", "E")


def test_fixed_amounts_are_metric_in_a_metric_job() -> None:
    """29 CFR 1926.651(c)(2), .651(j)(2), .652(a)(1)(ii) have 25 feet as 7.62 m, 2 feet as .61 m, 5 feet as 1.52 m."""
    f = finding("trench_needs_ladder", Place(station_ft=1.0), value=4.5, limit=4.0, run="R1", down="O1")
    metric, feet, spanish = Words("en", "m"), Words("en", "ft"), Words("es", "ft")
    assert "a ladder within 7.62 m is required, and below 1.52 m too" in metric.sentence(f)
    assert "spoil 0.61 m back" in metric.remedy(f)
    assert "a ladder within 25 ft is required, and below 5 ft too" in feet.sentence(f)
    assert "a no más de 25 pies, y también con menos de 5 pies" in spanish.sentence(f)
    assert "flush to 25 mm low" in metric.word("sheets.basins.note")
    assert "hasta 25 mm baja" in Words("es", "m").word("sheets.basins.note")
    assert "hasta 1 pulg baja" in spanish.word("sheets.basins.note")


def test_sources_keep_their_figures_and_say_them_in_meters_beside_them_in_a_metric_job() -> None:
    lot_line, cover = finding("outfall_near_lot_line", Place()), finding("shallow_cover", Place())
    assert Words("en", "m").source(lot_line).startswith("common practice, no source: 5 ft (1.52 m);")
    assert "5 pies (1.52 m);" in Words("es", "m").source(lot_line)
    assert "12 pulg (305 mm): nunca menos de 1.0 pie (0.30 m)" in Words("es", "m").source(cover)
    assert "3 ft (0.91 m), and 1 in 4 to" in Words("en", "m").source(finding("shot_out_of_line", Place()))
    assert "default 1/4 in (6 mm):" in Words("en", "m").source(finding("laid_off_plan", Place()))
    assert "default 1 ft in 100:" in Words("en", "m").source(finding("run_flat", Place()))  # a slope
    assert "(" not in Words("en", "ft").source(lot_line)


@pytest.mark.parametrize("lang", LANGS)
@pytest.mark.parametrize("name", [*TABLES, "remedies"])
def test_no_text_of_a_metric_job_speaks_of_feet_and_inches(name: str, lang: str) -> None:
    """Left: the names of units, what says how a thing is reckoned in feet, and slips of the field book."""
    left = ("measure.", "unit.", "scale.feet", "cut_ft", "cut_in", "worked", "foot.", "depth_unlikely", "rule.trench")
    for key, text in entries(lang, name).items():
        said = re.sub(r"\{[^{}]*\}", "", text)
        if not any(key.startswith(x) or x in key for x in left):
            assert not re.search(r"\d+(\.\d+)? (in|ft|pulg|pies?)\b", said), (key, text)


def test_a_registered_kind_is_asked_for() -> None:
    with pytest.raises(KeyError):
        finding("no_such_kind", Place())
    assert isinstance(finding("unused", Place(), structure="F1"), Finding)


def test_every_limit_of_the_criteria_has_a_name_and_a_source() -> None:
    named = tomllib.loads(resource("catalogue/criteria.toml").read_text(encoding="utf-8"))
    assert set(named) == set(Criteria.__struct_fields__)
    assert all(row["source"] for row in named.values())
