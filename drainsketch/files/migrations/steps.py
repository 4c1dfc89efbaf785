"""Older job files, brought up one version at a time.

A step is a function from the raw file (a dict as JSON gives it) of one version to the raw file of the next. Its docstring
tells the user what changed. To add one: raise VERSION, append a Step, and put a file of the old version, never edited
again, into ``tests/old_jobs/v<old version>*.drainjob``.
"""

from collections.abc import Callable, Sequence
from typing import Any

from msgspec import Struct

from drainsketch.errors import JobFileError

VERSION = 4

Raw = dict[str, Any]


class Step(Struct, frozen=True):
    """One step: from which version, and how. ``apply`` may change the dict it is given; it sets the new version itself."""

    from_version: int
    apply: Callable[[Raw], Raw]

    @property
    def what_changed(self) -> str:
        """The sentence for the user."""
        return " ".join((self.apply.__doc__ or "").split())


def _readings(raw: Raw) -> Raw:
    """Level book, breaklines, laying and new limits came in; an older job has none of them and keeps its levels."""
    raw["version"] = 2
    return raw


def _water(raw: Raw) -> Raw:
    """Rain, runoff and what water is reckoned with came in; an older job has no rain yet."""
    raw["version"] = 3
    return raw


def _price_and_paper(raw: Raw) -> Raw:
    """Trench sections, what is put back, waste, price, work plan, options and heaps came in; an older job has the usual ones."""
    raw["version"] = 4
    return raw


STEPS: tuple[Step, ...] = (
    Step(from_version=1, apply=_readings),
    Step(from_version=2, apply=_water),
    Step(from_version=3, apply=_price_and_paper),
)


def migrate(raw: Raw, to: int = VERSION, steps: Sequence[Step] = STEPS) -> Raw:
    """Return the raw file brought from its own ``version`` to the version asked for, one step at a time.

    Raises
    ------
    JobFileError : a step cannot make sense of the file
    LookupError : there is no step from a version on the way, or a step did not move the version by one; a fault of ours
    """
    by_version = {step.from_version: step for step in steps}
    while (version := raw["version"]) < to:
        if version not in by_version:
            raise LookupError(f"no step leads on from job file version {version}")
        try:
            raw = by_version[version].apply(raw)
        except (KeyError, TypeError, AttributeError, ValueError, IndexError) as fault:
            raise JobFileError(
                f"version: the file says version {version} but is not built like one; restore it from a backup"
            ) from fault
        if raw.get("version") != version + 1:
            raise LookupError(f"the step from version {version} left the file at version {raw.get('version')}")
    return raw
