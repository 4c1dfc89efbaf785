"""Settings that hold for every test."""

from hypothesis import HealthCheck, settings

# a slow moment of a shared machine is no fault of the code; what must be quick has its own timed test
settings.register_profile("drainsketch", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("drainsketch")
