"""The one door to the files that ship with the program: icons, fonts, catalogue, words.

In an installed wheel they lie inside the package; in a checkout (and an editable install) at its top level.
"""

import tomllib
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any


def _folder(packaged: str, in_checkout: str) -> Traversable:
    shipped = files("drainsketch") / packaged
    return shipped if shipped.is_dir() else Path(__file__).parents[1] / in_checkout


def resource(name: str) -> Traversable:
    """Return a shipped file or folder by its path below ``resources``, for example ``icons/basin.svg``."""
    return _folder("_resources", "resources").joinpath(*name.split("/"))


def sample_jobs() -> Traversable:
    """Return the folder of ready yards."""
    return _folder("_sample_jobs", "sample_jobs")


@cache
def table(name: str) -> dict[str, Any]:
    """Return a shipped TOML table, read once, for example ``catalogue/pipes.toml``. Callers do not change it."""
    return tomllib.loads(resource(name).read_text(encoding="utf-8"))
