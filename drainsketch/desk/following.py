"""The way of a drop, in the words of the plan: asked of the ground study, kept while the study stays the same."""

from drainsketch.desk.session import Session
from drainsketch.desk.tools.gesture import Way
from drainsketch.ground.results import DropPath, GroundStudy
from drainsketch.job.ask import length_ft, thing
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Obstacle
from drainsketch.wording import Words

MOST_KEPT = 200
AGAINST = {"building": "against the house", "fence": "against the fence or wall"}
ENDS = {"pond": "stands here", "edge": "leaves the ground that was shot", "flat": "the ground is flat here"}


class Follower:
    """Follows drops over the latest ground study of a session."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._study: GroundStudy | None = None
        self._kept: dict[Point, Way | None] = {}

    def way(self, at: Point) -> Way | None:
        """Return the way of a drop that falls on a plan point; None where the ground is not known, or not yet."""
        study = self._session.study.ground if self._session.study is not None else None
        if study is not self._study or len(self._kept) > MOST_KEPT:
            self._study, self._kept = study, {}
        if study is None:
            return None
        if at not in self._kept:
            self._kept[at] = self._followed(study, at)
        return self._kept[at]

    def _followed(self, study: GroundStudy, at: Point) -> Way | None:
        from drainsketch.ground.drops import follow_drop

        path = follow_drop(study, at)
        if path is None or not path.points:
            return None
        job = self._session.job
        gone = Words.of(job).length(length_ft(path.points)) if len(path.points) > 1 else ""
        return Way(path.points, f"{end_word(path, job)}   {gone}".rstrip())


def end_word(path: DropPath, job: Job) -> str:
    """Return what becomes of a drop, in a few words."""
    if path.ends == "inlet":
        return f"to {path.at}"
    if path.ends == "wall":
        met = thing(job, path.at)
        return AGAINST.get(met.kind, "against an obstacle") if isinstance(met, Obstacle) else "against a wall"
    return ENDS[path.ends]
