"""How long a level book takes, as it grows: python -m tests.bench.bench_book."""

import time

from drainsketch.ground.book import book_levels
from drainsketch.ground.readings import book_findings
from drainsketch.job.levelling import LevelBook
from drainsketch.job.model import Job
from tests.ground.books import book, bs, fs, inter, known, setup

PER_SETUP = 8
TIMES = 7


def loop(sights: int) -> LevelBook:
    """Return a loop of so many sights, eight intermediate ones in a setup, adjusted by distance."""
    last = sights // (PER_SETUP + 2) - 1
    return book(
        *(
            setup(
                bs(f"T{i}" if i else "BM", 5.0, 40),
                *(inter(f"p{i}-{j}", 4.0) for j in range(PER_SETUP)),
                fs("BM" if i == last else f"T{i + 1}", 5.001, 40),
            )
            for i in range(last + 1)
        ),
        marks=(known("BM", 100.0),),
        adjust=True,
    )


def main() -> None:
    for sights in (1_000, 2_000, 4_000, 8_000):
        levels = loop(sights)
        took, told = [], []
        for _ in range(TIMES):
            started = time.perf_counter()
            worked = book_levels(levels)
            took.append(time.perf_counter() - started)
            started = time.perf_counter()
            book_findings(Job(book=levels), worked)
            told.append(time.perf_counter() - started)
        print(f"{sights} sights: levels {1000 * min(took):.1f} ms, findings {1000 * min(told):.1f} ms")


if __name__ == "__main__":
    main()
