"""The JSON Schema agrees with the reader; held by an independent validator (the jsonschema library)."""

import json

import jsonschema
import pytest
from hypothesis import given

from drainsketch.files.jobfile import job_text
from drainsketch.files.schema import job_schema
from drainsketch.job.model import Job
from tests.files.test_jobfile import YARD, altered, with_thing
from tests.strategies import jobs

VALIDATOR = jsonschema.Draft202012Validator(job_schema())


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(job_schema())
    assert json.loads(json.dumps(job_schema())) == job_schema()


@given(jobs())
def test_every_saved_job_keeps_the_schema(job: Job) -> None:
    VALIDATOR.validate(json.loads(job_text(job)))


@pytest.mark.parametrize(
    "text",
    [
        altered(format="other"),
        altered(version=1),
        altered(extra=1),
        altered(shots=[{}]),
        with_thing("runs", 0, diameter_in=40),
        with_thing("runs", 0, extra=1),
        with_thing("shots", 0, elevation_ft=1e9),
        with_thing("shots", 0, point=[1]),
        with_thing("services", 0, points=[[0, 0]]),
        with_thing("structures", 0, id="no spaces"),
    ],
)
def test_what_the_reader_refuses_the_schema_refuses(text: str) -> None:
    assert list(VALIDATOR.iter_errors(json.loads(text)))
    VALIDATOR.validate(json.loads(job_text(YARD)))
