"""Prints what overlays cost the plan for a frame: pan, zoom and drag with none, with one and with all of them on.

Run it as ``QT_QPA_PLATFORM=offscreen python -m tests.bench.bench_overlays``.
"""

from time import perf_counter

from PySide6.QtWidgets import QApplication

from drainsketch.desk.app import settle_memory
from drainsketch.desk.overlays import OVERLAYS
from drainsketch.study import study
from tests.bench.bench_canvas import report, slices, timed, wheel, yard
from tests.bench.bench_studying import acre
from tests.desk.hands import Hands, canvas_of


def measure(on: tuple[str, ...], app: QApplication, with_things: bool) -> None:
    """Measure one choice of overlays and print it."""
    job = yard(500) if with_things else acre()
    canvas = canvas_of(job, size=(1366, 768))
    hands = Hands(canvas)
    started = perf_counter()
    canvas.session.take_study(study(canvas.session.plain_review))
    print(
        f"{', '.join(on) or 'no overlay'} ({'500 objects' if with_things else 'one-acre yard'}), study {perf_counter() - started:.2f} s"
    )
    for overlay in OVERLAYS:
        canvas.plan.overlays.show(overlay.name, overlay.name in on)
    canvas.zoom_to_fit()
    app.processEvents()
    hands.settle()
    report("paint anew, in slices", slices(hands))
    steady = canvas.view
    report("pan", timed(lambda i: canvas.plan.look_at(canvas.view.panned(7, 4 if i % 40 < 20 else -4)), app, hands))
    hands.settle()
    report("zoom", timed(lambda i: wheel(canvas, 60 if i % 30 < 15 else -60), app, hands))
    canvas.plan.look_at(steady)
    hands.settle()
    at = canvas.session.job.structures[0].point
    hands.press(at)
    report("drag a basin", timed(lambda i: hands.move((at[0] + i / 5, at[1] + i / 9), down=True), app, hands))
    hands.release(at)
    canvas.close()


def main() -> None:
    """Run the measurements and print them."""
    app = QApplication([])
    settle_memory()
    for with_things in (False, True):
        for on in ((), ("water",), tuple(o.name for o in OVERLAYS)):
            measure(on, app, with_things)


if __name__ == "__main__":
    main()
