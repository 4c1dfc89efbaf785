"""How long crossings, their findings and footings take of a review: python tests/bench/bench_crossings.py."""

import time
from collections.abc import Callable
from statistics import median

from drainsketch.files.jobfile import read_job
from drainsketch.job.edits.expose import expose
from drainsketch.job.model import Job, Obstacle
from drainsketch.network.crossing_findings import crossing_findings
from drainsketch.network.crossings import crossings
from drainsketch.network.footings import footing_findings
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from tests.yards import basin, drawn, outfall, plane, run, service

TIMES = 50


def big_yard(runs: int) -> Job:
    """Return runs side by side, each over the same ten services, a house beside every tenth."""
    things: list[object] = [*plane(lambda x, y: 100 - 0.01 * x, 2000)]
    things += [service("gas", (10 + 8 * k, -50), (10 + 8 * k, 40 * runs), depth_top_ft=2.0) for k in range(10)]
    for k in range(runs):
        things += [basin(0, 30 * k), outfall(100, 30 * k), run(f"B{k + 1}", f"O{k + 1}")]
        if k % 10 == 0:
            corners = ((20, 30 * k + 4), (60, 30 * k + 4), (60, 30 * k + 24), (20, 30 * k + 24))
            things.append(Obstacle(id="", kind="building", points=corners))
    return drawn(*things)  # type: ignore[arg-type]


def took_ms(what: Callable[[], object]) -> float:
    all_ms = []
    for _ in range(TIMES):
        started = time.perf_counter()
        what()
        all_ms.append(1000 * (time.perf_counter() - started))
    return median(all_ms)


def report(name: str, job: Job) -> None:
    r = analyse(job)
    crossed = took_ms(lambda: crossings(job, r.plan.meetings, r.plan.geometry, r.surface, r.grades))
    found = took_ms(lambda: crossing_findings(job, r.crossings))
    footed = took_ms(
        lambda: footing_findings(job, r.plan.shapes, r.plan.geometry, r.surface, r.profiles, r.grades, r.levels)
    )
    print(
        f"{name}, {len(r.crossings)} crossings: crossings {crossed:.1f} ms, findings {found:.1f} ms, footings {footed:.1f} ms"
    )


def dug(job: Job) -> Job:
    """Return a job with every service exposed at every crossing."""
    for c in analyse(job).crossings:
        if c.other_kind != "run":
            job = expose(job, c.other, c.point, (c.ground_ft or 0.0) - 2.0)
    return job


def main() -> None:
    largest = read_job(sample_jobs().joinpath("row-of-yards.drainjob"))  # type: ignore[arg-type]
    for name, job in (("largest sample", largest), ("60 runs", big_yard(60))):
        report(name, job)
        report(f"{name}, all exposed", dug(job))


if __name__ == "__main__":
    main()
