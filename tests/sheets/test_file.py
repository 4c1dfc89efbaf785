"""The PDF file itself, read with pypdf, which had no part in writing it: numbers, outline, layers, and the job inside."""

import re
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from drainsketch.files.jobfile import job_text, read_job
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.book import made_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.layers import LAYERS
from drainsketch.wording import Words
from tests.sheets import yards


def opened(job: Job, **asked: Any) -> PdfReader:
    """Return the sheets of a job, open."""
    data, _ = made_sheets(Contents(job, analyse(job)), **asked)
    return PdfReader(BytesIO(data.getvalue()), strict=True)


def outline(entries: Any, level: int = 0) -> list[tuple[int, str]]:
    """Return the outline as (level, title)."""
    found: list[tuple[int, str]] = []
    for entry in entries:
        if isinstance(entry, list):
            found += outline(entry, level + 1)
        else:
            found.append((level, str(entry.title)))
    return found


def test_the_page_box_of_a_viewer_shows_the_number_printed_on_the_sheet() -> None:
    file = opened(yards.rich(), audience="all")
    assert file.page_labels[0] == "C-1"
    assert "O-1" in file.page_labels
    for i, (label, page) in enumerate(zip(file.page_labels, file.pages, strict=True), start=1):
        assert f"{label}, page {i} of {len(file.pages)}" in page.extract_text()


def test_the_outline_is_nested_and_leads_to_the_pages() -> None:
    file = opened(yards.rich(), audience="all")
    titles = outline(file.outline)
    assert titles[:3] == [(0, "For the crew"), (1, "Plan"), (1, "Before you dig")]
    assert (2, "Cut sheet R1") in titles
    assert (0, "For the owner") in titles
    flat = [e for group in file.outline if isinstance(group, list) for e in group if not isinstance(e, list)]
    for entry in flat:
        page = file.pages[file.get_destination_page_number(entry) or 0]
        assert str(entry.title).endswith("lan") or str(entry.title).split()[0] in page.extract_text()


def test_the_particulars_of_the_job_are_in_the_file() -> None:
    job = yards.rich()
    file = opened(job)
    assert file.metadata is not None
    assert file.metadata.title == job.header.title
    assert file.metadata.author == job.header.contractor
    assert file.metadata.subject == "Yard drain plan"
    assert file.metadata.creator == "drainsketch"
    assert "takeoff" in str(file.metadata["/Keywords"])
    assert file.trailer["/Root"]["/Lang"] == "en"
    assert opened(job, lang="es").trailer["/Root"]["/Lang"] == "es"


def test_the_job_inside_is_the_job_byte_for_byte(tmp_path: Path) -> None:
    job = yards.rich("m")
    file = opened(job)
    (data,) = file.attachments["job.drainjob"]
    assert data == job_text(job).encode()
    assert file.trailer["/Root"]["/AF"][0].get_object()["/AFRelationship"] == "/Source"
    path = tmp_path / "sheets.pdf"
    path.write_bytes(made_sheets(Contents(job, analyse(job)))[0].getvalue())
    assert read_job(path) == job


@pytest.mark.parametrize(("audience", "there"), [("crew", True), ("all", True), ("owner", False)])
def test_what_is_handed_to_the_owner_alone_does_not_carry_the_job(audience: str, there: bool) -> None:
    assert ("job.drainjob" in opened(yards.tiny(), audience=audience).attachments) is there
    assert ("job.drainjob" in opened(yards.tiny(), audience=audience, with_job=not there).attachments) is not there


def layers_of(file: PdfReader) -> dict[str, Any]:
    """Return the layers of a file by name."""
    return {str(g.get_object()["/Name"]): g for g in file.trailer["/Root"]["/OCProperties"]["/OCGs"]}


def test_the_layers_are_there_and_services_and_warnings_are_always_printed() -> None:
    file = opened(yards.rich())
    words = Words("en")
    layers, shown = layers_of(file), file.trailer["/Root"]["/OCProperties"]["/D"]
    assert set(layers) <= {words.word(f"sheets.layer.{key}") for key in LAYERS}
    assert {"House, paving, planting", "Ground levels", "Buried services", "Drains", "Names and figures"} <= set(layers)
    assert shown["/BaseState"] == "/ON"
    (event,) = shown["/AS"]
    assert event["/Event"] == "/Print"
    printed = {str(g.get_object()["/Name"]) for g in event["/OCGs"]}
    assert printed == {"Buried services", "Warnings"}
    for name in printed:
        assert layers[name].get_object()["/Usage"]["/Print"]["/PrintState"] == "/ON"


@pytest.mark.parametrize("audience", ["crew", "owner"])
def test_layers_open_and_close_in_balance_and_are_named_on_their_page(audience: str) -> None:
    file = opened(yards.rich(), audience=audience)
    for page in file.pages:
        depth, used = 0, set()
        for operands, operator in page.get_contents().operations:  # type: ignore[union-attr]
            if operator == b"BDC":
                assert operands[0] == "/OC"
                used.add(operands[1])
                depth += 1
            elif operator == b"EMC":
                depth -= 1
            assert 0 <= depth <= 1
        assert depth == 0
        named = page["/Resources"].get("/Properties", {})
        assert used == set(named)
        for group in named.values():
            assert group.get_object()["/Type"] == "/OCG"


def test_a_service_with_its_depth_lies_on_the_layer_of_services() -> None:
    page = opened(yards.rich()).pages[0]
    where, said = "", {}
    text = bytes(page.get_contents().get_data()).decode("latin-1")  # type: ignore[union-attr]
    for line in text.splitlines():
        begun = re.match(r"/OC /layer-(\w+) BDC", line)
        where = begun[1] if begun else "" if line == "EMC" else where
        if " Tj" in line:
            said[where] = said.get(where, 0) + 1
    assert said["services"] >= 2
    assert said["labels"] >= 2
    assert said["levels"] >= 1


def test_each_reader_has_a_language_of_its_own() -> None:
    file = opened(yards.rich(), audience="all", lang={"crew": "es", "owner": "en"})
    by_label = {label: page.extract_text() for label, page in zip(file.page_labels, file.pages, strict=True)}
    assert "Antes de excavar" in by_label["C-2"]
    assert "Before you dig" in by_label["O-2"]


@pytest.mark.parametrize("title", ["", "Árbol ñ ½ \u200f(x) \\ )(", "A" * 200])
def test_any_title_makes_a_sound_file(title: str) -> None:
    job = yards.tiny()
    job = replace(job, header=replace(job.header, title=title))
    file = opened(job)
    assert file.metadata is not None and file.metadata.title
