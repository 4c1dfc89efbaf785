"""Prints how long the plan takes for a frame: pan, zoom and drag, at 500 and 5,000 objects.

A frame is the event, a paint of the whole widget, and a slice of repainting if one is due; run it as
``QT_QPA_PLATFORM=offscreen python -m tests.bench.bench_canvas``.
"""

import math
import os
import random
import statistics
import sys
from collections.abc import Callable
from time import perf_counter

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from drainsketch.desk.app import settle_memory
from drainsketch.desk.canvas import Canvas
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Job, Obstacle, Run, Service, Shot, Structure
from drainsketch.review import analyse
from tests.desk.hands import Hands, canvas_of

FRAMES = 120


def yard(count: int) -> Job:
    """Return an invented yard of so many objects: 8-point areas, 13-point lines, shots, basins in a chain."""
    dice = random.Random(7)
    side = 40 * math.sqrt(count / 50)

    def ring(x: float, y: float, n: int, r: float) -> tuple[tuple[float, float], ...]:
        return tuple((x + r * math.cos(2 * math.pi * i / n), y + r * math.sin(2 * math.pi * i / n)) for i in range(n))

    def spot() -> tuple[float, float]:
        return dice.uniform(0, side), dice.uniform(0, side)

    def line() -> tuple[tuple[float, float], ...]:
        (x, y), turn = spot(), dice.uniform(0, 6)
        return tuple((x + i * 2 * math.cos(turn + i / 9), y + i * 2 * math.sin(turn + i / 9)) for i in range(13))

    kinds = ("gas", "water", "electric", "communication")
    areas, lines, shots, basins = count * 3 // 10, count * 3 // 10, count * 2 // 10, count // 10
    wide = max(1, round(math.sqrt(basins)))
    pitch = side / wide
    rows = [
        [(i % wide, i // wide) for i in range(r * wide, min(basins, (r + 1) * wide))] for r in range(basins // wide + 1)
    ]
    chain = [cell for r, row in enumerate(rows) for cell in (row if r % 2 == 0 else row[::-1])]
    structures = tuple(
        Structure(id=f"B{i + 1}", kind="basin", point=((x + 0.5) * pitch, (y + 0.5) * pitch), size_in=12)
        for i, (x, y) in enumerate(chain)
    )
    structures += (Structure(id="O1", kind="outfall", point=(-4.0, -4.0), outfall="daylight"),)
    runs = tuple(
        Run(id=f"R{i + 1}", start=structures[i].id, end=structures[i - 1].id if i else "O1") for i in range(basins)
    )
    return Job(
        boundary=Boundary(id="boundary", points=((-5, -5), (side + 5, -5), (side + 5, side + 5), (-5, side + 5))),
        obstacles=tuple(Obstacle(id=f"bed-{i}", kind="bed", points=ring(*spot(), 8, 2.0)) for i in range(areas)),
        services=tuple(Service(id=f"{kinds[i % 4]}-{i}", kind=kinds[i % 4], points=line()) for i in range(lines)),
        shots=tuple(Shot(id=f"S{i}", point=(p := spot()), elevation_ft=100 + p[1] / 50) for i in range(shots)),
        structures=structures,
        runs=runs,
    )


def timed(act: Callable[[int], None], app: QApplication, hands: Hands) -> list[float]:
    """Return the milliseconds of each frame: what the user did, then all the window does until it is idle or 16 ms passed."""
    took = []
    for i in range(FRAMES):
        started = perf_counter()
        act(i)
        hands.canvas.repaint()
        took.append((perf_counter() - started) * 1000)
        app.processEvents()
    return took


def drop(hands: Hands, at: Point) -> None:
    """Let go of what is dragged and print how long it takes to the first frame that shows it, and to the last picture."""
    started = perf_counter()
    hands.release(at)
    heard = perf_counter()
    hands.canvas.repaint()
    shown = perf_counter()
    hands.settle()
    settled = perf_counter()
    job, before = hands.session.job, hands.session.history.jobs[-2]
    review = analyse(before)
    again = perf_counter()
    analyse(job, review)
    engine = perf_counter() - again
    print(
        f"  drop to the first frame that shows it: {(shown - started) * 1000:.0f} ms "
        f"(event {(heard - started) * 1000:.0f}, of it review {engine * 1000:.0f}; frame {(shown - heard) * 1000:.0f}); "
        f"every word in place after {(settled - started) * 1000:.0f} ms"
    )


def slices(hands: Hands) -> list[float]:
    """Return the milliseconds of each slice while the whole plan is painted anew, frames between them included."""
    hands.settle()
    pictures = hands.canvas.plan.layers.pictures
    pictures.spoil(*pictures.layers)
    took = []
    while not pictures.settled:
        started = perf_counter()
        pictures.refresh() if not took else pictures.slice_timer.timeout.emit()
        hands.canvas.repaint()
        took.append((perf_counter() - started) * 1000)
    return took


def report(name: str, took: list[float]) -> None:
    """Print the middle and the 95th percentile."""
    ordered = sorted(took)
    p95 = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    print(
        f"  {name:24} p50 {statistics.median(took):6.1f} ms   p95 {p95:6.1f} ms   most {ordered[-1]:6.1f} ms  (n={len(took)})"
    )


def measure(count: int, app: QApplication) -> None:
    """Measure one size of job and print it."""
    started = perf_counter()
    canvas = canvas_of(yard(count), size=(1366, 768))
    hands = Hands(canvas)
    print(f"{count} objects: opened in {(perf_counter() - started) * 1000:.0f} ms")
    canvas.zoom_to_fit()
    app.processEvents()
    hands.settle()
    settle_memory()
    report("paint anew, in slices", slices(hands))
    steady = canvas.view
    report("pan", timed(lambda i: canvas.plan.look_at(canvas.view.panned(7, 4 if i % 40 < 20 else -4)), app, hands))
    hands.settle()
    report("zoom", timed(lambda i: wheel(canvas, 60 if i % 30 < 15 else -60), app, hands))
    canvas.plan.look_at(steady)
    hands.settle()
    report("hover", timed(lambda i: hands.move((i / 3, i / 4)), app, hands))
    at = canvas.session.job.structures[3].point
    hands.press(at)
    report("drag a basin", timed(lambda i: hands.move((at[0] + i / 5, at[1] + i / 9), down=True), app, hands))
    drop(hands, (at[0] + 24, at[1] + 13))
    canvas.set_tool("building")
    hands.click((3.0, 3.0))
    report("draw with snapping", timed(lambda i: hands.move((3 + i / 4, 3 + i / 5)), app, hands))
    canvas.cancel()
    canvas.close()


def wheel(canvas: Canvas, turn: int) -> None:
    """Turn the wheel over the middle of the plan."""
    spot = QPointF(683, 384)
    none, phase = Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase
    event = QWheelEvent(spot, spot, QPoint(), QPoint(0, turn), Qt.MouseButton.NoButton, none, phase, False)
    QApplication.sendEvent(canvas, event)


def main() -> None:
    """Run the measurements and print them; what goes wrong in an event of the window ends them."""
    sys.excepthook = lambda kind, fault, trace: (sys.__excepthook__(kind, fault, trace), os._exit(1))
    app = QApplication([])
    for count in (500, 5_000):
        measure(count, app)


if __name__ == "__main__":
    main()
