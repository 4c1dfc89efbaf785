"""The drawing under the plan as a value: laid under, shown, taken away, and snapped to."""

import pytest

from drainsketch.errors import EditError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.edits.backdrop import lay_under, show_backdrop, take_away
from drainsketch.job.model import Backdrop, BackdropLine, Job, Obstacle
from drainsketch.job.plan_index import index_of
from drainsketch.job.snapping import snap
from drainsketch.review import analyse

SITE = Backdrop(
    source="site.dxf",
    lines=(
        BackdropLine(points=((0.0, 0.0), (40.0, 0.0), (40.0, 30.0)), closed=True, layer="lot"),
        BackdropLine(points=((50.0, 50.0), (50.0, 80.0))),
    ),
)


def test_it_is_laid_under_shown_hidden_and_taken_away() -> None:
    job = lay_under(Job(), SITE)
    assert job.backdrop == SITE and lay_under(job, SITE) is job
    hidden = show_backdrop(job, False)
    assert hidden.backdrop is not None and not hidden.backdrop.shown
    assert show_backdrop(hidden, False) is hidden and show_backdrop(Job(), True) == Job()
    assert take_away(hidden).backdrop is None
    assert parse_job(job_text(hidden).encode()) == hidden


def test_nothing_and_what_is_out_of_reach_are_refused() -> None:
    with pytest.raises(EditError, match="no line in it"):
        lay_under(Job(), Backdrop())
    with pytest.raises(EditError, match="coordinate"):
        lay_under(Job(), Backdrop(lines=(BackdropLine(points=((0.0, 0.0), (60_000.0, 0.0))),)))


def test_it_is_counted_and_checked_nowhere() -> None:
    before, after = analyse(Job()), analyse(lay_under(Job(), SITE))
    assert after.findings == before.findings and after.takeoff == before.takeoff


def test_corners_and_edges_of_it_draw_the_pointer_after_what_is_drawn() -> None:
    index = index_of(lay_under(Job(), SITE))
    corner = snap(index, (40.3, 30.2), 0.5)
    assert corner is not None and (corner.point, corner.kind, corner.id) == ((40.0, 30.0), "corner", "")
    edge = snap(index, (20.0, 14.7), 0.5)  # on the side that closes it, from (40, 30) to (0, 0)
    assert edge is not None and edge.kind == "edge" and edge.point[1] == pytest.approx(0.75 * edge.point[0])
    well = Obstacle(id="well-1", kind="well", points=((40.4, 30.0),))
    both = index_of(Job(obstacles=(well,), backdrop=SITE))
    found = snap(both, (40.1, 30.0), 0.5)
    assert found is not None and found.id == "well-1"


def test_a_leg_square_to_it_is_found() -> None:
    found = snap(index_of(lay_under(Job(), SITE)), (50.2, 60.4), 0.5, anchor=(70.0, 60.0))
    assert found is not None and (found.point, found.kind) == ((50.0, 60.0), "square")


def test_hidden_it_draws_nothing_and_its_index_is_kept_over_edits() -> None:
    job = lay_under(Job(), SITE)
    index = index_of(job)
    assert index_of(show_backdrop(job, False), index).under is None
    other = Job(obstacles=(Obstacle(id="well-1", kind="well", points=((1.0, 1.0),)),), backdrop=job.backdrop)
    assert index_of(other, index).under is index.under
    assert snap(index_of(show_backdrop(job, False)), (40.3, 30.2), 0.5) is None
