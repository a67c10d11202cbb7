"""The guard at the door: who may ask at all, how much, and what every answer tells the browser it may do with it.

There are no accounts and no cookies yet, so a request is trusted for where it comes from: this machine's own browser,
on a page of ours. A page from elsewhere must not be able to write (it cannot set our header or our origin), nor to read
(it cannot make its own name mean this machine, since a name that is not ours is refused).
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

OWN_HEADER: Final = "x-borewright"
MOST_BODY: Final = 64 * 1024
"""Bytes that a request may carry; the largest entry there is takes a tenth of it."""

LOOPBACK: Final = frozenset({"127.0.0.1", "localhost", "[::1]"})
"""Names by which this machine calls itself, as they stand in a Host header."""

READS: Final = frozenset({"GET", "HEAD"})

POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""Nothing from elsewhere, and nothing written into a page is run or taken for style."""

_ALWAYS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a request is not let in.

    Args:
        status: the status of the answer.
        wrong: what is wrong.
        right: what would be right.
        given: what was given, or None.
    """

    status: int
    wrong: str
    right: str
    given: str | None = None

    def body(self) -> bytes:
        """Write it as the family of errors writes a problem.

        Returns:
            JSON.
        """
        problem = {
            "problem": "refused",
            "where": "request",
            "given": self.given,
            "wrong": self.wrong,
            "right": self.right,
        }
        return json.dumps(problem, ensure_ascii=False).encode()


class Guard:
    """Lets in what comes from this machine's own pages, and marks every answer.

    Args:
        app: the application behind it.
        fault: told of an error that nothing else caught; returns what to tell the person.
    """

    def __init__(self, app: ASGIApp, fault: Callable[[BaseException], str]) -> None:
        self.app = app
        self.fault = fault

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request.

        Args:
            scope: the request.
            receive: its body.
            send: the answer.
        """
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        answer = _Marked(scope, send)
        refused = refusal(scope["method"], scope["path"], Headers(scope=scope))
        if refused is not None:
            await answer.whole(refused.status, refused.body())
            return
        try:
            await self.app(scope, _Counted(receive, answer), answer)
        except _TooLongError:
            await answer.whole(413, _TOO_LONG.body())
        except Exception as error:  # noqa: BLE001  # nobody is shown a traceback
            said = self.fault(error)
            if not answer.begun:
                problem = {"problem": "fault", "where": "", "given": None, "wrong": said, "right": "Enter it again."}
                await answer.whole(500, json.dumps(problem, ensure_ascii=False).encode())


def refusal(method: str, path: str, headers: Headers) -> Refusal | None:
    """Say why a request is not let in.

    Args:
        method: its method.
        path: its path.
        headers: its headers.

    Returns:
        The reason, or None where it may come in.
    """
    host = headers.get("host", "")
    if _name(host) not in LOOPBACK or len(headers.getlist("host")) != 1:
        return Refusal(421, "This server answers to its own names only.", "Ask for 127.0.0.1 or localhost.", host[:80])
    if method in READS:
        return _read_refusal(path, headers)
    if method != "POST":
        return Refusal(405, "Nothing is done here by that method.", "Use GET or POST.", method[:20])
    return _write_refusal(host, headers)


def _read_refusal(path: str, headers: Headers) -> Refusal | None:
    site = headers.get("sec-fetch-site")
    if site in {None, "same-origin", "none"}:
        return None
    followed = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
    if followed and not path.startswith("/api/"):
        return None  # a person followed a link to a page
    return Refusal(403, "Another site asked for that.", "Open the page itself.", site)


def _write_refusal(host: str, headers: Headers) -> Refusal | None:
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    own = {f"{scheme}://{host}" for scheme in ("http", "https")}
    if (site is not None and site != "same-origin") or (origin is not None and origin not in own):
        given = site if site not in {None, "same-origin"} else (origin or "")[:80]
        return Refusal(403, "Another site sent that; nothing was done.", "Enter it on a page of this server.", given)
    if site is None and origin is None:
        return Refusal(
            403,
            "It does not say where it comes from; nothing was done.",
            f"Send Origin with it, {min(own)}.",
        )
    if headers.get(OWN_HEADER) != "1":
        return Refusal(403, "Our own header is missing; nothing was done.", "Send X-Borewright: 1 with it.")
    kind = headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        return Refusal(415, "Only JSON is taken; nothing was done.", "Send application/json.", kind[:80])
    length = headers.get("content-length", "")
    if length.isdecimal() and int(length) > MOST_BODY:
        return _TOO_LONG
    return None


def _name(host: str) -> str:
    """Take the port off a Host header."""
    if host.startswith("["):
        return host.partition("]")[0].lower() + "]"
    return host.partition(":")[0].lower()


_TOO_LONG: Final = Refusal(413, "That is too long for an entry; nothing was done.", f"Send at most {MOST_BODY} bytes.")


class _TooLongError(Exception):
    """The body goes on past what is taken."""


class _Counted:
    """Passes a body on, up to what is taken."""

    def __init__(self, receive: Receive, answer: _Marked) -> None:
        self.receive = receive
        self.answer = answer
        self.bytes = 0

    async def __call__(self) -> Message:
        message = await self.receive()
        self.bytes += len(message.get("body", b""))
        if self.bytes > MOST_BODY and not self.answer.begun:
            raise _TooLongError
        return message


class _Marked:
    """Sends an answer with the headers that every answer carries."""

    def __init__(self, scope: Scope, send: Send) -> None:
        self.scope = scope
        self.send = send
        self.begun = False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            headers = MutableHeaders(raw=message.setdefault("headers", []))
            for name, value in _ALWAYS.items():
                headers[name] = value
            headers.setdefault("Cache-Control", "no-store")
        await self.send(message)

    async def whole(self, status: int, body: bytes) -> None:
        headers = [(b"content-type", b"application/json; charset=utf-8"), (b"content-length", str(len(body)).encode())]
        await self({"type": "http.response.start", "status": status, "headers": headers})
        content = b"" if self.scope["method"] == "HEAD" else body
        await self({"type": "http.response.body", "body": content})
