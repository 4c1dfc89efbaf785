"""The way of the water that the profile strip shows: runs strung together, outfall first. Picked from the review, not computed."""

from collections import defaultdict

from msgspec import Struct

from drainsketch.desk.panes.signs import crossing_symbol
from drainsketch.job.ask import structures_by_id, thing
from drainsketch.job.model import Run, Structure
from drainsketch.network.results import Crossing, Grade, InletPath, Profile, StructureLevels
from drainsketch.review import Review
from drainsketch.sheets.flags import crossing_levels


class Leg(Struct, frozen=True):
    """One run of the path; its station 0 lies at ``from_ft`` of the path."""

    from_ft: float
    profile: Profile
    grade: Grade | None


class Post(Struct, frozen=True):
    """A structure of the path at its station."""

    at_ft: float
    id: str
    kind: str
    levels: StructureLevels | None
    pinned: bool = False  # an invert there was typed, not placed by the program


class Pathway(Struct, frozen=True):
    """What is drawn: stations count from the outfall (or the downstream end) up."""

    title: str
    length_ft: float
    legs: tuple[Leg, ...]
    posts: tuple[Post, ...]
    crossings: tuple[tuple[float, Crossing, str], ...]  # station, crossing, symbol of its flag


def pathway(review: Review, selection: tuple[str, ...]) -> Pathway | None:
    """Return the path of what is selected: of the inlet, or the longest one through the run or structure.

    With nothing on a path selected it is the longest path of the job; None when there is none with a ground line.
    """
    for chosen in selection:
        through = [p for p in review.paths if p.inlet == chosen] or [
            p for p in review.paths if chosen in _on(review, p)
        ]
        if through:
            return _strung(review, max(through, key=lambda p: p.length_ft))
        if isinstance(thing(review.job, chosen), Run) and chosen in review.profiles:
            return _of_runs(review, (chosen,), f"Run {chosen}, which reaches no outfall")
    longest = max(review.paths, key=lambda p: p.length_ft, default=None)
    return None if longest is None else _strung(review, longest)


def _on(review: Review, path: InletPath) -> set[str]:
    ends = {end for r in review.network.runs if r.id in path.run_ids for end in (r.upstream, r.downstream)}
    crossed = {c.other for c in review.crossings if c.run_id in path.run_ids}
    return {path.inlet, path.outfall, *path.run_ids, *ends, *crossed}


def _strung(review: Review, path: InletPath) -> Pathway | None:
    return _of_runs(review, path.run_ids, f"{path.inlet} to {path.outfall}")


def _of_runs(review: Review, run_ids: tuple[str, ...], title: str) -> Pathway | None:
    """String the runs together from the last (at the outfall) up; None when one has no ground line."""
    if any(i not in review.profiles for i in run_ids):
        return None
    flows = {r.id: r for r in review.network.runs}
    structures = structures_by_id(review.job)
    met: dict[str, list[Crossing]] = defaultdict(list)
    for crossing in review.crossings:
        met[crossing.run_id].append(crossing)
    at_ft = 0.0
    legs: list[Leg] = []
    posts: list[Post] = []
    crossings: list[tuple[float, Crossing, str]] = []
    levels = crossing_levels(review)
    for run_id in reversed(run_ids):
        flow = flows.get(run_id)
        profile = review.profiles[run_id]
        if flow is not None and not posts:
            posts.append(_post(review, structures[flow.downstream], at_ft))
        legs.append(Leg(at_ft, profile, review.grades.get(run_id)))
        crossings += [(at_ft + c.station_ft, c, crossing_symbol(levels.get(c.number, "note"))) for c in met[run_id]]
        at_ft += float(profile.station_ft[-1]) if len(profile.station_ft) else 0.0
        if flow is not None:
            posts.append(_post(review, structures[flow.upstream], at_ft))
    return Pathway(title=title, length_ft=at_ft, legs=tuple(legs), posts=tuple(posts), crossings=tuple(crossings))


def _post(review: Review, structure: Structure, at_ft: float) -> Post:
    pinned = structure.invert_ft is not None or any(
        (r.start == structure.id and r.start_invert_ft is not None)
        or (r.end == structure.id and r.end_invert_ft is not None)
        for r in review.job.runs
    )
    return Post(at_ft, structure.id, structure.kind, review.levels.get(structure.id), pinned)
