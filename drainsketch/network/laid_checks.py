"""What has to be settled about pipe as laid, before it is covered."""

from collections import Counter
from collections.abc import Iterator, Mapping

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.model import Job
from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.network.laid import LaidRun, tolerance_ft, worst_off


def laid_findings(job: Job, laid: Mapping[str, LaidRun]) -> list[Finding]:
    """Return what the readings on laid pipe say: water that stands, pipe off its grade, readings that cannot be judged."""
    found: list[Finding] = []
    for run in laid.values():
        found += [*_standing(job, run), *_off_plan(job, run), *_not_shot(run), *_adrift(job, run)]
        found += [
            finding("laid_past_end", Place(ids=(run.run_id,)), value=r.station_ft, run=run.run_id) for r in run.beyond
        ]
    unjudged = dict.fromkeys(r.run for r in job.laying.readings if r.run not in laid)
    return found + [finding("laid_not_judged", Place(ids=(run,)), run=run) for run in unjudged]


def _standing(job: Job, run: LaidRun) -> Iterator[Finding]:
    """Yield a finding for each belly; one within the tolerance is only a note."""
    for belly in run.bellies:
        deep = belly.depth_ft > tolerance_ft(job.laying)
        yield finding(
            "laid_holds_water" if deep else "laid_shallow_belly",
            Place(ids=(run.run_id,), point=belly.point, station_ft=belly.low_ft),
            value=belly.depth_ft * 12,
            limit=job.laying.tolerance_in,
            run=run.run_id,
            from_station=belly.from_ft,
            to_station=belly.to_ft,
            lip=belly.lip,
            lip_station=belly.lip_station_ft,
        )


def _off_plan(job: Job, run: LaidRun) -> Iterator[Finding]:
    for worst in worst_off(run)[:1]:
        yield finding(
            "laid_off_plan",
            Place(ids=(run.run_id,), point=worst.point, station_ft=worst.station_ft),
            value=abs(worst.off_ft) * 12,
            limit=job.laying.tolerance_in,
            run=run.run_id,
            side="above" if worst.off_ft > 0 else "below",
            count=sum(not p.ok for p in run.points),
            readings=len(run.points),
        )


def _adrift(job: Job, run: LaidRun) -> Iterator[Finding]:
    """Yield a finding for each setup without a height that readings hang on."""
    names = {s.id: plain(s.name, LABEL_LENGTH) or str(number) for number, s in enumerate(job.book.setups, 1)}
    for setup, count in Counter(r.setup for r in run.adrift).items():
        yield finding(
            "laid_without_height",
            Place(ids=(run.run_id,)),
            run=run.run_id,
            count=count,
            setup=names.get(setup or "", ""),
        )


def _not_shot(run: LaidRun) -> Iterator[Finding]:
    if run.points and run.lacking:
        yield finding(
            "laid_not_shot",
            Place(ids=(run.run_id,)),
            run=run.run_id,
            count=len(run.lacking),
            first=run.lacking[0][0],
        )
