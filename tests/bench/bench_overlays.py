"""Prints what overlays cost the plan for a frame: pan, zoom and drag with none, with one and with all of them on; and
what a moment of the storm costs.

Run it as ``QT_QPA_PLATFORM=offscreen python -m tests.bench.bench_overlays``.
"""

from time import perf_counter

from msgspec.structs import replace
from PySide6.QtWidgets import QApplication

from drainsketch.desk.app import settle_memory
from drainsketch.desk.overlays import OVERLAYS
from drainsketch.desk.playing import shown_of
from drainsketch.desk.storm_paint import Moment
from drainsketch.desk.storm_scene import scene_of
from drainsketch.job.edits.change import change_rain
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.study import study
from drainsketch.wording import Words
from tests.bench.bench_canvas import report, slices, timed, wheel, yard
from tests.bench.bench_studying import acre
from tests.desk.hands import Hands, canvas_of
from tests.test_review import sample


def measure(on: tuple[str, ...], app: QApplication, name: str, job: Job) -> None:
    """Measure one choice of overlays and print it."""
    canvas = canvas_of(job, size=(1366, 768))
    hands = Hands(canvas)
    started = perf_counter()
    canvas.session.take_study(study(canvas.session.plain_review))
    print(f"{', '.join(on) or 'no overlay'} ({name}), study {perf_counter() - started:.2f} s")
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


def measure_storm(name: str, app: QApplication) -> None:
    """Measure the plan with one moment of the storm after another on it, and print it."""
    rain = sample("corner-lot").rain
    job = change_rain(sample(name), table=rain.table, return_period_yr=rain.return_period_yr, intensity_in_h=None)
    canvas = canvas_of(job, size=(1366, 768))
    hands = Hands(canvas)
    canvas.session.take_study(study(canvas.session.plain_review))
    assert canvas.session.study is not None
    started = perf_counter()
    shown = shown_of(canvas.session.study)
    assert shown is not None
    print(f"storm over {name}, played in {perf_counter() - started:.2f} s")
    started = perf_counter()
    scene, words = scene_of(shown), Words.of(job)
    print(f"  made ready in {1000 * (perf_counter() - started):.1f} ms")
    canvas.zoom_to_fit()
    moments = len(shown.after.played.minute)

    def show(i: int) -> None:
        canvas.plan.show_moment(Moment(scene, i % moments, True, words, "0:00", i / 15))

    show(0)
    app.processEvents()
    hands.settle()
    report("a moment", timed(show, app, hands))
    canvas.close()


def main() -> None:
    """Run the measurements and print them."""
    app = QApplication([])
    settle_memory()
    flooded = replace(sample("row-of-yards"), rain=Rain(intensity_in_h=9.0))
    for name, job in (("one-acre yard", acre()), ("500 objects", yard(500)), ("row of yards, flooded", flooded)):
        for on in ((), ("water",), ("flow",), tuple(o.name for o in OVERLAYS)):
            measure(on, app, name, job)
    for name in ("row-of-yards", "low-lawn"):
        measure_storm(name, app)


if __name__ == "__main__":
    main()
