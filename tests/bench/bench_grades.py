"""How the review keeps up while one structure is dragged: python tests/bench/bench_grades.py.

Yards of 15 to 400 runs on 1,000 shots, once as many small trees and once as one long chain; one structure after the other moves
by a tenth of a foot. Medians of the whole review, and of the grades within it, with the growth against n log n.
"""

import random
import time
from math import log
from statistics import median

from drainsketch.job.edits.move import move
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job, Run, Service, Shot, Structure
from drainsketch.network import grades
from drainsketch.review import analyse

SIZES = (15, 60, 120, 240, 400)
MOVES = 24
TREE = 8  # runs of one small tree


def shots(rng: random.Random, width: float, depth: float, count: int = 1_000) -> tuple[Shot, ...]:
    """Return shots on ground that falls 2 % to the south, rough by a tenth."""
    places = [(rng.uniform(-20, width + 20), rng.uniform(-20, depth + 20)) for _ in range(count)]
    return tuple(
        Shot(id=f"S{i}", point=(x, y), elevation_ft=100 + 0.02 * y + rng.gauss(0, 0.1))
        for i, (x, y) in enumerate(places)
    )


def trees(runs: int) -> Job:
    """Return yards side by side, each a tree of eight runs down to a daylight end, with a water service across."""
    rng = random.Random(runs)
    structures, pipe, services = [], [], []
    for k in range(-(-runs // TREE)):
        west = 60.0 * k
        out = Structure(id=f"O{k}", kind="outfall", outfall="daylight", point=(west + 20, 0.0))
        main = [
            Structure(id=f"M{k}-{i}", kind="basin", point=(west + 20, 40.0 * (i + 1)), size_in=12) for i in range(4)
        ]
        side = [
            Structure(id=f"T{k}-{i}", kind="basin", point=(west + 44, 40.0 * (i + 1) + 8), size_in=9) for i in range(4)
        ]
        structures += [out, *main, *side]
        ends = [(main[0], out), *((main[i + 1], main[i]) for i in range(3)), *((side[i], main[i]) for i in range(4))]
        pipe += [Run(id=f"R{k}-{i}", start=a.id, end=b.id) for i, (a, b) in enumerate(ends)]
        line = ((west + 5, 60.0), (west + 55, 60.0))
        services.append(
            Service(id=f"W{k}", kind="water", points=line, depth_top_ft=3.5, size_in=1.0, depth_error_ft=0.1)
        )
    count = len(services)
    used = {name for r in pipe[:runs] for name in (r.start, r.end)}
    return Job(
        shots=shots(rng, 60.0 * count, 180.0),
        structures=tuple(s for s in structures if s.id in used),
        runs=tuple(pipe[:runs]),
        services=tuple(services),
        criteria=Criteria(min_slope=0.005),
    )


def chain(runs: int) -> Job:
    """Return one chain of runs of 40 ft, there and back over the yard, with a service across every tenth."""
    rng = random.Random(runs)
    points = []
    for i in range(runs + 1):
        row, at = divmod(i, 20)
        points.append((40.0 * (at if row % 2 == 0 else 19 - at), -40.0 * row))
    kinds = ["basin" if i % 3 == 0 else "fitting" for i in range(runs)]
    structures = [
        Structure(id=f"N{i}", kind=kind, point=p) for i, (kind, p) in enumerate(zip(kinds, points, strict=False))
    ]
    structures.append(Structure(id=f"N{runs}", kind="outfall", outfall="dry well", point=points[-1]))
    south = 40.0 * (runs // 20)
    ground = [(rng.uniform(-20, 780), rng.uniform(-south - 20, 20)) for _ in range(1_000)]
    return Job(
        shots=tuple(
            Shot(id=f"S{i}", point=(x, y), elevation_ft=100 + 0.11 * y + rng.gauss(0, 0.1))
            for i, (x, y) in enumerate(ground)
        ),
        structures=tuple(structures),
        runs=tuple(Run(id=f"R{i}", start=f"N{i}", end=f"N{i + 1}") for i in range(runs)),
        services=tuple(
            Service(
                id=f"W{i}",
                kind="irrigation",
                points=((400.0 * i + 20, 20.0), (400.0 * i + 20, -15.0)),
                depth_top_ft=0.5,
                size_in=1.0,
                depth_error_ft=0.1,
            )
            for i in range(2)
        ),
        criteria=Criteria(min_slope=0.002),
    )


def timed(name: str, job: Job) -> float:
    """Print and return how long the review takes after a move, ms, median."""
    review = analyse(job)
    whole, placing = [], []
    for i in range(MOVES):
        job = move(job, [job.structures[i * 7 % len(job.structures)].id], 0.1 if i % 2 else -0.1, 0.05)
        before, started = review, time.perf_counter()
        review = analyse(job, before)
        whole.append(1000 * (time.perf_counter() - started))
        started = time.perf_counter()
        if review.bounds is not None:
            grades.place(review.bounds, before.placed)
        placing.append(1000 * (time.perf_counter() - started))
    gave = "some limit gives" if review.placed is not None and review.placed.gave else "all limits hold"
    print(
        f"{name:6} {len(job.runs):4} runs: review {median(whole):6.1f} ms (least {min(whole):6.1f}), "
        f"grades {median(placing):6.1f} ms; {gave}, {len(review.findings)} findings"
    )
    return min(whole)


def main() -> None:
    analyse(trees(4))  # imports
    for name, yard in (("trees", trees), ("chain", chain)):
        took = {n: timed(name, yard(n)) for n in SIZES}
        small, large = 60, SIZES[-1]
        growth = took[large] / took[small] / (large * log(large) / (small * log(small)))
        print(f"{name}: from {small} to {large} runs grows {growth:.2f} times as fast as n log n")


if __name__ == "__main__":
    main()
