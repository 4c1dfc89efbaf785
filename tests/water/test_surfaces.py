"""The catalogue of surfaces, the mean of several, the factor of rarer storms."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.resources import table
from drainsketch.water.runoff import peak_cfs
from drainsketch.water.surfaces import SURFACE_KINDS, coefficient, composite_c, frequency_factor, storm_c, surface


def test_every_kind_has_its_rows_with_a_range_and_a_source():
    assert set(table("catalogue/surfaces.toml")) == set(SURFACE_KINDS)
    for kind in SURFACE_KINDS:
        found = surface(kind)
        assert found.flow_source
        assert found.sheet_n > 0 < found.shallow_k
        assert [row.to_slope for row in found.c][-1] is None
        for row in found.c:
            assert 0 < row.low <= row.used <= row.high <= 1
            assert row.source


@pytest.mark.parametrize("kind", ["lawn-sandy", "lawn-heavy"])
def test_a_lawn_sheds_more_the_steeper_it_is(kind):
    flat, average, steep = surface(kind).c
    assert [coefficient(kind, s) for s in (0, 0.01, 0.02)] == [flat] * 3
    assert [coefficient(kind, s) for s in (0.0201, 0.05, 0.07, -0.05)] == [average] * 4
    assert [coefficient(kind, s) for s in (0.0701, 0.5)] == [steep] * 2
    assert flat.used < average.used < steep.used


def test_a_slope_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match="slope"):
        coefficient("roof", float("nan"))


@given(st.lists(st.tuples(st.floats(0.1, 1e5), st.floats(0, 1)), min_size=1, max_size=9))
def test_the_mean_lies_among_its_parts_and_sheds_what_they_shed(parts):
    c = composite_c(parts)
    assert min(p[1] for p in parts) - 1e-9 <= c <= max(p[1] for p in parts) + 1e-9
    whole = peak_cfs(c, 5.0, sum(a for a, _ in parts))
    assert whole == pytest.approx(sum(peak_cfs(k, 5.0, a) for a, k in parts), rel=1e-9, abs=1e-12)


def test_no_area_sheds_nothing():
    assert composite_c([]) == composite_c([(0.0, 0.9)]) == 0.0


def test_between_two_return_periods_the_rarer_holds():
    asked = (None, 1, 10, 10.5, 25, 30, 50, 75, 100, 500)
    assert [frequency_factor(y) for y in asked] == [1.0, 1.0, 1.0, 1.1, 1.1, 1.2, 1.2, 1.25, 1.25, 1.25]


def test_no_more_runs_off_than_falls():
    assert storm_c(0.95, 100) == 1.0
    assert storm_c(0.5, 100) == pytest.approx(0.625)
    assert storm_c(0.5, None) == 0.5
