"""What every test can ask for, the options of the test command, and how several workers share the tests."""

from __future__ import annotations

from typing import Final

import pytest
from hypothesis import settings
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

# An example may take as long as it takes: how fast the machine is today is nothing that a test should tell.
settings.register_profile("house", deadline=None)
settings.load_profile("house")

TOGETHER: Final = ("tests/browser/test_access.py",)
"""Files whose tests share what is dear to make; one worker runs all of them, so that it is made once."""


class Sharing(LoadScopeScheduling):  # type: ignore[misc]  # xdist has no types
    """Each test goes to the next worker that is free, those of a file above all to the same one and first."""

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        return file if file in TOGETHER else nodeid


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> Sharing | None:
    """Share the tests between workers, unless another way is asked for.

    Args:
        config: pytest's own.
        log: the workers' own.

    Returns:
        What shares them, or None for what xdist would do.
    """
    assert all((config.rootpath / file).is_file() for file in TOGETHER)
    return Sharing(config, log) if config.getvalue("dist") == "load" else None


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
