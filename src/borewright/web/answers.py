"""How the pages and the API answer: rendered pages, plain values, and problems in the family's own form."""

from __future__ import annotations

import hashlib
import html
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined, TemplateNotFound
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from borewright.errors import (
    BorewrightError,
    ConflictError,
    DamagedRecordError,
    EntryError,
    NotHeldError,
    OutOfTurnError,
    RecordUnavailableError,
)
from borewright.record.told import said_back

API: Final = "/api/v1"
STATIC: Final = Path(__file__).parent / "static"

STATUS: Final[tuple[tuple[type[BorewrightError], int], ...]] = (
    (ConflictError, 409),
    (OutOfTurnError, 409),
    (EntryError, 422),
    (NotHeldError, 422),
    (RecordUnavailableError, 503),
    (DamagedRecordError, 500),
)


class Pages:
    """Renders pages and parts of pages."""

    def __init__(self) -> None:
        self._templates = Environment(
            loader=PackageLoader("borewright.web"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._templates.globals["asset"] = asset_address

    def render(self, template: str, values: Mapping[str, object]) -> str:
        """Render a template.

        Args:
            template: its file.
            values: what it gets.

        Returns:
            HTML.
        """
        return self._templates.get_template(template).render(values)

    def page(self, template: str, values: Mapping[str, object], status: int = 200) -> HTMLResponse:
        """Answer with a page.

        Args:
            template: its file.
            values: what it gets.
            status: the status.

        Returns:
            The answer.
        """
        return HTMLResponse(self.render(template, values), status)


def status_of(error: BorewrightError) -> int:
    """Return the status that an error is answered with.

    Args:
        error: the error.

    Returns:
        422 for what cannot be understood or is not held, 404 where there is no such bore or page, 409 for what does not
        fit the state or met a conflict, 503 for a record that cannot be reached now, 500 for one that is damaged.
    """
    if isinstance(error, NotHeldError) and error.where in {"bore", "page"}:
        return 404
    return next((status for kind, status in STATUS if isinstance(error, kind)), 500)


def problem_answer(pages: Pages, request: Request, error: BorewrightError) -> Response:
    """Answer with a problem: as JSON to a program, as a page to a person.

    Args:
        pages: renders the page.
        request: what was asked.
        error: the error.

    Returns:
        The answer.
    """
    status, problem = status_of(error), error.as_problem()
    if isinstance(error, ConflictError):
        problem["since"] = [{**event, "said": _said(event)} for event in error.since]
    if request.url.path.startswith(("/api/", "/static/")):
        return JSONResponse(problem, status)
    try:
        return pages.page("problem.html", {"page": "problem", "show": "mm", "problem": problem}, status)
    except TemplateNotFound:
        said = html.escape(f"{problem['wrong']} {problem['right']}")
        return HTMLResponse(f"<!doctype html><title>Borewright</title><p>{said}</p>", status)


def refused(error: HTTPException) -> BorewrightError:
    """Say in the family's way what the routes refuse.

    Args:
        error: no such page, or not by that method.

    Returns:
        The error.
    """
    if error.status_code == 405:
        return EntryError("Nothing is done there by that method.", right="Use GET to look, POST to enter.")
    return NotHeldError("There is no such page.", right="Begin at Today.", where="page")


def asset_address(name: str) -> str:
    """Return the address of an asset; it changes with the asset, so that a browser may keep it for good.

    Args:
        name: its file in the folder of assets.

    Returns:
        The address.
    """
    path = STATIC / name
    try:
        changed = path.stat().st_mtime_ns
    except OSError:
        return f"/static/{name}"
    return f"/static/{name}?v={_digest(path, changed)}"


def _said(event: Mapping[str, object]) -> str:
    payload = event.get("payload")
    return said_back(str(event.get("event")), payload if isinstance(payload, Mapping) else {})


@lru_cache(maxsize=64)
def _digest(path: Path, changed: int) -> str:
    del changed  # part of the key: an asset that was built again is read again
    return hashlib.sha256(path.read_bytes()).hexdigest()[:12]
