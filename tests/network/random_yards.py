"""Invented yards for the second program of grades: random trees of basins and fittings on rough ground, by seed."""

from functools import cache
from itertools import pairwise

import numpy as np

from drainsketch.job.edits.change import change_criteria
from drainsketch.job.limits import SlopeRule
from drainsketch.job.model import Job
from tests.yards import basin, drawn, fitting, outfall, run, service, shot

KINDS = ("dry well", "tie-in", "pop-up", "daylight", "curb")
ERROR_FT = 0.2  # of every service's depth, as entered


def meets(p, q, a, b):
    """Return the shares along p-q and a-b at which two stretches cross, or None."""
    (px, py), (qx, qy), (ax, ay), (bx, by) = p, q, a, b
    under = (qx - px) * (by - ay) - (qy - py) * (bx - ax)
    if abs(under) < 1e-9:
        return None
    t = ((ax - px) * (by - ay) - (ay - py) * (bx - ax)) / under
    u = ((ax - px) * (qy - py) - (ay - py) * (qx - px)) / under
    return (t, u) if 0 <= t <= 1 and 0 <= u <= 1 else None


@cache
def yard(seed: int) -> Job:
    """Return an invented yard: a random tree of basins and fittings on rough ground that falls more or less to the outfall."""
    rng = np.random.default_rng(seed)
    fall, rough = rng.choice([0.0, 0.005, 0.012, 0.03, 0.08]), rng.choice([0.02, 0.15, 0.5])
    count = int(rng.integers(30, 61)) if seed % 20 == 19 else int(rng.integers(2, 9))
    wide = 3.0 if count > 9 else 1.0
    shots = [
        shot(x + float(rng.normal(0, 1)), y + float(rng.normal(0, 1)), float(100 - fall * x + rng.normal(0, rough)))
        for x in np.linspace(-15, 165, 6).tolist()
        for y in np.linspace(-75 * wide, 75 * wide, 5).tolist()
    ]
    kind = KINDS[int(rng.integers(len(KINDS)))]
    pin = float(100 - fall * 150 - rng.uniform(0.5, 5.5)) if kind in ("tie-in", "curb") else None
    things = [*shots, outfall(150.0, float(rng.uniform(-20, 20)), kind, invert_ft=pin)]
    names, at = ["O1"], [things[-1].point]
    counts = {"basin": 0, "fitting": 0}
    laid: list[tuple[tuple[float, float], ...]] = []  # corners of each run
    for k in range(count):
        which = "basin" if rng.random() < 0.6 or len(names) == 1 else "fitting"
        counts[which] += 1
        crossings = 1 if (count < 9 and rng.random() < 0.3) or k == 20 else 0
        for _ in range(60):
            near = int(rng.integers(max(0, k - 6 * int(wide)), len(names)))
            west = at[near][0] - float(rng.uniform(10, 60))
            point = (west if west > 0 else float(rng.uniform(-10, 10)), float(rng.uniform(-60 * wide, 60 * wide)))
            middle = ((point[0] + at[near][0]) / 2, (point[1] + at[near][1]) / 2 + float(rng.uniform(-8, 8)))
            bends = (middle,) if rng.random() < 0.4 else ()
            corners = (at[near], *bends, point)
            if (
                sum(
                    bool(meets(*a, *b))
                    for old in laid
                    for a in pairwise(old)
                    for b in pairwise(corners)
                    if at[near] not in a
                )
                <= crossings
            ):
                break
        laid.append(corners)
        things.append(basin(*point, size_in=int(rng.choice([9, 12, 18]))) if which == "basin" else fitting(*point))
        names.append(f"{'B' if which == 'basin' else 'F'}{counts[which]}")
        at.append(point)
        ends = (names[-1], names[near]) if rng.random() < 0.5 else (names[near], names[-1])
        own = {"min_slope": 0.015} if rng.random() < 0.15 else {}
        own |= {"min_cover_in": 20.0} if rng.random() < 0.15 else {}
        use = "drain" if rng.random() < 0.3 else "solid"
        things.append(run(*ends, *bends, use=use, diameter_in=int(rng.choice([4, 6, 8], p=[0.6, 0.2, 0.2])), **own))
    legs = [leg for corners in laid for leg in pairwise(corners)]
    for x in rng.uniform(20, 140, int(rng.integers(0, 4))).tolist():
        crossed = [(a, b) for a, b in legs if min(a[0], b[0]) - 2 < x < max(a[0], b[0]) + 2]
        # steep to it, and no corner near: at a shallow angle pipe and service lie over each other for some length
        steep = all(
            abs(a[0] - b[0]) > 0.8 * abs(a[1] - b[1]) and min(abs(a[0] - x), abs(b[0] - x)) > 2 for a, b in crossed
        )
        if steep and len(crossed) < 6:
            depth, where = float(rng.uniform(0.5, 5.0)), ((x, -300.0), (x, 300.0))
            things.append(service("electric", *where, depth_top_ft=depth, size_in=2.0, depth_error_ft=ERROR_FT))
    limits = {
        "min_slope": float(rng.choice([0.004, 0.01, 0.02])),
        "min_cover_in": float(rng.choice([6.0, 12.0, 18.0])),
        "basin_drop_in": float(rng.choice([0.0, 0.0, 1.0])),
        "beyond_4_ft_times": float(rng.choice([1.0, 1.5, 4.0])),
        "slope_rules": (SlopeRule(pipe="sdr35", diameter_in=8, min_slope=0.005, max_slope=0.3),)
        if rng.random() < 0.3
        else (),
    }
    return change_criteria(drawn(*things), **limits)
