"""How long the water review takes after one run was touched, and a storm to be played, on the largest sample: python tests/bench/bench_water.py."""

import time
from statistics import median, quantiles

from msgspec.structs import replace

from drainsketch import study as closer
from drainsketch.files.jobfile import read_job
from drainsketch.job.edits.change import change
from drainsketch.job.rain import Rain, RainRow, RainTable
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.takeoff.earth import earth

EDITS = 200
PLAYED = 5
ROWS = ((5.0, 0.57), (10.0, 0.9), (15.0, 1.13), (30.0, 1.6), (60.0, 2.06))  # invented, in
TABLE = RainTable(
    measure="depth", return_periods_yr=(10.0,), rows=tuple(RainRow(duration_min=t, values=(z,)) for t, z in ROWS)
)


def main() -> None:
    yards = [read_job(path) for path in sorted(sample_jobs().iterdir(), key=str) if path.name.endswith(".drainjob")]  # type: ignore[arg-type]
    job = replace(max(yards, key=lambda j: len(j.runs)), rain=Rain(table=TABLE, return_period_yr=10.0))
    review = analyse(job)
    before = closer.study(review)
    started = time.perf_counter()
    water = closer._water(review, before.ground, None, earth(review.works, review.stacks))
    print(f"water of '{job.header.title}': {len(water.arrivals)} inlets, {len(water.pipes)} runs")
    print(f"with the areas found anew: {1000 * (time.perf_counter() - started):.1f} ms")
    took = []
    for i in range(EDITS):
        run = job.runs[i % len(job.runs)]
        job = change(job, run.id, diameter_in=6 if run.diameter_in == 4 else 4)
        review = analyse(job, review)
        ground = closer._ground(review, before)
        started = time.perf_counter()
        water = closer._water(review, ground, before, earth(review.works, review.stacks))
        took.append(1000 * (time.perf_counter() - started))
        before = replace(before, review=review, ground=ground, water=water)
    p95 = quantiles(took, n=20)[-1]
    print(f"after an edit that touches one run: median {median(took):.1f} ms, p95 {p95:.1f} ms, {EDITS} edits")
    lasting = replace(job, rain=replace(job.rain, storm_min=120.0))
    before = closer.study(analyse(lasting))
    played = []
    for _ in range(PLAYED):
        started = time.perf_counter()
        storm = closer.play(before)
        played.append(time.perf_counter() - started)
    assert storm is not None
    print(
        f"a storm of 2 hours played today and with the drains: median {median(played):.2f} s, worst {max(played):.2f} s; "
        f"{len(storm.after.minute)} moments, water not accounted for {storm.after.sum.miss:.1e} of it"
    )


if __name__ == "__main__":
    main()
