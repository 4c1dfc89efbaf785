"""Windows: between which depths of a service the pipe still clears it, and what is left between them at worst."""

import numpy as np

from drainsketch.job.limits import Criteria
from drainsketch.job.model import Service
from drainsketch.network.buried import rule_of
from drainsketch.network.results import Floats

LEAST_OVER_FT = (
    0.5  # a service over the pipe has at least so much cover, or it is not offered: common practice, no source
)


def needs_ft(service: Service, criteria: Criteria) -> tuple[float, float, str]:
    """Return what a drain keeps from a service where it passes over and under it, ft, and the name of the rule that asks most.

    The greater of the job's clearance and the rule of the service holds; the rule is 'job' where the service's asks no more.

    Source: ``resources/catalogue/services.toml``. Check: tests/outside/test_separation.py.
    """
    rule, own_in = rule_of(service), criteria.clearance_in
    name = "job" if own_in >= max(rule.over_in, rule.under_in) else rule.name
    return max(own_in, rule.over_in) / 12, max(own_in, rule.under_in) / 12, name


def gaps_ft(pipe_top_ft: Floats, pipe_bottom_ft: Floats, top_ft: Floats, bottom_ft: Floats) -> tuple[Floats, Floats]:
    """Return the gap between outsides with the pipe over the service, and under it, ft; the greater is the clearance."""
    return pipe_bottom_ft - top_ft, bottom_ft - pipe_top_ft


def least_gap_ft(over_ft: Floats, under_ft: Floats, error_ft: Floats) -> Floats:
    """Return the clearance with the service anywhere within its error, up or down, taken against us, ft.

    Moving the service up by d makes the gaps over - d and under + d, so the least of the greater one lies at the end of the
    error, or between where both are equal, and pipe and service lie middle in middle.

    Source: plane geometry. Check: tests/network/test_windows.py.
    """
    least: Floats = np.maximum(np.maximum(over_ft, under_ft) - error_ft, (over_ft + under_ft) / 2)
    return least


def window_ft(
    ground_ft: Floats,
    pipe_top_ft: Floats,
    pipe_bottom_ft: Floats,
    size_ft: Floats,
    need_over_ft: Floats,
    need_under_ft: Floats,
) -> tuple[Floats, Floats]:
    """Return the depths to the top of a service below which, and above which, the pipe clears it at each of n places, ft.

    The pipe clears it by passing over when the top of the service is deeper than the first, and by passing under when it is
    shallower than the second: never, where that is not below the ground. Over a stretch the greatest of the first and the
    least of the second hold.

    Source: plane geometry. Check: tests/network/test_windows.py.
    """
    return ground_ft - pipe_bottom_ft + need_over_ft, ground_ft - pipe_top_ft - need_under_ft - size_ft
