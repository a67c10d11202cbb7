"""The pages: each looks at the record and renders what stands there."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from borewright.callout import parse_callout
from borewright.errors import BorewrightError
from borewright.quantity.length import Unit
from borewright.shop.learned import lessons
from borewright.shop.stands import Stand
from borewright.web.asked import unit_or_none
from borewright.web.lessons import learned_view
from borewright.web.office import In, Office
from borewright.web.views import TodayView, kinds, limits_view, today_view

ROUTES: Final = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
USUAL: Final[Unit] = "mm"
"""The unit of a page that shows no bore of its own, where the device has chosen none."""


@ROUTES.get("/")
def today(at: In, show: str | None = None) -> Response:
    """Show the bores under way and those that are finished."""
    unit = unit_or_none(show, "show")
    view = _today(at, at.records.stands(), unit)
    return at.pages.page("today.html", {"page": "today", "show": unit or USUAL, "view": view})


@ROUTES.get("/part/today")
def today_part(at: In, show: str | None = None) -> Response:
    """Show what stands inside Today."""
    view = _today(at, at.records.stands(), unit_or_none(show, "show"))
    return at.pages.page("today.part.html", {"view": view})


@ROUTES.get("/callout")
def callout(at: In, text: str = "", unit: str | None = None, show: str | None = None) -> Response:
    """Show what a callout means."""
    values: dict[str, object] = {
        "page": "callout",
        "show": unit_or_none(show, "show") or USUAL,
        "text": text,
        "unit": unit or "",
        "view": None,
        "problem": "",
    }
    status = 200
    if text.strip():
        try:
            values["view"] = limits_view(parse_callout(text, unit_or_none(unit, "unit")))
        except BorewrightError as error:
            values["problem"], status = f"{error.wrong} {error.right}", 422
    return at.pages.page("callout.html", values, status)


@ROUTES.get("/start")
def start(at: In, show: str | None = None) -> Response:
    """Show the form that opens a bore."""
    return at.pages.page("start.html", {"page": "start", "show": unit_or_none(show, "show") or USUAL})


@ROUTES.get("/bores/{bore}")
def size(at: In, bore: str, show: str | None = None) -> Response:
    """Show a bore that is being sized."""
    return _size(at, bore, show, "size")


@ROUTES.get("/bores/{bore}/part")
def size_part(at: In, bore: str, show: str | None = None) -> Response:
    """Show what stands inside Size."""
    return HTMLResponse(at.sight.part(bore, at.records.stand(bore), unit_or_none(show, "show")))


@ROUTES.get("/bores/{bore}/release")
def release(at: In, bore: str, show: str | None = None) -> Response:
    """Show what is in view when a bore is signed."""
    view = at.sight.release(bore, at.records.stand(bore), unit_or_none(show, "show"))
    return at.pages.page("release.html", {"page": "release", "show": view.unit, "view": view})


@ROUTES.get("/learned")
def learned(at: In, show: str | None = None) -> Response:
    """Show what finished bores taught, tool by tool."""
    unit = unit_or_none(show, "show") or USUAL
    view = learned_view(lessons(at.records.shop), unit)
    return at.pages.page("learned.html", {"page": "learned", "show": unit, "view": view})


@ROUTES.get("/rehearse")
def rehearse(at: In, show: str | None = None) -> Response:
    """Show what can be rehearsed, and what was begun."""
    unit = unit_or_none(show, "show")
    values = {"view": _today(at, at.records.rehearsed_stands(), unit), "kinds": kinds()}
    return at.pages.page("rehearse.html", {"page": "rehearse", "show": unit or USUAL, **values})


@ROUTES.get("/rehearse/{bore}")
def rehearse_bore(at: In, bore: str, show: str | None = None) -> Response:
    """Show a bore on its simulated machine."""
    at.records.rehearsal(bore)
    return _size(at, bore, show, "rehearse")


def _size(at: Office, bore: str, show: str | None, page: str) -> Response:
    view = at.sight.size(bore, at.records.stand(bore), unit_or_none(show, "show"))
    return at.pages.page("size.html", {"page": page, "show": view.unit, "view": view})


def _today(at: Office, stands: tuple[tuple[str, Stand], ...], unit: Unit | None) -> TodayView:
    rehearsed = [bore for bore, _ in stands if at.records.is_rehearsed(bore)]
    return today_view([(bore, stand.bore, stand.history, stand.advice) for bore, stand in stands], unit, rehearsed)
