"""The contractor's particulars: read strictly, kept for all jobs, and what is kept reads back as it was."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import JobFileError
from drainsketch.files.firm import (
    firm_text,
    keep_firm,
    keep_logo,
    letterhead_in_use,
    parse_firm,
    save_letterhead,
    shipped_firm_text,
)
from drainsketch.files.jobfile import read_job
from drainsketch.job.firm import MOST_LINE, NO_ONE, Firm, Letterhead
from drainsketch.job.model import Header
from drainsketch.resources import sample_jobs
from tests.files.pictures import picture

MINE = b'name = "Willow Drainage (invented)"\naddress = ["7 Invented Road"]\nlicense = "INV-4711"\n'


def complaints(text: bytes) -> tuple[str, ...]:
    with pytest.raises(JobFileError) as fault:
        parse_firm(text)
    return fault.value.complaints


def test_the_shipped_example_is_marked_and_never_taken_for_anyones():
    assert shipped_firm_text().startswith("# EXAMPLE, all invented")
    said = complaints(shipped_firm_text().encode())
    assert len(said) == 8
    assert all("still the invented example" in one for one in said)


def test_what_is_kept_is_used_for_all_jobs(tmp_path: Path, own_home: Path):
    assert letterhead_in_use() == NO_ONE
    mine, logo = tmp_path / "mine.toml", tmp_path / "logo.jpg"
    mine.write_bytes(MINE)
    logo.write_bytes(picture(kind="JPEG"))
    assert keep_firm(mine) == own_home / "contractor.toml"
    keep_logo(logo)
    logo.unlink()  # a copy is kept
    kept = letterhead_in_use()
    assert kept.firm == Firm(name="Willow Drainage (invented)", address=("7 Invented Road",), license="INV-4711")
    assert kept.logo is not None
    assert kept.name_for(Header()) == "Willow Drainage (invented)"
    assert kept.name_for(Header(contractor=" Elm Drainage ")) == "Elm Drainage"
    save_letterhead(Letterhead(kept.firm))
    assert letterhead_in_use().logo is None


def test_a_kept_logo_that_was_damaged_is_named(own_home: Path):
    own_home.mkdir(parents=True)
    (own_home / "logo.png").write_bytes(b"gone")
    with pytest.raises(JobFileError, match=r"logo\.png: this is no PNG"):
        letterhead_in_use()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b'nmae = "x"', "nmae: unknown; did you mean name?"),
        (b'logo = "/etc/passwd"', "logo: unknown"),
        (b"phone = 5550100", "phone: this is no text; put it between quotation marks"),
        (b'address = "7 Road"', "address: this is no list of lines"),
        (b"address = [1]", "address: this is no list of lines"),
        (b'address = ["a","b","c","d","e","f"]', "address: more than 5 lines"),
        (b'name = "' + b"x" * 81 + b'"', f"name: more than {MOST_LINE} characters; shorten it"),
        (b'terms = "' + b"x" * 6_001 + b'"', "terms: more than 6,000 characters; shorten it"),
        (b"name = ", "this is not TOML"),
        (b"\xff", "byte 0: this is not UTF-8 text"),
        (b"#" * 100_001, "the file has more than 0.1 MB"),
        (b"a = " + b"[" * 50_000, "this is not TOML"),
    ],
)
def test_what_cannot_be_is_told_with_its_place(text, said):
    assert said in complaints(text)[0]


def test_no_sample_yard_names_a_picture_or_a_file():
    for file in sample_jobs().iterdir():
        if file.name.endswith(".drainjob"):
            read_job(Path(str(file)))
            assert "logo" not in file.read_text(encoding="utf-8")


LINE = st.text(max_size=60)


@given(
    st.builds(
        Firm,
        name=LINE,
        license=LINE,
        address=st.lists(LINE, max_size=5).map(tuple),
        phone=LINE,
        insured=LINE,
        terms=st.text(max_size=300),
    )
)
def test_any_text_reads_back_as_it_was_kept(firm: Firm):
    assert parse_firm(firm_text(firm).encode("utf-8")) == firm
