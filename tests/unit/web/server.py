"""The real command that serves, as a process of its own."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, cast

import httpx2

COMMAND: Final = str(Path(sys.executable).with_name("borewright"))
PATIENCE_S: Final = 60.0
"""A server that takes longer to come up or to end has failed."""


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
        return httpx2.get(f"{self.address}{path}", timeout=PATIENCE_S)

    def post(self, path: str, body: Mapping[str, object]) -> dict[str, Any]:
        headers = {"X-Borewright": "1", "Origin": self.address}
        answer = httpx2.post(f"{self.address}/api/v1{path}", json=dict(body), headers=headers, timeout=PATIENCE_S)
        assert answer.status_code == 200, answer.text
        return cast("dict[str, Any]", answer.json())

    def end(self, how: signal.Signals = signal.SIGINT) -> int:
        self.process.send_signal(how)
        return self.process.wait(PATIENCE_S)


@contextmanager
def serving(*words: str, data: Path) -> Iterator[Server]:
    """Serve a folder of records at a free port until the block ends."""
    command = [COMMAND, "serve", "--port", "0", "--data", str(data), *words]
    environment = {name: value for name, value in os.environ.items() if name != "BOREWRIGHT_DATA"}
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment)
    try:
        assert process.stdout is not None
        said = process.stdout.readline()
        found = re.fullmatch(r"Borewright is at (http://\S+)/\n", said)
        assert found, said + process.stdout.read()
        yield Server(process, found[1])
    finally:
        if process.poll() is None:
            process.kill()
        process.wait(PATIENCE_S)
        if process.stdout is not None:
            process.stdout.close()
