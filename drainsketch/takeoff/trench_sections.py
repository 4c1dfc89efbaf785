"""The trench in section: every kind of trench of a job, and what it is filled with from the bottom to the ground.

A kind is the same use, pipe, width, bed and surface. Pure geometry, in inches above the trench bottom; what is drawn and what is
counted can both stand on it.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Literal

import numpy as np
from msgspec import Struct

from drainsketch.job.ask import length_ft
from drainsketch.job.kinds import Paving, PipeDiameter, PipeKind, RunUse
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job
from drainsketch.job.sections import Sections
from drainsketch.network.digging import trench_width_ft
from drainsketch.network.results import Grade, Profile
from drainsketch.takeoff.cover import Paving as PavingInPlan
from drainsketch.takeoff.works import RunWork, Works

Material = Literal["native", "stone", "topsoil", "base", "asphalt", "concrete", "pavers", "paving", "sand", "gravel"]
Surface = Literal["lawn"] | Paving

LEAST_STRETCH_FT = 0.05  # a shorter stretch over paving is where two outlines touch
SAME_IN = 1e-3
TAPE_OVER_PIPE_IN, TAPE_UNDER_GROUND_IN = 12.0, 6.0  # common practice, no source


class Layer(Struct, frozen=True):
    """What fills the trench between two heights above its bottom, in, and how much wider than the trench it is on each side."""

    material: Material
    bottom_in: float
    top_in: float
    beyond_in: float = 0.0


class TrenchSection(Struct, frozen=True):
    """One kind of trench and the runs that have it, with the least and greatest cut and cover of their stretches in it, ft.

    Least cut and cover leave out the taper before an open outfall, as ``Grade.asked_cover_ft`` does.
    """

    use: RunUse
    pipe: PipeKind
    diameter_in: PipeDiameter
    surface: Surface
    width_in: float
    bed_in: float
    inside_in: float
    outside_in: float
    runs: tuple[str, ...]
    least_cut_ft: float
    greatest_cut_ft: float
    least_cover_ft: float
    greatest_cover_ft: float


class Stretch(Struct, frozen=True):
    """A piece of a run under one surface: stations of its ends from the downstream end, ft."""

    run: str
    surface: Surface
    from_ft: float
    to_ft: float


def layers(
    use: RunUse,
    surface: Surface,
    sections: Sections,
    criteria: Criteria,
    *,
    cut_in: float,
    bed_in: float,
    outside_in: float,
) -> tuple[Layer, ...]:
    """Return what fills a trench, from the bottom up; a layer for which the cut leaves no room is left out.

    Parameters
    ----------
    cut_in : ground to trench bottom, in (0 or more)
    bed_in : bed under the pipe, in
    outside_in : outside diameter of the pipe, in

    Notes
    -----
    Source: ``Sections`` and ``Criteria`` of the job. Check: tests/takeoff/test_trench_sections.py

    Examples
    --------
    A drain 24 in deep with 4 in of topsoil:

    >>> drain = layers("drain", "lawn", Sections(), Criteria(), cut_in=24.0, bed_in=2.0, outside_in=4.6)
    >>> [(layer.material, layer.bottom_in, layer.top_in) for layer in drain]
    [('stone', 0.0, 20.0), ('topsoil', 20.0, 24.0)]
    """
    if surface == "lawn":
        if use == "drain":
            cap_in = max(0.0, cut_in - criteria.topsoil_cap_in)
            return _kept((Layer("stone", 0.0, cap_in), Layer("topsoil", cap_in, cut_in)))
        return _kept(_round_solid(sections, cut_in, bed_in, outside_in))
    paved = paving_in(surface, sections)
    sand_in = sections.paver_sand_in if surface == "brick" else 0.0
    base_to, sand_to = max(0.0, cut_in - paved - sand_in), max(0.0, cut_in - paved)
    fill_to = max(0.0, base_to - sections.base_in)
    whole = use == "drain" or sections.paved_fill == "stone"
    fill = (Layer("stone", 0.0, fill_to),) if whole else _round_solid(sections, fill_to, bed_in, outside_in)
    beyond = sections.patch_beyond_in
    return _kept(
        (
            *fill,
            Layer("base", fill_to, base_to),
            Layer("sand", base_to, sand_to, beyond),
            Layer(paving_of(surface), sand_to, cut_in, beyond),
        )
    )


def _round_solid(sections: Sections, to_in: float, bed_in: float, outside_in: float) -> tuple[Layer, ...]:
    over_in = sections.solid_over_in
    stone_in = min(to_in, bed_in if over_in is None else bed_in + outside_in + over_in)
    return Layer("stone", 0.0, stone_in), Layer("native", stone_in, to_in)


def _kept(found: tuple[Layer, ...]) -> tuple[Layer, ...]:
    return tuple(layer for layer in found if layer.top_in - layer.bottom_in > SAME_IN)


def paving_of(surface: Surface) -> Material:
    """Return what a surface is put back with; a drive or walk of which nothing more is said is paving, as thick as concrete."""
    known: dict[str, Material] = {"asphalt": "asphalt", "concrete": "concrete", "brick": "pavers", "gravel": "gravel"}
    return known.get(surface, "paving")


def paving_in(surface: Surface, sections: Sections) -> float:
    """Return how thick a surface is put back, in."""
    return {
        "asphalt": sections.asphalt_in,
        "pavers": sections.paver_in,
        "gravel": sections.gravel_in,
    }.get(paving_of(surface), sections.concrete_in)


def tape_in(found: tuple[Layer, ...], sections: Sections, *, pipe_top_in: float) -> float | None:
    """Return how high the marking tape lies above the trench bottom, in; None where none is laid or there is no room for it.

    Under topsoil or a base course it lies on the stone; in earth 12 in over the pipe, but at least 6 in under the ground: common
    practice, no source.
    """
    fill = [layer for layer in found if layer.material in ("stone", "native")]
    if not sections.marking_tape or not fill:
        return None
    top_in, cut_in = fill[-1].top_in, found[-1].top_in
    high = (
        top_in
        if fill[-1].material == "stone"
        else min(top_in, pipe_top_in + TAPE_OVER_PIPE_IN, cut_in - TAPE_UNDER_GROUND_IN)
    )
    return high if high > pipe_top_in + SAME_IN else None


def stretches(job: Job, work: RunWork) -> tuple[Stretch, ...]:
    """Return a run in pieces under one surface each, from its downstream end up; where outlines overlap the one drawn last is on top."""
    points = work.points[::-1]
    if len(points) < 2:
        return ()
    found, at = [], 0.0
    for s in _paving(job.obstacles, job.sections).stretches(points):
        if s.to_ft - s.from_ft < LEAST_STRETCH_FT:
            continue
        if s.from_ft - at >= LEAST_STRETCH_FT:
            found.append(Stretch(work.run.id, "lawn", at, s.from_ft))
        surface: Surface = "drive-or-walk" if s.paved == "unknown" else s.paved
        found.append(Stretch(work.run.id, surface, s.from_ft, s.to_ft))
        at = s.to_ft
    end_ft = length_ft(points)
    if end_ft - at >= LEAST_STRETCH_FT:
        found.append(Stretch(work.run.id, "lawn", at, end_ft))
    return tuple(found)


_paving = lru_cache(maxsize=2)(PavingInPlan)


def trench_sections(works: Works) -> tuple[TrenchSection, ...]:
    """Return every kind of trench of the runs that have a grade, in the order of the job: lawn before paving."""
    kinds: dict[tuple[Any, ...], list[tuple[str, _Cut, Grade]]] = {}
    for w in works.runs:
        if w.grade is None or w.profile is None:
            continue
        g = w.grade
        bed_in = round(g.bottom_below_invert_ft * 12 - (g.outside_in - g.inside_in) / 2, 6)
        width_in = round(trench_width_ft(g.outside_in, works.job.criteria.trench_width_in) * 12, 6)
        for surface, cut in _cuts(works.job, w, w.profile, g):
            key = (w.run.use, w.run.pipe, w.run.diameter_in, surface, width_in, bed_in)
            kinds.setdefault(key, []).append((w.run.id, cut, g))
    found = []
    for (use, pipe, diameter, surface, width_in, bed_in), of in kinds.items():
        g = of[0][2]
        found.append(
            TrenchSection(
                use=use,
                pipe=pipe,
                diameter_in=diameter,
                surface=surface,
                width_in=width_in,
                bed_in=bed_in,
                inside_in=g.inside_in,
                outside_in=g.outside_in,
                runs=tuple(dict.fromkeys(o[0] for o in of)),
                least_cut_ft=min(cut.least for _, cut, _ in of),
                greatest_cut_ft=max(cut.greatest for _, cut, _ in of),
                least_cover_ft=min(cut.least_cover for _, cut, _ in of),
                greatest_cover_ft=max(cut.greatest_cover for _, cut, _ in of),
            )
        )
    return tuple(sorted(found, key=lambda s: s.surface != "lawn"))


class _Cut(Struct, frozen=True):
    least: float
    greatest: float
    least_cover: float
    greatest_cover: float


def _cuts(job: Job, work: RunWork, profile: Profile, grade: Grade) -> Iterator[tuple[Surface, _Cut]]:
    """Yield cut and cover of a run under each surface, ft."""
    parts = stretches(job, work)
    below_ft = grade.top_above_invert_ft + grade.bottom_below_invert_ft  # pipe and bed
    if {p.surface for p in parts} <= {"lawn"}:
        least_ft = grade.asked_cover_ft
        yield "lawn", _Cut(least_ft + below_ft, grade.greatest_cut_ft, least_ft, grade.greatest_cover_ft)
        return
    for part in parts:
        taper_ft = grade.cover_from_station_ft if grade.cover_from_station_ft < part.to_ft else part.from_ft
        inner = profile.station_ft[(profile.station_ft > part.from_ft) & (profile.station_ft < part.to_ft)]
        more = [s for s in (*(s for s, _ in grade.breaks), taper_ft) if part.from_ft < s < part.to_ft]
        at = np.concatenate([[part.from_ft, part.to_ft], inner, more])
        ground = np.interp(at, profile.station_ft, profile.ground_ft)
        cut = ground - grade.inverts_at(at) + grade.bottom_below_invert_ft
        covered = cut[at >= taper_ft]
        yield (
            part.surface,
            _Cut(*map(float, (covered.min(), cut.max(), covered.min() - below_ft, cut.max() - below_ft))),
        )
