"""The JSON Schema of the job file, from the types of the model."""

import json
from typing import Any

import msgspec

from drainsketch.files.layout import FORMAT
from drainsketch.files.migrations.steps import VERSION
from drainsketch.job.model import Job


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a job file of the version this program writes.

    It states keys, types, bounds and choices. That ids are unique and runs end at structures that are there is checked on
    reading; a schema cannot say it.
    """
    drawn = msgspec.json.schema(Job)
    parts: dict[str, Any] = drawn["$defs"]
    job = parts.pop("Job")
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "drainsketch job file",
        "description": "One yard: what is there, what is buried, the levels shot and the drain to be built. Feet, inches.",
        "type": "object",
        "properties": {"format": {"const": FORMAT}, "version": {"const": VERSION}, **job["properties"]},
        "required": ["format", "version"],
        "additionalProperties": False,
        "$defs": parts,
    }
    pure: dict[str, Any] = json.loads(json.dumps(schema))  # lists for msgspec's tuples, as a validator expects
    return pure
