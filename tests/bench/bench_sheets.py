"""How long the crew's set takes: python tests/bench/bench_sheets.py. The review is not counted.

The largest sample, whole and about ten pages of it, then invented combs of 50 to 400 runs: seconds, pages, and milliseconds a run.
"""

import time
from statistics import median

from drainsketch.files.jobfile import read_job
from drainsketch.job.model import Job
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.sheets.book import made_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.study import study
from tests.bench.bench_engine import comb

TEN_PAGES = (
    *(
        "crossing-details",
        "basin-details",
        "trench-details",
        "profiles",
        "storm-plan",
        "storm",
        "order-of-work",
        "calendar",
    ),
    *("rain", "loading", "takeoff", "bends", "paths", "stakes"),
)


def timed(contents: Contents, rounds: int, **asked: object) -> tuple[float, int]:
    """Return the median seconds of processor time of making the crew's set, and its pages."""
    times, pages = [], 0
    for _ in range(rounds):
        start = time.process_time()
        _, names = made_sheets(contents, **asked)  # type: ignore[arg-type]
        times.append(time.process_time() - start)
        pages = len(names)
    return median(times), pages


def contents_of(job: Job) -> Contents:
    """Return a job with all that the crew's set tells of."""
    closer = study(analyse(job))
    return Contents(job, closer.whole, closer.ground, storm=closer.water)


def main() -> None:
    """Print the figures."""
    yards = [read_job(path) for path in sample_jobs().iterdir() if path.name.endswith(".drainjob")]  # type: ignore[arg-type]
    largest = contents_of(max(yards, key=lambda job: len(job.runs)))
    made_sheets(largest)  # loads what is loaded late
    for what, leave_out in (("about ten pages", TEN_PAGES), ("whole set", ())):
        seconds, pages = timed(largest, 3, leave_out=leave_out)
        print(f"largest sample, {what}: {seconds:.2f} s, {pages} pages, {1000 * seconds / pages:.0f} ms a page")
    for runs in (50, 100, 200, 400):
        job = comb(runs, shots=200)
        contents = Contents(job, analyse(job))
        seconds, pages = timed(contents, 1)
        print(f"{runs} runs: {seconds:.2f} s, {pages} pages, {1000 * seconds / runs:.1f} ms a run")


if __name__ == "__main__":
    main()
