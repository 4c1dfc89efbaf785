"""Every public function and class of the engine says what it is for; formulas name a source and a check that is there."""

import importlib
import inspect
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.test_headless import ENGINE


def public(module_name: str) -> Iterator[tuple[str, object]]:
    module = importlib.import_module(module_name)
    for name, thing in vars(module).items():
        own = getattr(thing, "__module__", None) == module_name
        if own and not name.startswith("_") and (inspect.isfunction(thing) or inspect.isclass(thing)):
            yield name, thing


@pytest.mark.parametrize("module_name", ENGINE)
def test_public_things_have_a_docstring(module_name: str) -> None:
    assert importlib.import_module(module_name).__doc__
    bare = [name for name, thing in public(module_name) if not inspect.getdoc(thing)]
    assert bare == []


def test_checks_that_docstrings_name_are_there() -> None:
    named = {
        path
        for module_name in ENGINE
        for _, thing in public(module_name)
        for path in re.findall(r"tests/\w+/\w+\.py", inspect.getdoc(thing) or "")
    }
    assert named
    assert {path for path in named if not Path(path).exists()} == set()
