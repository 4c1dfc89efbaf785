"""How long the review takes after one structure has moved, on the largest sample: python tests/bench/bench_review.py."""

import time
from statistics import median, quantiles

from drainsketch.files.jobfile import read_job
from drainsketch.job.edits.move import move
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse

MOVES = 200


def main() -> None:
    yards = [read_job(path) for path in sorted(sample_jobs().iterdir(), key=str) if path.name.endswith(".drainjob")]  # type: ignore[arg-type]
    job = max(yards, key=lambda j: len(j.runs))
    started = time.perf_counter()
    review = analyse(job)
    print(f"review of '{job.header.title}', {len(job.runs)} runs, {len(job.shots)} shots")
    print(f"first (imports included): {1000 * (time.perf_counter() - started):.0f} ms")
    took = []
    for i in range(MOVES):
        job = move(job, [job.structures[i % len(job.structures)].id], 0.1 if i % 2 else -0.1, 0.05)
        started = time.perf_counter()
        review = analyse(job, review)
        took.append(1000 * (time.perf_counter() - started))
    print(
        f"after moving one structure: median {median(took):.1f} ms, p95 {quantiles(took, n=20)[-1]:.1f} ms, {MOVES} moves"
    )


if __name__ == "__main__":
    main()
