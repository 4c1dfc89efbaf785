"""Every pipe of the job model has one roughness."""

from itertools import product
from typing import get_args

import pytest

from drainsketch.job.kinds import PipeDiameter, PipeKind, RunUse
from drainsketch.resources import table
from drainsketch.water.roughness import roughness

EVERY = list(product(get_args(PipeKind), get_args(PipeDiameter), get_args(RunUse)))


@pytest.mark.parametrize(("kind", "diameter_in", "use"), EVERY)
def test_every_pipe_is_in_one_row(kind, diameter_in, use):
    rows = [
        row
        for row in table("catalogue/roughness.toml")["pipe"]
        if row["kind"] == kind and use in row["uses"] and diameter_in in row["diameters_in"]
    ]
    assert len(rows) == 1
    rough = roughness(kind, diameter_in, use)
    assert 0.008 < rough.low <= rough.n <= rough.high < 0.03
    assert rough.source


@pytest.mark.parametrize(("kind", "diameter_in"), sorted({(k, d) for k, d, _ in EVERY}))
def test_holes_never_make_a_pipe_smoother(kind, diameter_in):
    assert roughness(kind, diameter_in, "drain").n >= roughness(kind, diameter_in, "solid").n


def test_a_pipe_that_is_not_made_is_a_key_error():
    with pytest.raises(KeyError):
        roughness("sdr35", 5, "solid")
