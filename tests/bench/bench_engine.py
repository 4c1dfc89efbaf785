"""How long the review takes, first and after one structure has moved: python tests/bench/bench_engine.py.

The largest sample, then invented combs of 60, 200 and 400 runs on 1,000 shots: a main down the middle, laterals left and right.
"""

import random
import time
from statistics import median, quantiles

from drainsketch.files.jobfile import read_job
from drainsketch.job.edits.move import move
from drainsketch.job.model import Job, Obstacle, Run, Service, Shot, Structure
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse

MOVES = 60


def comb(runs: int, shots: int = 1_000) -> Job:
    """Return a job of so many runs: teeth of 30 ft every 12 ft along a main, a service every 40 ft, a tree every 60 ft."""
    rng = random.Random(runs)
    teeth = runs // 2
    length = 12.0 * teeth
    main = [Structure(id=f"F{i}", kind="fitting", point=(12.0 * i, 0.0)) for i in range(teeth)]
    side = [
        Structure(id=f"B{i}", kind="basin", point=(12.0 * i + 4, 30.0 if i % 2 else -30.0), size_in=12)
        for i in range(teeth)
    ]
    out = Structure(id="O1", kind="outfall", point=(length, 0.0), outfall="tie-in", invert_ft=85.0 - 0.02 * length)
    chain = [*main, out]
    pipe = [Run(id=f"M{i}", start=chain[i].id, end=chain[i + 1].id, diameter_in=8) for i in range(teeth)]
    pipe += [Run(id=f"L{i}", start=side[i].id, end=main[i].id, use="drain") for i in range(runs - teeth)]
    return Job(
        shots=tuple(
            Shot(id=f"S{i}", point=(x, rng.uniform(-60, 60)), elevation_ft=100 - 0.02 * x + rng.gauss(0, 0.2))
            for i, x in enumerate(rng.uniform(-20, length + 20) for _ in range(shots))
        ),
        services=tuple(
            Service(
                id=f"water-{i}", kind="water", points=((40.0 * i + 7, -60.0), (40.0 * i + 9, 60.0)), depth_top_ft=2.0
            )
            for i in range(int(length // 40))
        ),
        obstacles=tuple(
            Obstacle(id=f"tree-{i}", kind="tree", points=((60.0 * i, 20.0),), trunk_diameter_in=8.0)
            for i in range(int(length // 60))
        ),
        structures=(*chain, *side),
        runs=tuple(pipe),
    )


def timed(name: str, job: Job) -> None:
    """Print how long the first review takes, and the ones after moving one structure after the other."""
    started = time.perf_counter()
    review = analyse(job)
    first = 1000 * (time.perf_counter() - started)
    took = []
    for i in range(MOVES):
        job = move(job, [job.structures[i * 7 % len(job.structures)].id], 0.1 if i % 2 else -0.1, 0.05)
        started = time.perf_counter()
        review = analyse(job, review)
        took.append(1000 * (time.perf_counter() - started))
    print(
        f"{name}: {len(job.runs)} runs, {len(job.shots)} shots; first {first:.0f} ms,"
        f" after a move p50 {median(took):.1f} ms, p95 {quantiles(took, n=20)[-1]:.1f} ms, {len(review.findings)} findings"
    )


def main() -> None:
    analyse(comb(4, 10))  # imports
    timed("row of yards", read_job(sample_jobs().joinpath("row-of-yards.drainjob")))  # type: ignore[arg-type]
    for runs in (60, 200, 400):
        timed("comb", comb(runs))


if __name__ == "__main__":
    main()
