"""The closer look: what takes longer than a drag may, as one pure function of a review.

The window runs it off its own thread and drops what is no longer wanted; the command line runs it in line.
"""

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.findings import Finding, worst_first
from drainsketch.ground.damming import damming_findings
from drainsketch.ground.results import GroundStudy, Inlet
from drainsketch.ground.study import ground_study
from drainsketch.ground.water_checks import water_findings
from drainsketch.network.cures import Trial, find_cures
from drainsketch.network.odds import odds_findings, odds_of
from drainsketch.network.reasons import reasons_of
from drainsketch.network.remedies import Cure, Reason, Spare
from drainsketch.network.spare import spare_of
from drainsketch.network.troubles import Trouble, thing_of, troubles_of
from drainsketch.review import Review, analyse
from drainsketch.takeoff.doubled import overlap_findings
from drainsketch.takeoff.earth import Earth, earth
from drainsketch.takeoff.heaps import room_findings
from drainsketch.takeoff.spoil import spoil_yd3
from drainsketch.takeoff.stone_room import stone_trenches
from drainsketch.water.checks import storm_findings
from drainsketch.water.results import Water
from drainsketch.water.review import water_of
from drainsketch.water.stores import StoneTrench
from drainsketch.water.storm.play import storm_of
from drainsketch.water.storm.results import Storm

USUAL_IN = 12.0  # a basin of no size yet


class Study(Struct, frozen=True):
    """What the closer look adds to a review.

    ``spare`` (by structure id) is how far levels may move before something breaks, ``odds`` (by run id) the chance that the
    run still falls given the reading error of the job; ``reasons`` and ``cures`` go by the structure that cannot
    drain, or by the run that breaks a limit. ``water`` is what the storm of the job does.
    """

    review: Review
    ground: GroundStudy | None
    spare: dict[str, Spare]
    odds: dict[str, float]
    reasons: dict[str, Reason]
    cures: dict[str, tuple[Cure, ...]]
    water: Water
    findings: tuple[Finding, ...]

    @property
    def whole(self) -> Review:
        """The review with the findings of the closer look among its own."""
        return with_findings(self.review, self.findings)


def with_findings(review: Review, more: Iterable[Finding]) -> Review:
    """Return the review with more findings in their order among its own."""
    added = [f for f in more if f not in review.findings]
    return replace(review, findings=worst_first([*review.findings, *added])) if added else review


def remedies_of(closer: Study, finding: Finding) -> tuple[Reason | None, tuple[Cure, ...]]:
    """Return why what a finding tells is so, and the cures for it."""
    thing = thing_of(finding)
    return (closer.reasons.get(thing), closer.cures.get(thing, ())) if thing is not None else (None, ())


def study(review: Review, before: Study | None = None) -> Study:
    """Return the closer look at a review.

    Parameters
    ----------
    before : an earlier study; its stages are kept where their inputs are the same objects
    """
    ground = _ground(review, before)
    odds = odds_of(review.grades, review.job.criteria)
    found = water_findings(review.job, review.surface, ground) + damming_findings(review.job, ground)
    dug = earth(review.works, review.stacks)
    found += overlap_findings(review.works, dug)
    if review.job.heaps:
        found += room_findings(review.job, dug, spoil_yd3(dug))
    water = _water(review, ground, before, dug)
    found += storm_findings(review.job, water, ground)
    found += odds_findings(review.network.runs, review.grades, odds, review.job.criteria)
    bounds, troubles = review.bounds, troubles_in(review)
    spare = spare_of(bounds) if bounds is not None else {}
    reasons = reasons_of(bounds, troubles) if bounds is not None else {}
    cures = (
        find_cures(bounds, troubles, trial_of(review), lambda j: trial_of(analyse(j, review)))
        if bounds is not None and troubles
        else {}
    )
    return Study(
        review=review,
        ground=ground,
        spare=spare,
        odds=odds,
        reasons=reasons,
        cures=cures,
        water=water,
        findings=worst_first(found),
    )


def play(closer: Study) -> Storm | None:
    """Return the storm of the job, played over today's ground and with the drains; None where there is no rain or nothing to play it on.

    It takes a good part of a second, so it is made when someone asks to see it.
    """
    r = closer.review
    return storm_of(r.job, r.network, r.workable, r.levels, closer.ground, closer.water)


def troubles_in(review: Review) -> tuple[Trouble, ...]:
    """Return what does not drain, or else what is short of cover."""
    return troubles_of(review.network, review.shortfalls, review.findings)


def trial_of(review: Review) -> Trial:
    """Return what a review says that a cure must not make worse."""
    stops = frozenset((f.kind, f.place.ids) for f in review.findings if f.level == "stop")
    troubles = troubles_in(review)
    return Trial(
        frozenset(t.thing for t in troubles if t.stop), frozenset(t.thing for t in troubles if not t.stop), stops
    )


SHED = ("rain", "water", "structures", "downspouts", "obstacles")  # what arrives hangs on these, and on the ground


def _water(review: Review, ground: GroundStudy | None, before: Study | None, dug: Earth) -> Water:
    """Return the water review; what arrives at the inlets is that of before where nothing it hangs on changed."""
    job = review.job
    kept = None
    if before is not None and not before.water.lacking and before.ground is ground:
        earlier = before.review
        same = all(getattr(job, name) is getattr(earlier.job, name) for name in SHED)
        if same and review.network.inlets == earlier.network.inlets:
            kept = before.water.arrivals
    return water_of(job, review.network, review.workable, review.levels, ground, kept, _stone(review, dug))


def _stone(review: Review, dug: Earth) -> tuple[StoneTrench, ...]:
    """Return the stone round the perforated pipe that can be laid."""
    workable = review.workable
    stone = stone_trenches(dug, review.job.criteria.topsoil_cap_in / 12)
    return tuple(t for t in stone if t.run_id in workable)


def drained_inlets(review: Review) -> set[str]:
    """Return the inlets whose water gets to an outfall: a basin that cannot drain takes nothing off the ground."""
    held = {s.structure for s in review.shortfalls}
    upstream = {f.id: f.upstream for f in review.network.runs}
    return {p.inlet for p in review.paths if p.inlet not in held and not held & {upstream[r] for r in p.run_ids}}


def _ground(review: Review, before: Study | None) -> GroundStudy | None:
    """Return what water does on the surface; that of before where it comes from the same shots, yard and inlets."""
    drained = drained_inlets(review)
    inlets = tuple(
        Inlet(s.id, s.point, (s.size_in or USUAL_IN) / 24, review.levels[s.id].rim_ft)
        for s in review.job.structures
        if s.kind == "basin" and s.id in drained and s.id in review.levels
    )
    if before is not None and before.review.surface is review.surface:
        job, earlier = review.job, before.review.job
        same = job.obstacles is earlier.obstacles and job.boundary is earlier.boundary
        same = same and job.criteria.contour_interval_ft == earlier.criteria.contour_interval_ft
        stand, stood = ({s.id: s.point for s in j.structures if s.kind == "basin"} for j in (job, earlier))
        if same and stand == stood and inlets == (before.ground.inlets if before.ground is not None else inlets):
            return before.ground
    return ground_study(review.job, review.surface, inlets)
