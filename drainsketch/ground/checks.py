"""What has to be settled about the shots before levels can be trusted."""

from drainsketch.findings import Finding, Place, finding
from drainsketch.ground.surface import SAME_PLACE_FT, Surface
from drainsketch.job.model import Job, Shot

AGREE_FT = 0.02  # a careful second shot comes this near


def shot_findings(job: Job, surface: Surface | None) -> list[Finding]:
    """Return findings about missing, too few and contradicting shots."""
    if surface is None:
        return [finding("no_shots", Place())] if job.structures else []
    found = []
    if surface.is_guess_only:
        found.append(finding("few_shots", Place(ids=tuple(s.id for s in job.shots), point=job.shots[0].point)))
    places: dict[tuple[int, int], list[Shot]] = {}
    for shot in job.shots:
        places.setdefault((round(shot.point[0] / SAME_PLACE_FT), round(shot.point[1] / SAME_PLACE_FT)), []).append(shot)
    for same in places.values():
        levels = [s.elevation_ft for s in same]
        if max(levels) - min(levels) > AGREE_FT:
            ids = tuple(s.id for s in same)
            found.append(
                finding(
                    "shots_disagree",
                    Place(ids=ids, point=same[0].point),
                    value=max(levels) - min(levels),
                    limit=AGREE_FT,
                    shots=ids,
                )
            )
    return found
