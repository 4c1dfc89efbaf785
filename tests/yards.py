"""Small invented yards for the tests, drawn with the program's own edits."""

from drainsketch.job.edits.add import add
from drainsketch.job.model import Job, Run, Service, Shot, Structure, Thing


def drawn(*things: Thing, job: Job | None = None) -> Job:
    """Return a job with the things added in order."""
    job = job or Job()
    for new in things:
        job = add(job, new)
    return job


def shot(x: float, y: float, z: float) -> Shot:
    return Shot(id="", point=(x, y), elevation_ft=z)


def plane(z: object, reach: float = 200.0) -> tuple[Shot, ...]:
    """Return shots at the corners of a square (and its middle) on a ground given by a function of x and y."""
    corners = ((-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach), (0.0, 0.0))
    return tuple(shot(x, y, z(x, y)) for x, y in corners)  # type: ignore[operator]


def basin(x: float, y: float, **fields: object) -> Structure:
    return Structure(id="", kind="basin", point=(x, y), **fields)  # type: ignore[arg-type]


def fitting(x: float, y: float, **fields: object) -> Structure:
    return Structure(id="", kind="fitting", point=(x, y), **fields)  # type: ignore[arg-type]


def outfall(x: float, y: float, kind: str = "daylight", **fields: object) -> Structure:
    return Structure(id="", kind="outfall", outfall=kind, point=(x, y), **fields)  # type: ignore[arg-type]


def run(start: str, end: str, *via: tuple[float, float], **fields: object) -> Run:
    return Run(id="", start=start, end=end, via=via, **fields)  # type: ignore[arg-type]


def service(kind: str, *points: tuple[float, float], **fields: object) -> Service:
    return Service(id="", kind=kind, points=points, **fields)  # type: ignore[arg-type]


def kinds(review: object) -> list[str]:
    """Return the kinds of a review's findings."""
    return [f.kind for f in review.findings]  # type: ignore[attr-defined]
