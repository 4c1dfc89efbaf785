"""From which height pipe is read: a typed one, or that of a setup of the level book as it stands now."""

from collections.abc import Mapping

from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.job.sights import setup_of


def with_heights(job: Job, heights_ft: Mapping[str, float]) -> Job:
    """Return the job with the heights of setups filled into its laying and its as-laid readings, ft.

    What hangs on a setup moves with it, and is read by its instrument. A setup without a height gives none.

    Parameters
    ----------
    heights_ft : height of instrument, or of the string, by setup (``review.book.heights_ft``)

    Check: tests/network/test_laid_heights.py.
    """
    laying = job.laying
    setup = setup_of(job.book, laying.setup) if laying.setup is not None else None
    if setup is None and all(r.setup is None for r in laying.readings):
        return job
    readings = [replace(r, height_ft=heights_ft.get(r.setup)) if r.setup is not None else r for r in laying.readings]
    now = replace(laying, readings=tuple(readings))
    if setup is not None:
        now = replace(now, height_ft=heights_ft.get(setup.id), instrument=setup.instrument)
    return replace(job, laying=now)
