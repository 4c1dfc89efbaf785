"""Prints what a drawing of 20,000 lines under the plan costs: taking it in, a frame while panning, an edit, snapping, and saving.

Run it as ``QT_QPA_PLATFORM=offscreen python -m tests.bench.bench_underlay``.
"""

import math
import random
from time import perf_counter

from PySide6.QtWidgets import QApplication

from drainsketch.files.jobfile import job_text
from drainsketch.job.edits.backdrop import lay_under
from drainsketch.job.edits.move import move
from drainsketch.job.model import Backdrop, BackdropLine
from drainsketch.job.plan_index import index_of
from drainsketch.job.snapping import snap
from tests.bench.bench_canvas import report, slices, timed
from tests.desk.hands import Hands, canvas_of, corner_lot

LINES = 20_000


def drawing() -> Backdrop:
    """Return an invented drawing: 20,000 lines of 6 points in and about the yard."""
    dice = random.Random(3)

    def line() -> BackdropLine:
        x, y, turn = dice.uniform(-60, 180), dice.uniform(-60, 150), dice.uniform(0, 6)
        points = tuple((x + i * math.cos(turn + i / 5), y + i * math.sin(turn + i / 5)) for i in range(6))
        return BackdropLine(points=points, layer="site")

    return Backdrop(source="site.dxf", lines=tuple(line() for _ in range(LINES)))


def took(name: str, started: float) -> float:
    print(f"  {name:46} {(perf_counter() - started) * 1000:7.1f} ms")
    return perf_counter()


def main() -> None:
    app = QApplication.instance() or QApplication([])
    plain = corner_lot()
    started = perf_counter()
    job = lay_under(plain, drawing())
    started = took("made and laid under", started)
    index = index_of(job)
    started = took("index for snapping, once", started)
    for i in range(100):
        snap(index, (20.0 + i / 3, 30.0), 0.9, anchor=(0.0, 0.0))
    took("100 pointers snapped", started)
    for name, one in (("without", plain), ("with", job)):
        print(f"{name} the drawing")
        hands = Hands(canvas_of(one, size=(1366, 768)))
        assert isinstance(app, QApplication)
        report("repainting, a slice", slices(hands))
        hands.settle()
        report("pan", timed(lambda i, h=hands: h.canvas.plan.look_at(h.canvas.view.panned(3.0, 2.0)), app, hands))  # type: ignore[misc]
        started = perf_counter()
        hands.session.apply(move(hands.job, ("tree-1",), 1.0, 0.0), "Move")
        hands.canvas.repaint()
        started = took("an edit of the ground, to its first frame", started)
        hands.settle()
        took("  until every picture is painted", started)
        hands.canvas.close()
    started = perf_counter()
    text = job_text(job)
    took(f"job file of {len(text) / 1e6:.1f} MB written", started)


if __name__ == "__main__":
    main()
