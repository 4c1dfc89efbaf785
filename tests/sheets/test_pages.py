"""The pages of a set: the cautions come first, and what is not wanted is left out by name."""

from pathlib import Path

import pytest

from drainsketch.errors import SheetError
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.pages import SETS, pages_of
from drainsketch.wording import Words, languages
from tests.sheets import yards
from tests.sheets.reading import written


@pytest.mark.parametrize("audience", ["crew", "owner"])
def test_before_you_dig_stands_first_after_the_plan(audience: str, tmp_path: Path) -> None:
    with written(yards.rich(), tmp_path / "p.pdf", audience=audience) as pdf:
        text = pdf.pages[1].extract_text().splitlines()
    assert text[1] == "Before you dig"


def test_a_page_that_is_not_wanted_is_left_out(tmp_path: Path) -> None:
    with written(yards.rich(), tmp_path / "p.pdf", leave_out=("takeoff", "profiles", "plan")) as pdf:
        text = " ".join(page.extract_text() for page in pdf.pages)
        titles = [title for _, title, *_ in pdf.doc.get_outlines()]
    assert titles[0] == "Before you dig"
    assert "Cut sheets" in titles
    assert {"Takeoff", "Profiles", "Plan"}.isdisjoint(titles)
    assert "As counted, nothing added for waste" not in text


@pytest.mark.parametrize(
    ("key", "audience", "said"),
    [
        ("lunch", "crew", "'lunch': there is no such page; there are plan, plan-index, order-of-work, "),
        ("work", "crew", "work"),
    ],
)
def test_a_page_that_is_not_there_is_refused_with_those_there_are(
    key: str, audience: str, said: str, tmp_path: Path
) -> None:
    with pytest.raises(SheetError, match=said):
        write_sheets(
            Contents(yards.tiny(), analyse(yards.tiny())), tmp_path / "p.pdf", audience=audience, leave_out=(key,)
        )
    assert not list(tmp_path.iterdir())


def test_the_cautions_cannot_be_left_out(tmp_path: Path) -> None:
    with pytest.raises(SheetError, match="stays in every set"):
        write_sheets(Contents(yards.tiny(), analyse(yards.tiny())), tmp_path / "p.pdf", leave_out=("cautions",))


@pytest.mark.parametrize("key", ["warnings", "crossings", "structures", "cut-sheets"])
def test_pages_that_others_send_the_crew_to_stay(key: str, tmp_path: Path) -> None:
    with pytest.raises(SheetError, match="stays in every set"):
        write_sheets(Contents(yards.tiny(), analyse(yards.tiny())), tmp_path / "p.pdf", leave_out=(key,))


@pytest.mark.parametrize(
    ("lang", "said"),
    [
        (
            "en",
            ("upwind", "call 911, then the utility", "Do not touch the machine", "one-call center (811) as the law"),
        ),
        (
            "es",
            ("contra el viento", "llame al 911 y luego", "No toque la máquina", "centro de notificación (811) como"),
        ),
    ],
)
@pytest.mark.parametrize("audience", ["crew", "owner"])
def test_what_to_do_when_a_line_is_hit_stands_before_you_dig(
    lang: str, said: tuple[str, ...], audience: str, tmp_path: Path
) -> None:
    """49 CFR 196.107 and 196.109: damage is told to the operator, released gas to 911 (both read in the regulation, from memory)."""
    with written(yards.rich(), tmp_path / "p.pdf", audience=audience, lang=lang) as pdf:
        text = " ".join(pdf.pages[1].extract_text().split())
    assert all(part in text for part in said)


def test_every_page_has_a_key_of_its_own_and_a_name_in_every_language() -> None:
    for pages in SETS.values():
        assert len({page.key for page in pages}) == len(pages)
    for lang in languages():
        for page in pages_of("all"):
            assert Words(lang).word(page.title)
