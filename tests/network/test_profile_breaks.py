"""Ground that breaks between two stations is still seen: a ditch is no wider than its lips."""

import numpy as np
import pytest

from drainsketch.ground.results import LevelledShot
from drainsketch.ground.surface import Surface
from drainsketch.job.model import Breakline, Job, Run, Shot, Structure
from drainsketch.network.profiles import profiles
from drainsketch.network.results import FlowRun
from drainsketch.review import analyse

ENDS = (0.0, 60.0)


def ditch(bottom_x: float, wide: float = 0.9, deep: float = 1.5) -> tuple[tuple[Shot, ...], tuple[Breakline, ...]]:
    """Level ground at 100 with a ditch from south to north, lips and bottom shot and drawn as breaklines."""
    lines = {"west": bottom_x - wide / 2, "bottom": bottom_x, "east": bottom_x + wide / 2}
    xs = [*ENDS, *lines.values()]
    shots = tuple(
        Shot(id=f"S{i}-{j}", point=(x, y), elevation_ft=100.0 - (deep if x == bottom_x else 0.0))
        for i, x in enumerate(xs)
        for j, y in enumerate((-10.0, 0.0, 10.0))
    )
    breaks = tuple(
        Breakline(id=f"line-{name}", kind="other", points=((x, -10.0), (x, 10.0))) for name, x in lines.items()
    )
    return shots, breaks


@pytest.mark.parametrize("bottom_x", [30.0, 30.3, 30.5, 30.77])
@pytest.mark.parametrize("slant", [0.0, 3.7])
def test_the_bottom_of_a_ditch_is_a_station_wherever_it_lies(bottom_x: float, slant: float) -> None:
    shots, breaks = ditch(bottom_x)
    levelled = tuple(LevelledShot(s.id, s.point, s.elevation_ft or 0.0) for s in shots)
    surface = Surface(levelled, breaks)
    points = ((58.0, slant), (2.0, -slant))
    length = float(np.hypot(56.0, 2 * slant))
    flow = FlowRun("R1", "B1", "O1", points, length, True)
    profile = profiles((flow,), surface, {})["R1"]
    assert profile.ground_ft.min() == pytest.approx(98.5, abs=1e-9)
    assert profile.station_ft[profile.ground_ft.argmin()] == pytest.approx((bottom_x - 2.0) / 56.0 * length)
    assert (np.diff(profile.station_ft) > 0).all()
    between = np.sort(np.random.default_rng(5).uniform(0, length, 400))
    share = between / length
    xy = np.column_stack([2 + 56 * share, -slant + 2 * slant * share])
    held = np.interp(between, profile.station_ft, profile.ground_ft)
    assert np.abs(held - surface.levels_at(xy)[0]).max() < 1e-6


def test_pipe_that_would_hang_in_a_ditch_is_told() -> None:
    shots, breaks = ditch(30.5)
    job = Job(
        shots=shots,
        breaklines=breaks,
        structures=(
            Structure(id="B1", kind="basin", point=(55.0, 0.0)),
            Structure(id="O1", kind="outfall", point=(6.0, 0.0), outfall="tie-in", invert_ft=98.4),
        ),
        runs=(Run(id="R1", start="B1", end="O1"),),
    )
    assert any(f.level == "stop" and "R1" in f.place.ids for f in analyse(job).findings)
