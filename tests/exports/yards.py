"""Jobs for the export tests: the sample yards, and one whose every text tries to be something else."""

from functools import cache

from msgspec.structs import replace

from drainsketch.files.jobfile import parse_job
from drainsketch.job.model import Job, Shot
from drainsketch.resources import sample_jobs
from drainsketch.review import Review, analyse

SAMPLES = tuple(sorted(f.name for f in sample_jobs().iterdir() if f.name.endswith(".drainjob")))
BAD_TEXTS = (
    '=HYPERLINK("http://example.invalid","x")',
    "+1+1",
    "-2",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    " =1",
    "＝1",
    "a\nb\0c\x1b",
    "%%c ^J %%%d",
    "</svg>&amp;",
    "x" * 200,
)


@cache
def sample(name: str) -> tuple[Job, Review]:
    """Return a sample yard and its review."""
    job = parse_job(sample_jobs().joinpath(name).read_bytes())
    return job, analyse(job)


@cache
def hostile() -> tuple[Job, Review]:
    """Return the first sample yard with every text it has replaced by something that tries to be a formula or a code."""
    job = sample("corner-lot.drainjob")[0]
    texts = iter(BAD_TEXTS * 50)

    def renamed(things: tuple) -> tuple:  # type: ignore[type-arg]
        return tuple(replace(t, name=next(texts)) for t in things)

    header = replace(
        job.header, **{k: next(texts) for k in ("title", "client", "site", "contractor", "benchmark", "notes")}
    )
    lists = {n: renamed(getattr(job, n)) for n in ("obstacles", "downspouts", "services", "structures", "runs")}
    shots = tuple(replace(s, name=BAD_TEXTS[i % len(BAD_TEXTS)]) for i, s in enumerate(job.shots))
    assert all(isinstance(s, Shot) for s in shots)
    changed = replace(job, header=header, shots=shots, **lists)
    return changed, analyse(changed)
