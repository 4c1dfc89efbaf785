"""A ground study made by hand: a round bowl with a pond in its middle, contours as circles, and two inlet areas."""

from math import cos, hypot, pi, sin

import numpy as np

from drainsketch.desk.session import Session
from drainsketch.ground.results import Catchment, Contour, FallArrow, Grid, GroundStudy, Inlet, Pond
from drainsketch.job.kinds import Point
from drainsketch.study import Study
from drainsketch.water.results import Water

POND_FT = 12.0  # half as wide as the pond
SLOPE = 0.04  # of the cone that the bowl is


def ring(center: Point, radius_ft: float, count: int = 48) -> tuple[Point, ...]:
    return tuple(
        (center[0] + radius_ft * cos(2 * pi * i / count), center[1] + radius_ft * sin(2 * pi * i / count))
        for i in range(count)
    )


def bowl_study(center: Point = (30.0, -20.0), low_ft: float = 97.0, inlets: tuple[str, ...] = ()) -> GroundStudy:
    """Return the study of a cone that stands on its tip: ground rises 4 ft in 100 from the middle, and fills to 12 ft out."""
    cell_ft, cells = 1.0, 120
    west, south = center[0] - 60.0, center[1] - 60.0
    xs = west + (np.arange(cells) + 0.5) * cell_ft
    ys = south + (np.arange(cells) + 0.5) * cell_ft
    away = np.hypot(xs[None, :] - center[0], ys[:, None] - center[1])
    ground = low_ft + SLOPE * away
    depth = np.maximum(0.0, low_ft + SLOPE * POND_FT - ground)
    contours = tuple(
        Contour(low_ft + 0.5 * i, (np.array([*(circle := ring(center, 0.5 * i / SLOPE, 90)), circle[0]]),))
        for i in range(1, 5)
    )
    arrows = tuple(
        FallArrow((x, y), ((center[0] - x) / r, (center[1] - y) / r), SLOPE)
        for x in np.arange(west + 2.5, west + 120, 5.0).tolist()
        for y in np.arange(south + 2.5, south + 120, 5.0).tolist()
        if (r := hypot(x - center[0], y - center[1])) > 0
    )
    pond = Pond(
        outline=(ring(center, POND_FT),),
        level_ft=low_ft + SLOPE * POND_FT,
        depth_ft=SLOPE * POND_FT,
        area_ft2=pi * POND_FT**2,
        volume_gal=pi * POND_FT**2 * SLOPE * POND_FT / 3 * 7.48052,
        low_point=center,
        spill_point=(center[0] + POND_FT, center[1]),
        inlets=inlets,
    )
    east = tuple((x, y) for x, y in ring(center, 40.0) if x >= center[0])
    west_half = tuple((x, y) for x, y in ring(center, 40.0) if x <= center[0] + 1e-9)
    return GroundStudy(
        grid=Grid(west, south, cell_ft, cells, cells),
        ground_ft=ground,
        depth_ft=depth,
        contours=contours,
        arrows=arrows,
        ponds=(pond,),
        ponds_now=(pond,),
        inlets=(Inlet("B1", center, 0.5, low_ft),),
        catchments=(Catchment("B1", 2513.0, (east,)), Catchment("B2", 2513.0, (west_half,))),
    )


def studied(session: Session, ground: GroundStudy | None) -> Study:
    """Return a study of the session's job as it stands, with a ground study made by hand."""
    dry = Water(lacking="rain", arrivals={}, pipes={}, grates={}, lines={}, heads={})
    return Study(
        review=session.plain_review,
        ground=ground,
        spare={},
        odds={},
        reasons={},
        cures={},
        water=dry,
        findings=(),
    )
