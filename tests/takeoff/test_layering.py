"""The levels between the layers of a trench, and that the volumes of the takeoff lie between them."""

import numpy as np
import pytest
from msgspec.structs import replace

from drainsketch.job.model import Run
from drainsketch.job.sections import Sections
from drainsketch.takeoff.cover import Paving
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.layering import Layering, layering
from drainsketch.takeoff.stacks import stacks
from tests.takeoff.small_jobs import fitting, flat, job_of, laid_out, outfall, paved


@pytest.mark.parametrize("use", ["drain", "solid"])
@pytest.mark.parametrize("over_in", [None, 6.0])
def test_areas_between_the_levels_are_those_of_the_sweep(use: str, over_in: float | None) -> None:
    job = job_of(
        [fitting("F", 0, 0), outfall("O", 60, 0)], [Run(id="R", start="F", end="O", use=use, pipe="corrugated")]
    )
    sections = Sections(solid_bed_in=3.0, solid_over_in=over_in)
    job = replace(job, sections=sections, obstacles=(paved("P", 20.5, 31, "asphalt"), paved("Q", 31, 40, "gravel")))
    works = laid_out(job, lambda x, y: 100 + 0.3 * np.sin(x / 5), {"R": (98.0, 97.0)})
    (dug,) = earth(works, stacks(works)).runs
    w = dug.work
    at = layering(job, w.run, w.profile, w.grade, Paving(job.obstacles, job.sections).stretches(w.points[::-1]))

    def area(top: np.ndarray, bottom: np.ndarray) -> float:
        return float(np.trapezoid(top - bottom, at.station_ft))

    s = dug.swept
    assert area(at.ground_ft, at.bottom_ft) == pytest.approx(s.cut_ft2, abs=1e-5)
    assert area(at.under_cover_ft, at.bottom_ft) == pytest.approx(s.fill_ft2, abs=1e-5)
    assert area(at.stone_top_ft, at.bottom_ft) == pytest.approx(s.stone_ft2, abs=1e-5)


def test_by_hand() -> None:
    # Ground 100, invert 98, 4 in SDR 35 on 4 in of stone with 6 in over it; under asphalt (3 in) and base (6 in) stone all the way up
    job = job_of([fitting("F", 0, 0), outfall("O", 10, 0)], [Run(id="R", start="F", end="O")])
    job = replace(job, sections=Sections(solid_bed_in=4.0, solid_over_in=6.0), obstacles=(paved("P", 0, 5, "asphalt"),))
    works = laid_out(job, flat(100), {"R": (98.0, 98.0)})
    w = works.runs[0]
    at: Layering = layering(
        job, w.run, w.profile, w.grade, Paving(job.obstacles, job.sections).stretches(w.points[::-1])
    )
    bottom = 98 - 0.01 - 4 / 12
    assert at.bottom_ft == pytest.approx(bottom)
    bare, under = at.station_ft < 4.9, (at.station_ft > 5.1) & (at.station_ft < 9.9)
    assert at.stone_top_ft[bare] == pytest.approx(bottom + (4 + 4.215 + 6) / 12)
    assert at.under_cover_ft[bare] == pytest.approx(100)
    assert at.stone_top_ft[under] == pytest.approx(100 - 0.75)
