"""Prints what the ground costs: the surface through 1,000 shots, levels asked of it, and the study of one acre at half a foot.

Run it as ``python -m tests.bench.bench_ground``. The least of several is printed, since other work on the machine only adds.
"""

from collections.abc import Callable
from time import perf_counter

import numpy as np

from drainsketch.ground.catchments import catchments_of
from drainsketch.ground.contours import contours_of
from drainsketch.ground.drops import follow_drop
from drainsketch.ground.grid import raster
from drainsketch.ground.ponding import ponds_of, seats
from drainsketch.ground.results import Inlet, LevelledShot
from drainsketch.ground.routing import route
from drainsketch.ground.spreading import reaches_of
from drainsketch.ground.study import ground_study
from drainsketch.ground.surface import Surface
from drainsketch.ground.ways import ways_of
from drainsketch.job.model import Breakline, Job, Shot
from drainsketch.review import analyse
from tests.bench.bench_studying import acre

ROUNDS = 7


def least_ms(work: Callable[[], object]) -> float:
    """Return the least time of several, ms."""
    times = []
    for _ in range(ROUNDS):
        started = perf_counter()
        work()
        times.append(perf_counter() - started)
    return 1000 * min(times)


def show(name: str, work: Callable[[], object]) -> None:
    print(f"  {name:58} {least_ms(work):7.1f} ms")


def surfaces() -> None:
    """Print what the surface through 1,000 shots costs."""
    rng = np.random.default_rng(811)
    shots = tuple(
        LevelledShot(f"S{n}", (x, y), 100 + z)
        for n, (x, y, z) in enumerate(
            zip(*rng.uniform(0, 200, (2, 1000)).tolist(), rng.random(1000).tolist(), strict=True)
        )
    )
    lines = tuple(
        Breakline(id=f"breakline-{n}", kind="swale", points=tuple(s.point for s in shots[4 * n : 4 * n + 4]))
        for n in range(3)
    )
    surface = Surface(shots)
    asked = rng.uniform(0, 200, (60, 2))
    show("surface through 1,000 shots", lambda: Surface(shots))
    show("  and three breaklines right across it", lambda: Surface(shots, lines))
    show("60 levels asked of it", lambda: surface.levels_at(asked))


def studies() -> None:
    """Print what the study of an acre costs, stage by stage."""
    job = acre()
    review = analyse(job)
    assert review.surface is not None
    surface = review.surface
    basins = tuple(s for s in job.structures if s.kind == "basin")
    inlets = tuple(Inlet(s.id, s.point, 0.5, review.levels[s.id].rim_ft) for s in basins)
    ground = raster(job, surface)
    rims = np.array([i.rim_ft for i in inlets])
    cells = seats(ground.grid, inlets)
    routing = route(ground.ground_ft, ground.wall, cells, rims)
    reaches = reaches_of(ground.ground_ft, ground.wall, routing, cells, rims)
    print(f"  {ground.grid.rows} x {ground.grid.columns} cells of {ground.grid.cell_ft} ft")
    show("cells", lambda: raster(job, surface))
    show("filling, ways of the water", lambda: route(ground.ground_ft, ground.wall, seats(ground.grid, inlets), rims))
    show("ponds", lambda: ponds_of(ground, routing, ()))
    show("catchments", lambda: catchments_of(ground.grid, reaches, inlets))
    show("which inlet each cell reaches", lambda: reaches_of(ground.ground_ft, ground.wall, routing, cells, rims))
    show("longest ways", lambda: ways_of(ground.grid, routing, reaches, inlets))
    show("contours", lambda: contours_of(ground.grid, ground.ground_ft, 0.5))
    show("all of an acre, with its inlets and without", lambda: ground_study(job, surface, inlets))
    study = ground_study(job, surface, inlets)
    assert study is not None
    show("a drop", lambda: follow_drop(study, (10.0, 200.0)))
    level = Job(shots=tuple(Shot(id=s.id, point=s.point, elevation_ft=100.1) for s in job.shots))
    flat = analyse(level).surface
    show("all of an acre of level ground", lambda: ground_study(level, flat, ()))
    noisy = ground.ground_ft + np.random.default_rng(811).normal(0, 0.02, ground.ground_ft.shape)
    show("filling an acre where every cell is a bump", lambda: route(noisy, ground.wall, (), np.empty(0)))


def main() -> None:
    """Run the measurements and print them."""
    surfaces()
    studies()


if __name__ == "__main__":
    main()
