"""A yard too large for one page is cut at match lines: nothing lost, nothing said twice, at a true scale.

The arithmetic: at 1 in = 20 ft, L ft is L/20 in, and an inch is 72 pt of a PDF (ISO 32000-1, 8.3.2.3, from memory).
"""

import re
from collections import Counter
from io import BytesIO
from itertools import pairwise
from math import dist
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from msgspec.structs import replace

from drainsketch.job import model as m
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.book import made_sheets, write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.layout import PlanSheet
from drainsketch.sheets.scale import Scale
from drainsketch.sheets.sets import sets_of
from tests.sheets import yards
from tests.sheets.reading import overlapping_text

TOLERANCE_IN = 0.005
SOLID_PT = 2.2  # the line of solid pipe


def yard(columns: int, rows: int, along_ft: float, down_ft: float) -> Job:
    """An invented yard: so many lines of pipe, one under the other, each of so many runs."""
    structures, runs = [], []
    for j in range(rows):
        y = 10.0 + j * down_ft
        names = [f"O{j}", *(f"B{j}x{i}" for i in range(1, columns + 1))]
        structures += [
            m.Structure(id=name, kind="basin" if i else "outfall", point=(10.0 + i * along_ft, y))
            for i, name in enumerate(names)
        ]
        runs += [
            m.Run(id=f"R{j}x{i}", start=b, end=a, use="solid", pipe="sdr35")
            for i, (a, b) in enumerate(pairwise(names), start=1)
        ]
    corners = ((0.0, 0.0), (20.0 + columns * along_ft, 0.0), (20.0 + columns * along_ft, 20.0 + (rows - 1) * down_ft))
    corners = (*corners, (0.0, corners[2][1]))
    return Job(boundary=m.Boundary(id="L1", points=corners), structures=tuple(structures), runs=tuple(runs))


WIDE = yard(7, 7, 40.0, 30.0)  # 300 ft x 200 ft
MANY = yard(20, 20, 20.0, 20.0)  # 400 runs


def scenes_of(job: Job, scale: Scale | None = None, paper: str = "letter") -> Any:
    contents = Contents(job, analyse(job))
    (made,) = sets_of(contents, paper=paper, asked=scale, audience="crew", lang={"crew": "en"}, leave_out=())
    return made.drawn["plan"]


@pytest.mark.parametrize(("job", "paper"), [(WIDE, "letter"), (WIDE, "a4"), (MANY, "tabloid")])
def test_every_run_and_structure_is_drawn_and_said(job: Job, paper: str) -> None:
    scenes = scenes_of(job, Scale(20), paper)
    assert len(scenes) > 1
    drawn = {mark.owner for scene in scenes for mark in scene.marks.drains}
    assert {run.id for run in job.runs} <= drawn
    said = Counter(p.label.owner for scene in scenes for p in scene.labels if p.label.lettering == "structure")
    assert {s.id for s in job.structures} <= set(said)
    named = {p.label.owner for scene in scenes for p in scene.labels if p.label.lettering == "run"}
    assert {run.id for run in job.runs} <= named


def test_every_words_stand_on_their_own_side_of_the_match_lines() -> None:
    for scene in scenes_of(WIDE, Scale(20)):
        west, south, east, north = scene.sheet.words_room
        for placed in scene.labels:
            x0, y0, x1, y1 = placed.box.hull()
            assert west <= x0 + 1e-6 and x1 <= east + 1e-6
            assert south <= y0 + 1e-6 and y1 <= north + 1e-6


def test_parts_meet_without_a_gap_and_each_match_line_leads_to_the_other() -> None:
    sheets: list[PlanSheet] = [scene.sheet for scene in scenes_of(WIDE, Scale(20))]
    west, south, east, north = zip(*(s.part.extent for s in sheets if s.part), strict=True)
    assert (min(west), min(south), max(east), max(north)) == (0.0, 0.0, 300.0, 200.0)
    opposite = {"west": "east", "east": "west", "north": "south", "south": "north"}
    for i, sheet in enumerate(sheets):
        for match in sheet.matches:
            other = sheets[i + match.pages_on]
            assert other.part is not None and other.part.name == match.other
            back = [b for b in other.matches if b.side == opposite[match.side]]
            assert [b.pages_on for b in back] == [-match.pages_on]
            for ours, theirs in zip(match.line, back[0].line, strict=True):  # the same spot of ground
                assert _ground(sheet, ours) == pytest.approx(_ground(other, theirs), abs=1e-6)
            # the neighbor's strip is shown: some ground beyond the line
            assert sheet.words_room != sheet.frame


