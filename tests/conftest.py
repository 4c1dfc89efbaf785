"""Settings that hold for every test."""

import gc
from itertools import count

import platformdirs
import pytest
from hypothesis import HealthCheck, settings

# a slow moment of a shared machine is no fault of the code; what must be quick has its own timed test
settings.register_profile("drainsketch", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("drainsketch")

# parsing a PDF makes objects by the hundred thousand and hardly a circle among them
gc.set_threshold(100_000, 20, 20)

NUMBERS = count()


@pytest.fixture(autouse=True)
def own_home(monkeypatch, tmp_path_factory):
    """The user's folder for all jobs: an empty one, and never in the home of whoever runs the tests."""
    at = tmp_path_factory.getbasetemp() / f"own{next(NUMBERS)}" / "drainsketch"
    monkeypatch.setattr(platformdirs, "user_data_path", lambda *_, **__: at)
    return at
