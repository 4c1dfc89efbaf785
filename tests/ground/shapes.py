"""Grounds of known shape: shots on a lattice, from a function of x and y."""

from collections.abc import Callable

import numpy as np

from drainsketch.ground.results import Inlet, LevelledShot
from drainsketch.ground.surface import Surface
from drainsketch.job.kinds import Point
from drainsketch.job.model import Breakline, Job, Obstacle, Shot

Height = Callable[[float, float], float]


def lattice(z: Height, reach: float, pitch: float) -> tuple[LevelledShot, ...]:
    """Return shots every ``pitch`` over a square that reaches so far from 0, 0 each way."""
    at = np.arange(-reach, reach + pitch / 2, pitch).tolist()
    places = [(x, y) for y in at for x in at]
    return tuple(LevelledShot(f"S{n}", (x, y), float(z(x, y))) for n, (x, y) in enumerate(places, start=1))


def ground_of(
    z: Height,
    reach: float = 30.0,
    pitch: float = 5.0,
    breaklines: tuple[Breakline, ...] = (),
    buildings: tuple[Obstacle, ...] = (),
) -> tuple[Job, Surface]:
    """Return a job of shots on such a ground, and its surface."""
    shots = lattice(z, reach, pitch)
    job = Job(
        shots=tuple(Shot(id=s.id, point=s.point, elevation_ft=s.elevation_ft) for s in shots),
        breaklines=breaklines,
        obstacles=buildings,
    )
    return job, Surface(shots, breaklines, buildings)


def inlet(at: Point, rim_ft: float, reach_ft: float = 0.5, name: str = "B1") -> Inlet:
    return Inlet(name, at, reach_ft, rim_ft)


def house(west: float, south: float, east: float, north: float, name: str = "building-1") -> Obstacle:
    return Obstacle(id=name, kind="building", points=((west, south), (east, south), (east, north), (west, north)))
