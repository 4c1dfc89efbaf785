"""Odds: the chance that a run still falls, given how far readings may be off."""

from math import erf, sqrt

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.limits import Criteria
from drainsketch.network.results import FlowRun, Grade

LEAST_ODDS = 0.95
SIGMAS = 2.0  # the error entered is two standard deviations: 19 readings of 20 lie within it


def odds_of_fall(fall_ft: float, reading_error_in: float) -> float:
    """Return the chance that a run laid to a fall falls at all.

    The level of each end is read once, each reading normal with the error entered as two standard deviations, so that 19
    readings of 20 are within it. The fall is the difference of the two: sigma_fall = sqrt(2) sigma, and the chance is
    Phi(fall / sigma_fall).

    Parameters
    ----------
    fall_ft : fall from end to end, ft; negative where it rises
    reading_error_in : plus or minus, in (0 or more)

    Notes
    -----
    Limits: both ends read from one setup; where they hang on different setups more readings enter, and the chance is less.
    Source: difference of two independent normal readings (definition). Check: tests/network/test_odds.py

    Examples
    --------
    A fall as large as sigma_fall is kept in 84 of 100:

    >>> round(odds_of_fall(2 ** 0.5 * 0.125 / 2 / 12, 0.125), 4)
    0.8413
    """
    sigma_ft = sqrt(2.0) * reading_error_in / 12 / SIGMAS
    if sigma_ft == 0:
        return 1.0 if fall_ft > 0 else 0.0
    return 0.5 * (1.0 + erf(fall_ft / sigma_ft / sqrt(2.0)))


def odds_of(grades: dict[str, Grade], criteria: Criteria) -> dict[str, float]:
    """Return the chance that each run still falls, by run id: that of its least leg, where it changes slope."""
    return {
        run: min(odds_of_fall(length * slope, criteria.reading_error_in) for length, slope in g.legs)
        for run, g in grades.items()
        if g.length_ft
    }


def odds_findings(
    flows: tuple[FlowRun, ...], grades: dict[str, Grade], odds: dict[str, float], criteria: Criteria
) -> list[Finding]:
    """Return one finding for each run that falls on paper, but not surely as laid."""
    found = []
    for flow in flows:
        chance, grade = odds.get(flow.id, 1.0), grades.get(flow.id)
        if grade is None or chance >= LEAST_ODDS or grade.least_slope <= 0:
            continue
        length_ft, slope = min(grade.legs, key=lambda leg: leg[0] * leg[1])
        middle = flow.points[len(flow.points) // 2]
        found.append(
            finding(
                "fall_unsure",
                Place(ids=(flow.id,), point=middle),
                value=round(100 * chance, 1),
                limit=100 * LEAST_ODDS,
                run=flow.id,
                fall=length_ft * slope,
                length=length_ft,
                error=criteria.reading_error_in,
            )
        )
    return found
