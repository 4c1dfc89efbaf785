"""Prints how long the profile takes: a full repaint, a repaint under the pointer, and a move of an invert that is dragged.

``QT_QPA_PLATFORM=offscreen python -m tests.bench.bench_profile``
"""

import statistics
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QApplication

from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.session import Session
from drainsketch.files.jobfile import read_job

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
TIMES = 40
SIZES = ((1030, 150), (1030, 600))


def timed(act: Callable[[int], object]) -> str:
    """Return the middle and the worst of the milliseconds that something takes."""
    took = []
    for i in range(TIMES):
        started = perf_counter()
        act(i)
        took.append((perf_counter() - started) * 1000)
    return f"p50 {statistics.median(took):5.1f} ms   most {max(took):5.1f} ms"


def measure(path: Path, size: tuple[int, int]) -> None:
    """Measure one sample at one size and print it."""
    strip = ProfileStrip(Session(read_job(path)))
    strip.resize(*size)
    target = QPixmap(*size)
    strip.render(target)

    def anew(_: int) -> None:
        strip.repaint_all()
        strip.render(target)

    def point(i: int) -> None:
        strip.point_at(float(i))
        strip.render(target)

    print(f"{path.stem:16} {size[0]} x {size[1]}")
    print(f"  full repaint       {timed(anew)}")
    print(f"  under the pointer  {timed(point)}")
    free = [h for h in strip.hand.handles if h.structure != strip.path.posts[0].id] if strip.path is not None else []
    if free:
        strip.hand.grab(free[0])
        start = free[0].level_ft

        def move(i: int) -> None:
            strip.hand.drag_to(start - i / 100)
            strip.render(target)

        print(f"  drag an invert     {timed(move)}")
        strip.hand.drop(give_up=True)


def main() -> None:
    """Run the measurements and print them."""
    app = QApplication([])
    for path in sorted(SAMPLES.glob("*.drainjob")):
        for size in SIZES:
            measure(path, size)
    app.processEvents()


if __name__ == "__main__":
    main()
