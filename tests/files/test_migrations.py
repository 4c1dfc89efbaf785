"""Older job files: one step a version, a sample of each version kept."""

from pathlib import Path

import pytest

from drainsketch.errors import JobFileError
from drainsketch.files.jobfile import job_text, parse_job, read_job
from drainsketch.files.migrations.steps import STEPS, VERSION, Raw, Step, migrate
from drainsketch.job.model import Job

OLD_JOBS = Path(__file__).parents[1] / "old_jobs"


def test_there_is_one_step_for_every_older_version_and_it_tells_what_changed() -> None:
    assert [step.from_version for step in STEPS] == list(range(1, VERSION))
    for step in STEPS:
        assert step.what_changed, f"the step from version {step.from_version} has no docstring"


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_every_version_has_a_sample_that_still_reads(version: int) -> None:
    samples = sorted(OLD_JOBS.glob(f"v{version}*.drainjob"))
    assert samples, f"put a job file of version {version} into tests/old_jobs"
    for sample in samples:
        assert f'"version": {version},' in sample.read_text(encoding="utf-8")
        job = read_job(sample)
        assert job != Job()
        assert parse_job(job_text(job).encode()) == job


def rename_yard(raw: Raw) -> Raw:
    """The yard
    is called a lot."""
    return {"version": 2, "lot": raw["yard"]}


def count_lots(raw: Raw) -> Raw:
    """Lots are counted."""
    raw["version"] = 3
    raw["lots"] = len(raw["lot"])
    return raw


PLANNED = (Step(from_version=1, apply=rename_yard), Step(from_version=2, apply=count_lots))


def test_steps_are_walked_one_version_at_a_time() -> None:
    assert migrate({"version": 1, "yard": "abc"}, to=3, steps=PLANNED) == {"version": 3, "lot": "abc", "lots": 3}
    assert migrate({"version": 2, "lot": "abc"}, to=3, steps=PLANNED) == {"version": 3, "lot": "abc", "lots": 3}
    assert migrate({"version": 1, "yard": "abc"}, to=2, steps=PLANNED) == {"version": 2, "lot": "abc"}
    current = {"version": 3}
    assert migrate(current, to=3, steps=PLANNED) is current
    assert PLANNED[0].what_changed == "The yard is called a lot."


def test_a_missing_step_and_one_that_stands_still_are_faults_of_ours() -> None:
    with pytest.raises(LookupError, match="no step leads on from job file version 2"):
        migrate({"version": 1, "yard": ""}, to=3, steps=PLANNED[:1])
    with pytest.raises(LookupError, match="left the file at version 1"):
        migrate({"version": 1}, to=2, steps=(Step(from_version=1, apply=lambda raw: raw),))


def test_a_file_that_is_not_what_its_version_says_is_refused_in_words() -> None:
    with pytest.raises(JobFileError, match="version 1 but is not built like one"):
        migrate({"version": 1}, to=3, steps=PLANNED)
