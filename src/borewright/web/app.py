"""The application: the guard, the pages, the API and the live stream over one folder of records."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast

import anyio.to_thread
from fastapi import FastAPI
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import Response

from borewright import __version__
from borewright.errors import BorewrightError
from borewright.exchange.fault_file import keep_fault
from borewright.web import api, cut_desk, gauge_desk, pages
from borewright.web.answers import API, STATIC, Pages, problem_answer, refused
from borewright.web.assets import Assets
from borewright.web.guard import Guard
from borewright.web.live import Live
from borewright.web.office import Office
from borewright.web.records import Records
from borewright.web.sight import Sight

if TYPE_CHECKING:
    from starlette.types import ExceptionHandler

AT_ONCE: Final = 6
"""Requests worked on at once; the others wait their turn.

Work here is computing: one that holds the record must not be kept from it by forty that only draw.
"""

SMALLEST_ZIPPED: Final = 700
"""Bytes below which an answer is sent as it is."""


def create_app(data: Path, *, demo: bool) -> FastAPI:
    """Make the application over a folder of records.

    Args:
        data: the data folder; made where it is not there.
        demo: whether it is the demo's: its bores are opened where they are not yet.

    Returns:
        The application; ``state.office.live`` is to be closed before the server waits for its connections to end.

    Raises:
        RecordUnavailableError: the record cannot be opened.
        DamagedRecordError: the record is damaged.
    """
    records, templates = Records(data, demo=demo), Pages()
    at = Office(records, templates, Sight(records, templates), Live(records.changed))

    @contextlib.asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        anyio.to_thread.current_default_thread_limiter().total_tokens = AT_ONCE
        async with at.live.running():
            yield
        records.close()

    app = FastAPI(
        title="Borewright",
        version=__version__,
        lifespan=lifespan,
        openapi_url=f"{API}/openapi.json",
        docs_url=None,  # the library's own page of it loads scripts from elsewhere
        redoc_url=None,
    )
    app.state.office = at
    app.include_router(pages.ROUTES)
    app.include_router(api.ROUTES)
    app.include_router(cut_desk.PAGES)
    app.include_router(cut_desk.ROUTES)
    app.include_router(gauge_desk.PAGES)
    app.include_router(gauge_desk.ROUTES)
    app.mount("/static", Assets(directory=STATIC, check_dir=False))

    def said(request: Request, error: Exception) -> Response:
        return problem_answer(templates, request, cast("BorewrightError", error))

    def not_found(request: Request, error: Exception) -> Response:
        return problem_answer(templates, request, refused(cast("HTTPException", error)))

    app.add_exception_handler(BorewrightError, cast("ExceptionHandler", said))
    app.add_exception_handler(HTTPException, cast("ExceptionHandler", not_found))
    app.add_middleware(GZipMiddleware, minimum_size=SMALLEST_ZIPPED, compresslevel=5)
    app.add_middleware(Guard, fault=keep_fault)
    return app
