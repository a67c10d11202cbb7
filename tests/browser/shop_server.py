"""The program's own server with its record on the disk: stopped in mid-pass, started again at its address."""

from __future__ import annotations

import html
import json
import os
import re
import signal
import subprocess
import sys
import time
import uuid
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final, cast

import httpx2

from tests.served.server import client

COMMAND: Final = str(Path(sys.executable).with_name("borewright"))
PATIENCE_S: Final = 60.0
"""A server that takes longer to come up or to end has failed."""

GIVEN: Final[Mapping[str, object]] = {
    "name": "idler eye",
    "callout": "33.4 H7",
    "unit": "mm",
    "hole": "33.28",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "lines_per_turn": 50},
    "gauge": {"step": "0.001"},
    "push_off": "0.02",
}
"""A bore of an invented job."""

_ROW = re.compile(r'<li( class="withdrawn")?><span class="where">[^<]*</span> <span class="said">(.*?)</span>')
_WANTED = re.compile(r'data-machine="([^"]*)"')


class ShopServer:
    """A server that can be stopped and started.

    Args:
        data: the folder of its record.
    """

    def __init__(self, data: Path) -> None:
        self.data = data
        self.port = 0
        self.process: subprocess.Popen[str] | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        command = [COMMAND, "serve", "--demo", "--port", str(self.port), "--data", str(self.data)]
        environment = {name: value for name, value in os.environ.items() if name != "BOREWRIGHT_DATA"}
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment
        )
        assert self.process.stdout is not None
        said = self.process.stdout.readline()
        found = re.fullmatch(re.escape("Borewright is at http://127.0.0.1:") + r"(\d+)/\n", said)
        assert found, said + self.process.stdout.read()
        self.port = int(found[1])

    def stop(self, how: signal.Signals = signal.SIGKILL) -> None:
        if self.process is not None:
            self.process.send_signal(how)
            self.process.wait(PATIENCE_S)
            assert self.process.stdout is not None
            self.process.stdout.close()
            self.process = None

    def ensure(self) -> None:
        """Start again what a failed test left stopped."""
        if self.process is None:
            self.start()

    def get(self, path: str) -> dict[str, Any]:
        return _whole(client().get(f"{self.address}/api/v1{path}"))

    def post(self, path: str, body: Mapping[str, object]) -> dict[str, Any]:
        headers = {"X-Borewright": "1", "Origin": self.address}
        sent = {"key": uuid.uuid4().hex, **body}
        return _whole(client().post(f"{self.address}/api/v1{path}", json=sent, headers=headers))

    def open(self, **more: object) -> str:
        return str(self.post("/bores", {"given": {**GIVEN, **more}})["bore"])

    def enter(self, bore: str, *entries: Mapping[str, object], by: str = "") -> dict[str, Any]:
        answer: dict[str, Any] = {}
        for entry in entries:
            saw = self.get(f"/bores/{bore}")["numbers"]
            answer = self.post(f"/bores/{bore}/entries", {"saw": saw, "entry": entry, **({"by": by} if by else {})})
        return answer

    def to_cut(self) -> str:
        """Open a bore and set its tool as advised, so that the next thing to do is to cut."""
        bore = self.open()
        wanted = self.get(f"/bores/{bore}")["advice"]["set"]["diameter"]
        self.enter(bore, {"event": "set", "diameter": wanted}, {"event": "seated"})
        assert self.get(f"/bores/{bore}")["advice"]["action"] == "cut"
        return bore

    def to_read(self) -> str:
        """Open a bore and cut its first pass, so that the next thing to do is to measure."""
        bore = self.to_cut()
        self.enter(bore, {"event": "passed", "depth": "full"})
        return bore

    def to_move(self) -> str:
        """Open a bore, cut and measure its first pass, so that the next thing to do is to move the tool."""
        bore = self.to_read()
        size = str(self.get(f"/bores/{bore}")["advice"]["now"]["size"]).partition(" ")[0]
        reading = {"event": "read", "as_read": f"{float(size):.3f} mm"}
        self.enter(bore, reading, reading)
        assert self.get(f"/bores/{bore}")["advice"]["action"] == "move_and_cut"
        return bore

    def record(self, bore: str) -> list[str]:
        """What people entered on record of a bore, in words, oldest first; what was withdrawn is marked."""
        found = self.get(f"/bores/{bore}")["html"]
        rows = _ROW.findall(found)
        said = [(html.unescape(re.sub(r" <em>.*", "", words)), bool(mark)) for mark, words in reversed(rows)]
        return [f"{words} (withdrawn)" if withdrawn else words for words, withdrawn in said]

    def expect(self, bore: str, *last: str) -> None:
        """Wait until the record of a bore ends so; there are two cores, and others work on them too."""
        until = time.monotonic() + PATIENCE_S
        while self.record(bore)[-len(last) :] != list(last):
            assert time.monotonic() < until, self.record(bore)
            time.sleep(0.1)

    def on_machine(self, bore: str) -> str:
        """Do on the simulated machine what is wanted next, and enter what it shows; returns what is advised then."""
        look = self.get(f"/bores/{bore}")
        wanted = _WANTED.search(look["html"])
        assert wanted, look["advice"]["say"]
        entry = json.loads(html.unescape(wanted[1]))
        headers = {"X-Borewright": "1", "Origin": self.address}
        path = f"{self.address}/api/v1/rehearsals/{bore}/machine"
        shown = _whole(client().post(path, json={"action": entry}, headers=headers))
        self.post(f"/bores/{bore}/entries", {"saw": look["numbers"], "entry": shown["entries"][0]})
        return str(self.get(f"/bores/{bore}")["advice"]["action"])

    def on_machine_until(self, bore: str, action: str) -> None:
        """Go on like that until something is advised."""
        advised = str(self.get(f"/bores/{bore}")["advice"]["action"])
        for _ in range(100):
            if advised == action:
                return
            advised = self.on_machine(bore)
        raise AssertionError(self.record(bore))


def _whole(answer: httpx2.Response) -> dict[str, Any]:
    assert answer.status_code == 200, answer.text
    return cast("dict[str, Any]", answer.json())
