"""Grades held against a second program, written from the definition of least digging alone.

It shares no code with ``network/grades.py`` or ``network/program.py``: own walk over the tree, own stations, ground from
scipy's LinearNDInterpolator, one unknown for each structure and one drop for each run that enters it, a dense matrix with the
cover of every station in it, and scipy's mixed-integer front end. Pipe sizes are those of ASTM D3034 (4 in: outside 4.215 in,
least wall 0.120 in; 6 in: 6.275 and 0.180 in).
"""

from functools import cache
from itertools import pairwise
from math import ceil, hypot

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.interpolate import LinearNDInterpolator
from scipy.optimize import Bounds, LinearConstraint, milp

from drainsketch.job.edits.change import change_criteria
from drainsketch.job.model import Job
from drainsketch.review import Review, analyse
from tests.yards import basin, drawn, fitting, outfall, run, shot

SEEDS = range(80)
TOP_FT = {4: (4.215 - 0.120) / 12, 6: (6.275 - 0.180) / 12}  # outside top over the invert
BELOW_FT = {4: 0.120 / 12, 6: 0.180 / 12}
KINDS = ("dry well", "tie-in", "pop-up", "daylight", "curb")


@cache
def yard(seed: int) -> Job:
    """Return an invented yard: a random tree of basins and fittings on rough ground that falls more or less to the outfall."""
    rng = np.random.default_rng(seed)
    fall, rough = rng.choice([0.0, 0.005, 0.012, 0.03, 0.08]), rng.choice([0.02, 0.15, 0.5])
    shots = [
        shot(x + float(rng.normal(0, 1)), y + float(rng.normal(0, 1)), float(100 - fall * x + rng.normal(0, rough)))
        for x in np.linspace(-15, 165, 6).tolist()
        for y in np.linspace(-75, 75, 5).tolist()
    ]
    kind = KINDS[int(rng.integers(len(KINDS)))]
    pin = float(100 - fall * 150 - rng.uniform(0.5, 4.0)) if kind in ("tie-in", "curb") else None
    things = [*shots, outfall(150.0, float(rng.uniform(-20, 20)), kind, invert_ft=pin)]
    names, at = ["O1"], [things[-1].point]
    counts = {"basin": 0, "fitting": 0}
    for _ in range(int(rng.integers(2, 9))):
        which = "basin" if rng.random() < 0.6 or len(names) == 1 else "fitting"
        counts[which] += 1
        near = int(rng.integers(len(names)))
        point = (max(0.0, at[near][0] - float(rng.uniform(10, 60))), float(rng.uniform(-60, 60)))
        things.append(basin(*point, size_in=int(rng.choice([9, 12, 18]))) if which == "basin" else fitting(*point))
        names.append(f"{'B' if which == 'basin' else 'F'}{counts[which]}")
        at.append(point)
        middle = ((point[0] + at[near][0]) / 2, (point[1] + at[near][1]) / 2 + float(rng.uniform(-8, 8)))
        ends = (names[-1], names[near]) if rng.random() < 0.5 else (names[near], names[-1])
        bends = (middle,) if rng.random() < 0.4 else ()
        use = "drain" if rng.random() < 0.3 else "solid"
        things.append(run(*ends, *bends, use=use, diameter_in=4 if rng.random() < 0.8 else 6))
    slope, cover = float(rng.choice([0.004, 0.01, 0.02])), float(rng.choice([6.0, 12.0, 18.0]))
    return change_criteria(drawn(*things), min_slope=slope, min_cover_in=cover)


