"""The server: on this machine only, says where it is, gives way to nobody's port, and ends when it is told to."""

from __future__ import annotations

import signal
import socket
import subprocess
from pathlib import Path

import httpx2
import pytest

from borewright.errors import EntryError
from borewright.web.serve import address, listen
from tests.served.server import COMMAND, PATIENCE_S, serving
from tests.unit.web.visitor import GIVEN


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.20", "example.test", "", "127.0.0.2"])  # noqa: S104  # refused
def test_no_other_address_is_served_and_the_reason_is_said(host: str) -> None:
    with pytest.raises(EntryError, match="until there are accounts") as refused:
        listen(host, 0)
    assert refused.value.given == host
    assert "127.0.0.1" in refused.value.right


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost"])
def test_a_free_port_is_taken_and_said(host: str) -> None:
    with listen(host, 0) as listening:
        port = listening.getsockname()[1]
        assert port > 0
        assert address(listening) == f"http://127.0.0.1:{port}/"
        assert listening.proto == socket.IPPROTO_TCP  # else each answer waits 40 ms for the one before to be noticed


def test_the_newer_kind_of_address_is_written_in_brackets() -> None:
    with listen("::1", 0) as listening:
        assert address(listening) == f"http://[::1]:{listening.getsockname()[1]}/"


def test_a_port_that_is_taken_is_said() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(EntryError, match="Another program listens on that port") as refused:
            listen("127.0.0.1", other.getsockname()[1])
    assert "--port" in refused.value.right


@pytest.mark.parametrize("port", [-1, 65536])
def test_what_is_no_port_is_said(port: int) -> None:
    with pytest.raises(EntryError, match="no port"):
        listen("127.0.0.1", port)


def test_the_command_refuses_in_words_with_code_2(tmp_path: Path) -> None:
    words = [COMMAND, "serve", "--host", "0.0.0.0", "--data", str(tmp_path / "none")]  # noqa: S104  # refused
    ran = subprocess.run(words, capture_output=True, text=True, timeout=PATIENCE_S, check=False)
    assert ran.returncode == 2
    assert "until there are accounts" in ran.stderr
    assert "Traceback" not in ran.stderr
    assert not (tmp_path / "none").exists()


def test_two_servers_on_one_record_hear_of_each_other_and_end_while_pages_listen(tmp_path: Path) -> None:
    with serving(data=tmp_path) as one, serving(data=tmp_path) as two:
        bore = str(one.post("/bores", {"key": "o", "given": dict(GIVEN)})["bore"])
        with httpx2.stream("GET", f"{two.address}/api/v1/live?bore={bore}", timeout=PATIENCE_S) as stream:
            lines = stream.iter_lines()
            assert stream.headers["content-type"].startswith("text/event-stream")
            assert "content-encoding" not in stream.headers
            assert next(line for line in lines if line.startswith("data:")).endswith('"tool": 1, "gauge": 0}}')
            one.post(f"/bores/{bore}/entries", {"key": "s", "entry": {"event": "set", "diameter": "33.3"}})
            assert next(line for line in lines if '"tool": 2' in line)
            # Ctrl-C at a terminal, and what a service manager sends, end it while this page still listens.
            assert two.end(signal.SIGINT) == 0
        assert one.end(signal.SIGTERM) == -signal.SIGTERM


def test_what_was_acknowledged_is_there_after_a_kill(tmp_path: Path) -> None:
    with serving(data=tmp_path) as server:
        bore = str(server.post("/bores", {"key": "o", "given": dict(GIVEN)})["bore"])
        entry = {"key": "s", "entry": {"event": "set", "diameter": "33.300"}}
        first = server.post(f"/bores/{bore}/entries", entry)
        server.end(signal.SIGKILL)
    with serving(data=tmp_path) as server:
        again = server.post(f"/bores/{bore}/entries", entry)
        assert again["recorded"] == first["recorded"]
        assert server.get(f"/api/v1/bores/{bore}").json()["numbers"] == first["numbers"]


def test_pages_are_sent_small(tmp_path: Path) -> None:
    with serving("--demo", data=tmp_path) as server:
        answer = server.get("/bores/dome_drive_7.pinion_seat")
        assert answer.headers["content-encoding"] == "gzip"
        assert int(answer.headers["content-length"]) < len(answer.content) / 3
