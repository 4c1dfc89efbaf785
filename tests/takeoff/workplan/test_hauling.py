"""Loads of spoil through the days: nothing is lost, the oldest leaves first."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.takeoff.workplan.hauling import Hauled, hauled


def test_days_counted_by_hand() -> None:
    # 3 of 5; 6 of 5, one leaves; 1 + 0 left, the last one leaves half empty
    assert hauled([3.0, 3.0, 0.0, 0.0], 5.0) == Hauled((0, 1, 0, 1), (1, 3, 2, 3))
    assert hauled([12.0], 5.0) == Hauled((3,), (0,))
    assert hauled([0.0, 0.0], 5.0).loads == (0, 0)
    assert hauled([], 5.0) == Hauled((), ())


@given(st.lists(st.floats(0, 50), max_size=30), st.floats(0.5, 20))
def test_all_spoil_leaves_and_no_load_is_sent_for_nothing(dug: list[float], load: float) -> None:
    found = hauled(dug, load)
    total = sum(dug)
    assert sum(found.loads) * load >= total - 1e-6
    assert sum(found.loads) * load < total + load + 1e-6
    assert all(gone >= day for day, gone in enumerate(found.gone))


def test_nonsense_is_refused() -> None:
    for dug, load in (([1.0], 0.0), ([-1.0], 5.0), ([float("inf")], 5.0)):
        with pytest.raises(ValueError, match="a load above 0"):
            hauled(dug, load)
