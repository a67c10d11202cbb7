"""What every test can ask for, and the options of the test command."""

from __future__ import annotations

import pytest
from hypothesis import settings

# An example may take as long as it takes: how fast the machine is today is nothing that a test should tell.
settings.register_profile("house", deadline=None)
settings.load_profile("house")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let the crash test be told how often to kill.

    Args:
        parser: pytest's own.
    """
    parser.addoption("--kills", type=int, default=10, help="how many times the crash test kills the writer")


@pytest.fixture(scope="session")
def kills(request: pytest.FixtureRequest) -> int:
    """How many times the crash test kills the writer."""
    return int(request.config.getoption("--kills"))
