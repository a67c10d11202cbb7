"""The server: on this machine only, says where it is, ends quickly when it is told to."""

from __future__ import annotations

import contextlib
import errno
import socket
import sys
from pathlib import Path
from typing import Final

import uvicorn

from borewright.errors import EntryError
from borewright.web.answers import STATIC
from borewright.web.app import create_app

HOSTS: Final = {"127.0.0.1": socket.AF_INET, "localhost": socket.AF_INET, "::1": socket.AF_INET6}
"""Addresses of this machine for itself; no other is served until there are accounts."""

USUAL_PORT: Final = 8137
PATIENCE_S: Final = 3
"""How long an answer that is under way may take after the server was told to end."""


def run_server(data: Path, *, host: str, port: int, demo: bool) -> int:
    """Serve a folder of records until it is interrupted.

    Args:
        data: the data folder.
        host: the address to serve at.
        port: the port; 0 for any that is free.
        demo: whether it is the demo's folder.

    Returns:
        The exit code.

    Raises:
        EntryError: the address is another machine's, or the port is taken.
        RecordUnavailableError: the record cannot be opened.
    """
    listening = listen(host, port)
    if not (STATIC / "app.js").exists():
        print(
            "The pages' script and style are not built here: they show bare. `make run` builds them.", file=sys.stderr
        )
    app = create_app(data, demo=demo)
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        ws="none",
        http="h11",
        loop="asyncio",
        timeout_graceful_shutdown=PATIENCE_S,
    )
    with contextlib.suppress(KeyboardInterrupt):  # Ctrl-C is how it is meant to end
        _Server(config, address(listening)).run(sockets=[listening])
    return 0


def listen(host: str, port: int) -> socket.socket:
    """Take a port of this machine.

    Args:
        host: the address.
        port: the port; 0 for any that is free.

    Returns:
        The socket, bound.

    Raises:
        EntryError: the address is not this machine's own, or the port is taken.
    """
    if host not in HOSTS:
        raise EntryError(
            "Only this machine is served until there are accounts: whoever reaches the port could enter and release.",
            given=host,
            right=f"Use {', '.join(HOSTS)}.",
            where="--host",
        )
    if not 0 <= port <= 65535:
        raise EntryError(
            "That is no port.", given=port, right="Use 1 to 65535, or 0 for one that is free.", where="--port"
        )
    family = HOSTS[host]
    # Named as TCP, so that the event loop sends each small answer at once and does not wait to fill a packet.
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind(("::1" if family == socket.AF_INET6 else "127.0.0.1", port))
    except OSError as error:
        listening.close()
        raise _taken(error, port) from None
    return listening


def address(listening: socket.socket) -> str:
    """Say where a server is.

    Args:
        listening: its socket.

    Returns:
        Such as ``http://127.0.0.1:8137/``.
    """
    host, port = listening.getsockname()[:2]
    scheme, name = "http", f"[{host}]" if ":" in host else host
    return f"{scheme}://{name}:{port}/"


class _Server(uvicorn.Server):
    """Says where it is once it answers, and ends its live streams first of all."""

    def __init__(self, config: uvicorn.Config, where: str) -> None:
        super().__init__(config)
        self.where = where

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            print(f"Borewright is at {self.where}", flush=True)
            print(
                "It answers this machine only. Ctrl-C ends it; every entry that was acknowledged is kept.", flush=True
            )

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self.config.app.state.office.live.close()  # type: ignore[union-attr]  # the application is given as an object
        await super().shutdown(sockets)


def _taken(error: OSError, port: int) -> EntryError:
    if error.errno == errno.EADDRINUSE:
        wrong, right = "Another program listens on that port.", "Stop it, or choose another with --port."
    elif error.errno == errno.EACCES:
        wrong, right = "This user may not take that port.", "Choose one above 1023 with --port."
    else:
        wrong, right = f"That port cannot be taken: {error.strerror}.", "Choose another with --port."
    return EntryError(wrong, given=port, right=right, where="--port")
