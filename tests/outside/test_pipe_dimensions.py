"""Pipe dimensions against the standards they come from."""

from math import pi
from typing import get_args

import pytest

from drainsketch.job.kinds import PipeDiameter, PipeKind
from drainsketch.job.pipes import pipe_size
from drainsketch.resources import table

EVERY = [(kind, d) for kind in get_args(PipeKind) for d in get_args(PipeDiameter)]

# ASTM D3034, SDR 35: outside diameter and least wall, in (4, 6 and 8 in read in a second-hand copy; 10 and 12 from memory).
D3034 = {4: (4.215, 0.120), 6: (6.275, 0.180), 8: (8.400, 0.240), 10: (10.500, 0.300), 12: (12.500, 0.360)}
# ASTM D1785, Schedule 40: outside diameter and least wall, in (from memory).
D1785 = {
    3: (3.500, 0.216),
    4: (4.500, 0.237),
    6: (6.625, 0.280),
    8: (8.625, 0.322),
    10: (10.750, 0.365),
    12: (12.750, 0.406),
}
# IPC 2018 Table 1106.2, horizontal storm drain at 1/8 in per ft, gpm (second-hand copy of the table).
IPC_EIGHTH_GPM = {3: 55, 4: 115, 6: 344, 8: 714}


@pytest.mark.parametrize(("diameter_in", "printed"), D3034.items())
def test_sdr35_has_the_outside_and_wall_of_astm_d3034(diameter_in, printed):
    size = pipe_size("sdr35", diameter_in)
    assert size.outside_in == printed[0]
    assert size.wall_in == pytest.approx(printed[1], abs=1e-9)


@pytest.mark.parametrize("diameter_in", [4, 6, 8, 10, 12])
def test_sdr35_means_outside_over_wall_is_35(diameter_in):
    # Definition of the standard dimension ratio; the printed walls are rounded up to a hundredth of an inch.
    size = pipe_size("sdr35", diameter_in)
    assert size.outside_in / size.wall_in == pytest.approx(35, rel=0.015)


@pytest.mark.parametrize(("diameter_in", "printed"), D1785.items())
def test_schedule_40_has_the_outside_and_wall_of_astm_d1785(diameter_in, printed):
    size = pipe_size("sch40", diameter_in)
    assert size.outside_in == printed[0]
    assert size.wall_in == pytest.approx(printed[1], abs=1e-9)


@pytest.mark.parametrize(("diameter_in", "gpm"), IPC_EIGHTH_GPM.items())
def test_schedule_40_insides_give_the_code_table_by_manning_at_n_0_010(diameter_in, gpm):
    # The table's basis is inferred (n 0.010, Schedule 40 insides); its 5 in row does not follow it and is not used.
    d = pipe_size("sch40", diameter_in).inside_in / 12
    cfs = 1.486 / 0.010 * (pi / 4 * d**2) * (d / 4) ** (2 / 3) * (0.125 / 12) ** 0.5
    assert cfs * 448.831 == pytest.approx(gpm, rel=0.02)


@pytest.mark.parametrize("kind", ["corrugated", "smooth-lined"])
@pytest.mark.parametrize("diameter_in", [3, 4, 6, 8, 10])
def test_polyethylene_drain_pipe_is_named_by_its_inside_diameter(kind, diameter_in):
    # AASHTO M 252, sections 1 and 4: nominal size is the inside diameter, 3 to 10 in.
    assert pipe_size(kind, diameter_in).inside_in == diameter_in


@pytest.mark.parametrize(("diameter_in", "outside_ft2"), {3: 0.0707, 4: 0.1154, 6: 0.2597, 8: 0.4517}.items())
def test_corrugated_outside_area_is_that_of_the_usual_outside_diameter(diameter_in, outside_ft2):
    # Outside diameters 3.6, 4.6, 6.9, 9.1 in: about, common practice, no source; areas worked from them.
    assert pi / 4 * (pipe_size("corrugated", diameter_in).outside_in / 12) ** 2 == pytest.approx(outside_ft2, abs=5e-5)


@pytest.mark.parametrize(("kind", "diameter_in"), EVERY)
def test_every_pipe_of_the_job_model_has_a_size_and_says_where_it_comes_from(kind, diameter_in):
    size = pipe_size(kind, diameter_in)
    assert diameter_in * 0.95 < size.inside_in < diameter_in * 1.05
    assert 0 < size.wall_in < size.inside_in / 8
    assert size.stock_ft in (10, 14, 20, 100)
    assert size.source
    assert size.joint == ("bell" if kind in ("sdr35", "sch40") else "coupling")
    assert not size.flexible or (kind == "corrugated" and diameter_in <= 6)


def test_no_row_of_the_stock_list_lacks_a_source():
    for name, row in table("catalogue/stock.toml").items():
        rows = [row] if "source" in row else list(row.values())
        assert all(r["source"] for r in rows), name
