"""What makes the options of a job whole, beyond the rules that the drains of each are held to (``rules.job_faults``)."""

from collections.abc import Iterator

from drainsketch.job.model import Job
from drainsketch.job.options import name_key


def option_faults(job: Job) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong): a place among the options that is none, and names that are missing or stand twice.

    A single option needs no name.
    """
    if job.option_at > len(job.aside):
        yield (
            "option_at",
            f"{job.option_at} is no place among {len(job.aside) + 1} options; write at most {len(job.aside)}",
        )
    if not job.aside:
        return
    named = [("option", job.option), *((f"aside[{i}].name", option.name) for i, option in enumerate(job.aside))]
    seen: dict[str, str] = {}
    for path, name in named:
        key = name_key(name)
        if not key:
            yield path, "an option beside others needs a name"
        elif key in seen:
            yield path, f"{name.strip()} is the name of {seen[key]} too; give one of the two another name"
        seen.setdefault(key, path)
