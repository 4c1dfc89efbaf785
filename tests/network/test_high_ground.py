"""Ground at the highest level a job may hold is answered like any other."""

from drainsketch.review import analyse
from drainsketch.study import study
from tests.yards import basin, drawn, outfall, run, shot


def test_no_cure_is_tried_above_the_highest_level_of_a_job() -> None:
    ground = [shot(x, y, 29_999.9) for x in (0, 60) for y in (-10, 10)]
    job = drawn(*ground, basin(50, 0), outfall(5, 0, "tie-in", invert_ft=29_999.8), run("B1", "O1"))
    closer = study(analyse(job))
    assert any(f.kind == "cannot_drain" for f in closer.review.findings)
    assert all(c.kind not in ("fill", "fill_over") for cures in closer.cures.values() for c in cures)
