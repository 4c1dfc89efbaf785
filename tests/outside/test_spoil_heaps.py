"""Heaps of loose earth against solid geometry, and against heights summed over a fine lattice.

Source of the solids: pyramid A h / 3, cone, and a ridge roof with two pyramid ends, as in any handbook of mensuration. The slope
of 1.5 across to 1 up is common practice, no source; so each solid is as high as its least distance from the edge over 1.5.
"""

from math import pi

import numpy as np
import pytest
import shapely

from drainsketch.takeoff.heaps import heap_room

ELL = ((0, 0), (20, 0), (20, 8), (9, 8), (9, 17), (0, 17))


def test_a_square_is_a_pyramid() -> None:
    room = heap_room(shapely.box(0, 0, 12, 12))
    assert room.height_ft == pytest.approx(4.0, abs=1e-3)
    assert room.loose_yd3 * 27 == pytest.approx(12 * 12 * 4 / 3, rel=1e-4)


def test_a_right_triangle_is_a_pyramid_over_its_inscribed_circle() -> None:
    # sides 3, 4, 5 times 6: inradius (18 + 24 - 30) / 2 = 6 ft, 4 ft high; area 216 ft2: 216 x 4 / 3 = 288 ft3
    room = heap_room(shapely.Polygon(((0, 0), (24, 0), (0, 18))))
    assert room.height_ft == pytest.approx(4.0, abs=1e-3)
    assert room.loose_yd3 == pytest.approx(288 / 27, rel=1e-4)


def test_a_circle_is_a_cone() -> None:
    room = heap_room(shapely.Point(0, 0).buffer(9, quad_segs=90))
    assert room.height_ft == pytest.approx(6.0, rel=1e-3)
    assert room.loose_yd3 * 27 == pytest.approx(pi * 81 * 6 / 3, rel=1e-3)


def test_a_strip_is_a_ridge_with_two_pyramid_ends() -> None:
    # 30 by 9 ft: 3 ft high; the middle 21 ft x 9 x 3 / 2 = 283.5 ft3, the ends together 9 x 9 x 3 / 3 = 81 ft3
    room = heap_room(shapely.box(0, 0, 30, 9))
    assert room.loose_yd3 * 27 == pytest.approx(283.5 + 81, rel=1e-4)


def test_a_bent_outline_agrees_with_a_lattice_of_heights() -> None:
    outline = shapely.Polygon(ELL)
    at = np.arange(0.05, 20, 0.1)
    x, y = (v.ravel() for v in np.meshgrid(at, at))
    inside = shapely.contains_xy(outline, x, y)
    off = shapely.distance(shapely.points(x[inside], y[inside]), outline.exterior)
    assert heap_room(outline).loose_yd3 * 27 == pytest.approx(float(off.sum()) * 0.01 / 1.5, rel=2e-3)


def test_an_outline_without_area_holds_nothing() -> None:
    line = shapely.make_valid(shapely.Polygon(((0, 0), (5, 0), (9, 0))))
    assert heap_room(line).loose_yd3 == 0
