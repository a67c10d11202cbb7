"""The real command that serves, as a process of its own."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final, cast

import httpx2

COMMAND: Final = str(Path(sys.executable).with_name("borewright"))
PATIENCE_S: Final = 60.0
"""A server that takes longer to come up or to end has failed."""


@cache
def client() -> httpx2.Client:
    """One for all requests, since making one is dear; each has a connection of its own, since servers come and go."""
    return httpx2.Client(timeout=PATIENCE_S, limits=httpx2.Limits(max_keepalive_connections=0))


@dataclass
class Server:
    """A server that answers.

    Args:
        process: its process.
        address: where it is, without the last slash.
    """

    process: subprocess.Popen[str]
    address: str

    def get(self, path: str) -> httpx2.Response:
        return client().get(f"{self.address}{path}")

    def post(self, path: str, body: Mapping[str, object]) -> dict[str, Any]:
        headers = {"X-Borewright": "1", "Origin": self.address}
        answer = client().post(f"{self.address}/api/v1{path}", json=dict(body), headers=headers)
        assert answer.status_code == 200, answer.text
        return cast("dict[str, Any]", answer.json())

    def end(self, how: signal.Signals = signal.SIGINT) -> int:
        """Send a signal to everything that was started, and wait for the end.

        Args:
            how: the signal.

        Returns:
            The exit code of the command.
        """
        os.killpg(self.process.pid, how)
        return self.process.wait(PATIENCE_S)


@contextmanager
def serving(*words: str, data: Path) -> Iterator[Server]:
    """Serve a folder of records at a free port until the block ends."""
    command = [COMMAND, "serve", "--port", "0", "--data", str(data), *words]
    environment = {name: value for name, value in os.environ.items() if name != "BOREWRIGHT_DATA"}
    with started(command, environment) as server:
        yield server


@contextmanager
def started(command: Sequence[str], environment: Mapping[str, str], *, folder: Path | None = None) -> Iterator[Server]:
    """Run a command that serves, in a group of its own, until the block ends; then nothing of it is left.

    Args:
        command: the command.
        environment: its environment.
        folder: where it runs.

    Yields:
        The server, once it says where it is.

    Raises:
        AssertionError: it does not come up.
    """
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=dict(environment),
        cwd=folder,
        start_new_session=True,
    )
    try:
        assert process.stdout is not None
        said: list[str] = []
        found = None
        for line in process.stdout:
            said.append(line)
            found = re.fullmatch(r"Borewright is at (\S+)/\n", line)
            if found:
                break
        assert found, "".join(said)
        yield Server(process, found[1])
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait(PATIENCE_S)
        if process.stdout is not None:
            process.stdout.close()
