"""What gives first where no grade holds everything: clearance before the pipe leaves the ground, never as far as touching."""

from drainsketch.job.model import Exposure, Job, Service
from drainsketch.review import Review, analyse
from tests.yards import basin, drawn, outfall, run, shot


def yard(top_ft: float, invert_ft: float) -> Job:
    """Level ground at 100 that falls to a curb at x = 0; cable crosses at x = 12, its top measured; the curb takes water at invert_ft."""
    ground = [shot(x, y, 100.0 if x >= 10 else 98.0 + 0.2 * x) for x in (0, 5, 10, 40) for y in (-10, 10)]
    cable = Service(
        id="",
        kind="communication",
        points=((12.0, -10.0), (12.0, 10.0)),
        size_in=1.0,
        exposed=(Exposure(point=(12.0, 0.0), top_ft=top_ft),),
    )
    return drawn(*ground, cable, basin(40, 0), outfall(0, 0, "daylight", invert_ft=invert_ft), run("B1", "O1"))


def kinds(review: Review) -> set[str]:
    return {f.kind for f in review.findings if f.level == "stop"}


def test_clearance_gives_before_pipe_leaves_the_ground() -> None:
    """The cable lies 98.82 to 98.90. With a foot kept, pipe under it would come out at 97.47 less its wall and the fall, below the
    curb; over it, at 99.9, it would hang over the slope at x = 5. So it keeps less than the foot, and nothing is a stop."""
    review = analyse(yard(top_ft=98.9, invert_ft=98.0))
    assert kinds(review) == set()
    (met,) = review.crossings
    assert met.clearance_ft is not None and 0.1 < met.clearance_ft < 1.0
    assert "close_to_service" in {f.kind for f in review.findings}


def test_pipe_leaves_the_ground_rather_than_touch_a_cable() -> None:
    review = analyse(yard(top_ft=99.6, invert_ft=97.9))
    (met,) = review.crossings
    assert met.clearance_ft is not None and met.clearance_ft > 0
