"""For all tests: the examples of a property are the same ones on every machine."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "same everywhere", derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("same everywhere")
