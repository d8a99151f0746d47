"""For all tests: the same examples on every machine, and a skip that nobody can overlook."""

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "same everywhere", derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("same everywhere")

LOUD = "NO BROWSER"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print once, on a line of its own, that the pages were not looked at."""
    skipped = terminalreporter.stats.get("skipped", ())
    reasons = {str(report.longrepr[2]).removeprefix("Skipped: ") for report in skipped}
    for reason in sorted(reason for reason in reasons if reason.startswith(LOUD)):
        terminalreporter.write_line(reason)
