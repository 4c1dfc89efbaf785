"""The small strategies that whole jobs are built from: words, numbers, points, choices."""

from collections.abc import Callable
from typing import Any, get_args

from hypothesis import strategies as st

words = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """Any number within bounds, awkward ones included."""
    return st.floats(low, high, allow_nan=False)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """None, or something."""
    return st.none() | strategy


def points(wide: bool = False) -> st.SearchStrategy[tuple[float, float]]:
    """Plan points: of a yard, or anywhere a job may reach."""
    reach = numbers(-50_000, 50_000) if wide else st.integers(0, 20_000).map(lambda hundredths: hundredths / 100)
    return st.tuples(reach, reach)


kinds: Callable[[Any], st.SearchStrategy[Any]] = lambda literal: st.sampled_from(get_args(literal))  # noqa: E731
