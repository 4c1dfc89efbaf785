"""Troubles: what keeps no grade, by the structure or run that it is about; each is explained and cured."""

from msgspec import Struct

from drainsketch.findings import Finding
from drainsketch.network.results import Network, Shortfall

LOST = ("cannot_drain", "pin_too_high")  # structures that cannot drain
RUNS = {"out_of_ground": "above", "run_rises": "rise", "run_level": "", "steps_up": "", "shallow_cover": ""}


class Trouble(Struct, frozen=True):
    """A structure whose water cannot leave, or a run that breaks a limit that no grade holds.

    ``at`` is where the way down starts on which limits are in conflict; ``short_ft`` how much is missing, ft.
    ``station_ft`` is the place on a run. ``stop``: water does not leave by gravity; else a depth of cover is missing alone.
    """

    thing: str
    at: str
    short_ft: float
    station_ft: float | None = None
    stop: bool = True


def thing_of(finding: Finding) -> str | None:
    """Return the id of the structure or run whose reason and cures belong to a finding; None for other findings."""
    params = dict(finding.params)
    if finding.kind in RUNS:
        return str(params["run"])
    if finding.kind not in LOST:
        return None
    named = params.get("structure") or params.get("structures")
    first = named[0] if isinstance(named, tuple) and named else named
    return first if isinstance(first, str) else None


def troubles_of(network: Network, short: tuple[Shortfall, ...], findings: tuple[Finding, ...]) -> tuple[Trouble, ...]:
    """Return the troubles of a review, one for each thing: structures that cannot drain, then runs.

    Missing cover is left out as long as something does not drain: the pipe lies where it is needed for that, not where it can be.
    """
    found = {s.structure: Trouble(s.structure, s.structure, s.short_ft) for s in short}
    upstream = {f.id: f.upstream for f in network.runs}
    for f in findings:
        run = thing_of(f)
        if f.kind in RUNS and run is not None and run not in found and run in upstream:
            params = dict(f.params)
            amount = params.get(RUNS[f.kind]) if RUNS[f.kind] else None
            if f.kind == "shallow_cover" and f.value is not None and f.limit is not None:
                amount = f.limit - f.value
            short_ft = amount if isinstance(amount, float) else f.value if f.kind == "steps_up" and f.value else 0.0
            found[run] = Trouble(run, upstream[run], short_ft, f.place.station_ft, f.level == "stop")
    stops = any(t.stop for t in found.values())
    return tuple(t for t in found.values() if t.stop or not stops)
