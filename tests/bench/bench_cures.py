"""Prints how long the closer look takes: the sample jobs, and yards of up to 60 runs in which water cannot leave.

Run it as ``python -m tests.bench.bench_cures``.
"""

from collections.abc import Callable
from time import perf_counter

from drainsketch.files.jobfile import read_job
from drainsketch.job.model import Job
from drainsketch.network.cures import find_cures
from drainsketch.network.reasons import reasons_of
from drainsketch.network.spare import spare_of
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.study import study, trial_of, troubles_in
from tests.network.random_yards import yard

ROUNDS = 3


def took_ms(do: Callable[[], object]) -> float:
    """Return the least time of some rounds."""
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        do()
        times.append(perf_counter() - start)
    return 1000 * min(times)


def measure(name: str, job: Job) -> None:
    """Print what the closer look at a job costs, and how much of it goes to spare, reasons and cures."""
    review = analyse(job)
    bounds, troubles = review.bounds, troubles_in(review)
    if bounds is None:
        return
    now = trial_of(review)
    print(
        f"  {name:16} {len(job.runs):3} runs {len(troubles):3} in trouble   study {took_ms(lambda: study(review)):6.0f} ms   "
        f"spare {took_ms(lambda: spare_of(bounds)):5.0f}   reasons {took_ms(lambda: reasons_of(bounds, troubles)):5.0f}   "
        f"cures {took_ms(lambda: find_cures(bounds, troubles, now, lambda j: trial_of(analyse(j, review)))):5.0f}"
    )


def main() -> None:
    """Run the measurements and print them."""
    for file in sorted(sample_jobs().iterdir(), key=lambda f: f.name):
        if file.name.endswith(".drainjob"):
            measure(file.name.removesuffix(".drainjob"), read_job(file))  # type: ignore[arg-type]
    for seed in (19, 59, 119, 199):
        measure(f"yard {seed}", yard(seed))


if __name__ == "__main__":
    main()