class Second:
    """The second program of one yard."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.by_id = {s.id: s for s in job.structures}
        places = np.array([s.point for s in job.shots])
        self.ground = LinearNDInterpolator(places, np.array([s.elevation_ft for s in job.shots]))
        self.runs = self._downhill()
        self.node = {s.id: i for i, s in enumerate(job.structures)}
        self.drop = {r.id: len(self.node) + i for i, (r, _, _) in enumerate(self.runs)}
        self.size = len(self.node) + len(self.drop)
        self.paths = {r.id: self._path(r, up, down) for r, up, down in self.runs}

    def _downhill(self):  # (run, upstream id, downstream id), by walking up from the outfall
        found, wait, done = [], ["O1"], set()
        while wait:
            here = wait.pop()
            for r in self.job.runs:
                if here in (r.start, r.end) and r.id not in done:
                    done.add(r.id)
                    there = r.end if r.start == here else r.start
                    found.append((r, there, here))
                    wait.append(there)
        return found

    def _path(self, r, up, down):  # distances from the downstream end, ft, and ground there
        via = r.via if r.start == down else r.via[::-1]
        corners = [self.by_id[down].point, *via, self.by_id[up].point]
        off, xy, gone = [0.0], [corners[0]], 0.0
        for (ax, ay), (bx, by) in pairwise(corners):
            leg = hypot(bx - ax, by - ay)
            for t in np.linspace(0, 1, ceil(leg) + 1)[1:]:
                off.append(gone + leg * t)
                xy.append((ax + t * (bx - ax), ay + t * (by - ay)))
            gone += leg
        return np.array(off), self.ground(np.array(xy))

    def at(self, r, up, down, t: float) -> NDArray[np.float64]:
        """Return the invert at a share t of the way up a run, as a row over the unknowns."""
        row = np.zeros(self.size)
        row[self.node[up]] += t
        row[self.node[down]] += 1 - t
        row[self.drop[r.id]] += 1 - t
        return row

    def solve(self, with_cover: bool, only_fall: bool = False):
        """Return scipy's answer; without cover pipe need only start in the ground; ``only_fall`` leaves out greatest slope too."""
        c, rows, most = self.job.criteria, [], []
        far = self._to_open_air()
        gain = np.zeros(self.size)
        for r, up, down in self.runs:
            off, ground = self.paths[r.id]
            length, top = off[-1], TOP_FT[r.diameter_in]
            fall = self.at(r, up, down, 1.0) - self.at(r, up, down, 0.0)
            rows.append(-fall), most.append(-c.min_slope * length)
            if not only_fall:
                rows.append(fall), most.append(c.max_slope * length)
            rows.append(self.at(r, up, down, 1.0)), most.append(ground[-1] - top)
            for s, z in zip(off, ground, strict=True):
                gain += self._share(off, s) * c.trench_width_in / 12 * self.at(r, up, down, s / length)
                if with_cover and s + far.get(down, np.inf) >= c.outfall_taper_ft - 1e-9:
                    rows.append(self.at(r, up, down, s / length)), most.append(z - top - c.min_cover_in / 12)
                elif with_cover:  # in the taper, pipe may show but not hang more than an inch over the ground
                    rows.append(self.at(r, up, down, s / length)), most.append(z + 1 / 12)
        low, high = np.full(self.size, -np.inf), np.full(self.size, np.inf)
        for s in self.job.structures:
            i = self.node[s.id]
            gain[i] += ((s.size_in + 12) / 12) ** 2 if s.kind == "basin" else 0.0
            if s.kind == "outfall" and (s.invert_ft is not None or s.outfall in ("daylight", "curb")):
                low[i] = high[i] = s.invert_ft if s.invert_ft is not None else float(self.ground(*s.point))
        for r, _, down in self.runs:
            low[self.drop[r.id]] = 0.0
            if self.by_id[down].kind != "basin" and self.by_id[down].outfall != "dry well":
                high[self.drop[r.id]] = 0.0
        return milp(-gain, constraints=LinearConstraint(np.array(rows), ub=np.array(most)), bounds=Bounds(low, high))

    @staticmethod
    def _share(off, s) -> float:
        """Return the length that a station stands for: half the way to its neighbors."""
        i = int(np.searchsorted(off, s))
        return float(off[min(i + 1, len(off) - 1)] - off[max(i - 1, 0)]) / 2

    def _to_open_air(self):
        out = self.by_id["O1"]
        far = {"O1": 0.0} if out.outfall in ("daylight", "curb") else {}
        for r, up, down in self.runs:  # walked upward, so the lower end is known first
            if down in far:
                far[up] = far[down] + self.paths[r.id][0][-1]
        return far

    def dug_ft3(self, up: dict[str, float], down: dict[str, float], leaving: dict[str, float]) -> float:
        """Return what trenches and basin holes take, ft3, by the trapezoid rule over the stations."""
        c, total = self.job.criteria, 0.0
        for r, _, _ in self.runs:
            off, ground = self.paths[r.id]
            bed = c.stone_bed_in / 12 if r.use == "drain" else 0.0
            depth = ground - (down[r.id] + (up[r.id] - down[r.id]) * off / off[-1]) + BELOW_FT[r.diameter_in] + bed
            total += float(np.trapezoid(depth, off)) * c.trench_width_in / 12
        for s in self.job.structures:
            if s.kind == "basin":
                total += ((s.size_in + 12) / 12) ** 2 * (float(self.ground(*s.point)) - leaving[s.id])
        return total

    def dug_by(self, x) -> float:
        """Return what the second program's answer digs."""
        up = {r.id: float(self.at(r, u, d, 1.0) @ x) for r, u, d in self.runs}
        down = {r.id: float(self.at(r, u, d, 0.0) @ x) for r, u, d in self.runs}
        return self.dug_ft3(up, down, {name: float(x[i]) for name, i in self.node.items()})


OF_GRADES = {
    *(
        "cannot_drain",
        "run_rises",
        "run_level",
        "run_flat",
        "run_steep",
        "steps_up",
        "arrives_too_low",
        "drops_at_fitting",
    ),
    *("shallow_cover", "out_of_ground", "hangs", "pipe_over_rim", "outfall_buried"),
}


@pytest.fixture(scope="module")
def reviews() -> dict[int, Review]:
    return {seed: analyse(yard(seed)) for seed in SEEDS}


def told(review: Review) -> set[str]:
    """Return the findings of a review that a better grade could take away."""
    return {f.kind for f in review.findings} & OF_GRADES


def test_where_nothing_is_told_a_grade_exists_and_none_digs_less(reviews: dict[int, Review]) -> None:
    held = 0
    for seed, review in reviews.items():
        if told(review):
            continue
        held += 1
        second = Second(yard(seed))
        answer = second.solve(with_cover=True)
        assert answer.status == 0, (seed, answer.message)
        g = review.grades
        ours = second.dug_ft3(
            {k: v.invert_up_ft for k, v in g.items()},
            {k: v.invert_down_ft for k, v in g.items()},
            {k: v.invert_out_ft for k, v in review.levels.items()},
        )
        assert ours == pytest.approx(second.dug_by(answer.x), rel=0.001), seed
    assert held >= 25


def test_where_something_is_told_no_grade_holds_everything(reviews: dict[int, Review]) -> None:
    held = 0
    for seed, review in reviews.items():
        if told(review):
            held += 1
            assert Second(yard(seed)).solve(with_cover=True).status == 2, (seed, told(review))  # 2: infeasible
    assert held >= 15


def test_what_is_said_not_to_drain_has_no_grade_even_without_cover(reviews: dict[int, Review]) -> None:
    held = 0
    for seed, review in reviews.items():
        answer = Second(yard(seed)).solve(with_cover=False, only_fall=True)
        if "cannot_drain" in told(review):
            held += 1
            assert answer.status == 2, seed
        else:
            assert answer.status == 0, seed
    assert held >= 5
