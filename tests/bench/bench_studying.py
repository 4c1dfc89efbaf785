"""Prints how long the window's event loop is held up while a study runs on its own thread, and how long the study takes.

Run it as ``QT_QPA_PLATFORM=offscreen python -m tests.bench.bench_studying``. The pulse is a timer of 1 ms: the gap from one
beat to the next is what a click would have waited.
"""

import sys
from math import hypot, sin
from time import perf_counter

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from drainsketch.desk.app import settle_memory
from drainsketch.desk.session import Session
from drainsketch.desk.studying import Studying
from drainsketch.files.jobfile import read_job
from drainsketch.job.edits.change import change
from drainsketch.job.model import Boundary, Job, Obstacle, Run, Shot, Structure
from drainsketch.resources import sample_jobs

ROUNDS = 4
ACRE_FT = 208.7  # the side of a square acre
SWITCH_S = (0.005, 0.001, 0.0005)


def acre() -> Job:
    """Return an invented yard of an acre: hollows and a house, 400 shots, four basins."""
    pitch = ACRE_FT / 19
    shots = tuple(
        Shot(
            id=f"S{20 * i + j + 1}",
            point=(i * pitch, j * pitch),
            elevation_ft=100 - 0.01 * j * pitch + 0.6 * sin(i / 2.1) * sin(j / 1.7) + 0.002 * hypot(i, j),
        )
        for i in range(20)
        for j in range(20)
    )
    basins = tuple(
        Structure(id=f"B{n}", kind="basin", point=(40.0 * n, 30.0 + 20.0 * n), size_in=12) for n in range(1, 5)
    )
    return Job(
        boundary=Boundary(id="boundary", points=((0, 0), (ACRE_FT, 0), (ACRE_FT, ACRE_FT), (0, ACRE_FT))),
        obstacles=(Obstacle(id="building-1", kind="building", points=((80, 90), (130, 90), (130, 125), (80, 125))),),
        shots=shots,
        structures=(*basins, Structure(id="O1", kind="outfall", point=(200.0, 205.0), outfall="daylight")),
        runs=tuple(Run(id=f"R{n}", start=f"B{n}", end=f"B{n + 1}" if n < 4 else "O1") for n in range(1, 5)),
    )


def measure(name: str, job: Job, app: QApplication) -> None:
    """Edit a shot some times, and print the longest gap between two beats of the window while the study runs."""
    session = Session(job)
    watch = Studying(session)
    beats: list[float] = []
    pulse = QTimer(interval=1)
    pulse.timeout.connect(lambda: beats.append(perf_counter()))
    gaps, took = [], []
    shot = job.shots[len(job.shots) // 2]
    for n in range(ROUNDS + 1):
        session.apply(
            change(session.job, shot.id, elevation_ft=(shot.elevation_ft or 100.0) + 0.01 * n), "Change a level"
        )
        while not watch.busy:
            app.processEvents()
        beats.clear()
        pulse.start()
        started = perf_counter()
        while watch.busy:
            app.processEvents()
        took.append(perf_counter() - started)
        pulse.stop()
        gaps.append(max((b - a for a, b in zip([started, *beats], beats, strict=False)), default=took[-1]))
    watch.stop()
    print(
        f"  {name:22} study {1000 * min(took[1:]):6.0f} ms   longest gap {1000 * max(gaps[1:]):6.1f} ms   "
        f"usual longest {1000 * sorted(gaps[1:])[len(gaps) // 2 - 1]:6.1f} ms"
    )


def main() -> None:
    """Run the measurements and print them, for some intervals at which threads take turns."""
    app = QApplication([])
    settle_memory()
    folder = sample_jobs()
    samples = [read_job(folder.joinpath(f.name)) for f in folder.iterdir() if f.name.endswith(".drainjob")]  # type: ignore[arg-type]
    largest = max(samples, key=lambda job: len(job.shots))
    for seconds in SWITCH_S:
        sys.setswitchinterval(seconds)
        print(f"threads take turns every {1000 * seconds:g} ms")
        measure("largest sample", largest, app)
        measure("one-acre yard", acre(), app)


if __name__ == "__main__":
    main()
