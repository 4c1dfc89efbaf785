"""Heaps and the drawing under the plan on paper, read back from the PDF."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.job.edits.backdrop import lay_under, show_backdrop
from drainsketch.job.model import Backdrop, BackdropLine, Heap, Job
from drainsketch.look import STYLES
from tests.sheets import yards
from tests.sheets.reading import written

FILL = Heap(
    id="fill-1", kind="fill area", points=((20, 60), (34, 60), (34, 70), (20, 70)), fill_in=4.0, name="Swale edge"
)
PILE = Heap(id="heap-1", kind="spoil heap", points=((40, 60), (54, 60), (54, 70), (40, 70)))
SITE = Backdrop(source="s.dxf", lines=(BackdropLine(points=((-5.0, 31.3), (140.0, 33.7))),))


def yard() -> Job:
    return lay_under(replace(yards.rich(), heaps=(FILL, PILE)), SITE)


def gray(page: object) -> int:
    """Return how many lines of a page are stroked in the gray of the drawing under the plan."""
    wanted = tuple(int((STYLES["backdrop"].stroke or "")[i : i + 2], 16) / 255 for i in (1, 3, 5))
    lines = [*page.lines, *page.curves]  # type: ignore[attr-defined]
    return sum(
        len(x["stroking_color"] or ()) == 3 and x["stroking_color"] == pytest.approx(wanted, abs=1e-3) for x in lines
    )


def test_the_crew_sees_heaps_with_depth_and_the_drawing_while_it_is_shown(tmp_path: Path) -> None:
    with written(yard(), tmp_path / "p.pdf") as pdf:
        text = pdf.pages[0].extract_text()
        assert "Swale edge" in text and "4 in" in text
        assert ("spoil heap" in text and "drawing from elsewhere" in text.replace("\n", " ")) or "drawing from" in text
        assert gray(pdf.pages[0]) == 2  # the line and its sample in the legend
    with written(show_backdrop(yard(), False), tmp_path / "h.pdf") as pdf:
        assert gray(pdf.pages[0]) == 0
        assert "drawing from" not in pdf.pages[0].extract_text()


def test_the_owner_sees_the_fill_area_alone(tmp_path: Path) -> None:
    with written(yard(), tmp_path / "p.pdf", audience="owner") as pdf:
        text = pdf.pages[0].extract_text()
        assert "Swale edge" in text
        assert "spoil heap" not in text and "drawing from" not in text
        assert gray(pdf.pages[0]) == 0


def test_a_drawing_far_beyond_the_frame_is_left_off_the_page(tmp_path: Path) -> None:
    far = Backdrop(lines=tuple(BackdropLine(points=((5_000.0 + i, 0.0), (5_000.0 + i, 50.0))) for i in range(300)))
    with written(lay_under(yards.rich(), far), tmp_path / "p.pdf") as pdf:
        assert gray(pdf.pages[0]) == 1