def _ground(sheet: PlanSheet, spot: tuple[float, float]) -> tuple[float, float]:
    x0, y0, x1, y1 = sheet.frame
    k = 72.0 / sheet.scale.ft_per_in
    return sheet.center_ft[0] + (spot[0] - (x0 + x1) / 2) / k, sheet.center_ft[1] + (spot[1] - (y0 + y1) / 2) / k


@pytest.mark.parametrize(("ft_per_in", "run_ft"), [(20.0, 40.0), (10.0, 40.0), (13.0, 40.0)])
def test_each_part_is_at_the_scale_it_says(ft_per_in: float, run_ft: float, tmp_path: Path) -> None:
    write_sheets(Contents(WIDE, analyse(WIDE)), tmp_path / "p.pdf", scale_ft_per_in=ft_per_in)
    with pdfplumber.open(tmp_path / "p.pdf") as pdf:
        plans = [page for page in pdf.pages if re.search(r"Part \w\d of the yard", page.extract_text())]
        assert len(plans) > 1
        for page in plans:
            pipe = [line for line in page.lines if line["linewidth"] == SOLID_PT]
            pipe += [c for c in page.curves if c["linewidth"] == SOLID_PT and len(c["pts"]) == 2]
            long = [dist(*line["pts"]) / 72 for line in pipe if line["x1"] - line["x0"] > 60]
            assert long
            assert long == pytest.approx([run_ft / ft_per_in] * len(long), abs=TOLERANCE_IN)
            assert f"Scale 1 in = {ft_per_in:g} ft" in page.extract_text()


def test_match_lines_name_the_sheet_that_goes_on_and_the_index_lists_them_all(tmp_path: Path) -> None:
    data, names = made_sheets(Contents(WIDE, analyse(WIDE)), scale_ft_per_in=20)
    with pdfplumber.open(BytesIO(data.getvalue())) as pdf:
        labels = {}
        for page in pdf.pages:
            number = re.search(r"(C-\d+), page", page.extract_text())
            assert number is not None
            labels[number[1]] = page
        plans = [i for i, name in enumerate(names) if name.startswith("Plan, part")]
        assert plans == list(range(len(plans)))
        for i in plans:
            part = names[i].rsplit(" ", 1)[1]
            page = pdf.pages[i]
            assert f"Part {part} of the yard" in page.extract_text()
            assert overlapping_text(page) == []
            turned = "".join(c["text"] for c in page.chars)
            for other, sheet in re.findall(r"match line: (\w\d) on sheet (C-\d+)", turned):
                assert f"Part {other} of the yard" in labels[sheet].extract_text()
        index = pdf.pages[len(plans)].extract_text()
        assert "Parts of the plan" in index
        for i in plans:
            assert re.search(rf"C-{i + 1} {names[i].rsplit(' ', 1)[1]} ", index)


def test_a_part_with_nothing_on_it_takes_no_page() -> None:
    bent = replace(
        WIDE, boundary=None, structures=(), runs=(), obstacles=(_fence((0, 0), (300, 0)), _fence((0, 0), (0, 200)))
    )
    parts = {scene.sheet.part.name for scene in scenes_of(bent, Scale(10))}
    assert parts  # an L of fences
    rows = {name[0] for name in parts}
    assert all(f"{row}1" in parts for row in rows)
    assert sum(name[1:] != "1" for name in parts) == len([n for n in parts if n[0] == max(rows)]) - 1


def _fence(a: tuple[float, float], b: tuple[float, float]) -> m.Obstacle:
    return m.Obstacle(id=f"F{a}{b}", kind="fence", points=(a, b))


def test_a_crowded_yard_is_cut_without_being_asked_and_an_empty_one_is_not() -> None:
    assert len(scenes_of(MANY)) > 1
    assert scenes_of(MANY)[0].sheet.scale.ft_per_in < 60
    assert len(scenes_of(yards.rich())) == 1
    county = Job(boundary=m.Boundary(id="L1", points=((-50_000, -50_000), (50_000, -50_000), (0, 50_000))))
    assert len(scenes_of(county)) == 1


def test_the_owner_sees_the_whole_yard_on_one_page() -> None:
    _, names = made_sheets(Contents(MANY, analyse(MANY)), audience="owner")
    assert names[0] == "Owner's plan"
    assert "part" not in " ".join(names)
