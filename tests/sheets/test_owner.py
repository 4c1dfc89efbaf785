"""What the owner reads: pipe as it was laid belongs to the record, and is not to be settled before any digging."""

from pathlib import Path

from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.review import analyse
from tests.desk.at_desk import PLANE_YARD
from tests.sheets.reading import written


def test_laid_pipe_that_holds_water_is_not_to_be_settled_before_digging(tmp_path: Path) -> None:
    """R1 falls from 98.00 to 97.00 in 50 ft; laid at 97.00 at station 20 and 97.60 at station 10 it holds water."""
    job = change_laying(PLANE_YARD, height_ft=105.0)
    for station, invert in ((10.0, 97.6), (20.0, 97.0), (30.0, 97.6)):
        job = read_laid(job, "R1", station, 105.0 - invert)
    stops = [f.kind for f in analyse(job).findings if f.level == "stop"]
    assert "laid_holds_water" in stops
    with written(job, tmp_path / "owner.pdf", audience="owner") as pdf:
        text = " ".join(page.extract_text() for page in pdf.pages)
    assert "as laid holds water" not in text
    assert (
        text.count("before any digging: 1.") == len(stops) - 1
    )  # the outfall ends under the ground: that is to be settled
