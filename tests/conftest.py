"""What every run of the tests begins with."""

import pytest
from hypothesis import settings

settings.register_profile("any machine", deadline=None)  # no test is about how long a case takes
settings.load_profile("any machine")


def pytest_sessionstart(session: pytest.Session) -> None:
    """Compile the kernels before the workers start, or each of them would at the same time."""
    if session.config.getoption("numprocesses", None):  # none within a worker, or with -n 0
        from nester.readiness import get_ready  # takes a second

        get_ready()
