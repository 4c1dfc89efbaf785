"""Options aside as marks of a plan: pipe and symbols alone, without words, flags and levels, to lie faintly under the drawn one."""

from collections.abc import Iterator

from drainsketch.job.ask import length_ft, run_points, structures_by_id
from drainsketch.job.model import Job
from drainsketch.job.options import with_drains_of
from drainsketch.sheets.drain_marks import run_marks, structure_marks
from drainsketch.sheets.marks import Band, Mark, Stroke
from drainsketch.wording import Words


def marks_aside(job: Job) -> tuple[Mark, ...]:
    """Return the pipe and structures of all options aside that the drawn option does not have just so, pipe first."""
    drawn: set[object] = {*job.structures, *job.runs}
    words = Words.of(job)
    found = [mark for option in job.aside for mark in _marks(with_drains_of(job, option), drawn, words)]
    return tuple(sorted(dict.fromkeys(found), key=_depth_of))


def _marks(job: Job, drawn: set[object], words: Words) -> Iterator[Mark]:
    by_id = structures_by_id(job)
    for run in job.runs:
        points = run_points(run, by_id)
        made = run_marks(
            run,
            points,
            flowing=False,
            length=length_ft(points),
            grade=None,
            criteria=job.criteria,
            words=words,
        )
        if run not in drawn or by_id[run.start] not in drawn or by_id[run.end] not in drawn:
            yield from made.drains
    for structure in job.structures:
        if structure not in drawn:
            yield from structure_marks(structure, None, words).drains


def _depth_of(mark: Mark) -> int:
    return 0 if isinstance(mark, Band) else 1 if isinstance(mark, Stroke) else 2
