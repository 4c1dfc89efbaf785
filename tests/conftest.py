"""Settings that hold for every test."""

import pytest
from hypothesis import HealthCheck, settings

# a slow moment of a shared machine is no fault of the code; what must be quick has its own timed test
settings.register_profile("drainsketch", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("drainsketch")


@pytest.fixture(autouse=True)
def own_home(tmp_path_factory, monkeypatch):
    """The user's folder for all jobs: an empty one of the test, never that of whoever runs it."""
    at = tmp_path_factory.mktemp("data") / "drainsketch"
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_, **__: at)
    return at
