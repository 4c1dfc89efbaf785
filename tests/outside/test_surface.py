"""Ground levels against an independent interpolator.

Source: scipy.interpolate.LinearNDInterpolator, a general reference library (linear barycentric interpolation on its own
Delaunay triangulation).
"""

import numpy as np
from scipy.interpolate import LinearNDInterpolator

from drainsketch.ground.surface import Surface
from drainsketch.job.model import Shot


def test_levels_inside_the_shots_agree_with_scipys_interpolator() -> None:
    rng = np.random.default_rng(811)
    for origin in ((0.0, 0.0), (30_000.0, -12_000.0)):
        xy = rng.uniform(0, 200, (60, 2)) + origin
        z = 100 + 3 * np.sin(xy[:, 0] / 37) + rng.normal(0, 0.5, 60)
        surface = Surface(
            tuple(
                Shot(id=f"S{i}", point=(x, y), elevation_ft=e)
                for i, ((x, y), e) in enumerate(zip(xy.tolist(), z.tolist(), strict=True))
            )
        )
        asked = rng.uniform(-20, 220, (2_000, 2)) + origin
        ours, guess = surface.levels_at(asked)
        # the reference works on shifted points: far from 0, 0 its own triangulation is the less exact one
        theirs = LinearNDInterpolator(xy - origin, z)(asked - origin)
        inside = ~np.isnan(theirs)
        assert inside.sum() > 1_000
        np.testing.assert_array_equal(guess, ~inside)
        np.testing.assert_allclose(ours[inside], theirs[inside], atol=1e-9)
