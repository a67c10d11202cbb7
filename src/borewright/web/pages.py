"""The pages: each looks at the record and renders what stands there."""

from __future__ import annotations

from typing import Final, Literal

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from borewright.callout import parse_callout
from borewright.errors import BorewrightError
from borewright.exchange.rehearsals import next_seed
from borewright.quantity.length import UNITS, Unit
from borewright.quantity.show import show_length
from borewright.rehearsal.kinds import KINDS
from borewright.shop.bores import like_bores
from borewright.shop.gauges import list_gauges
from borewright.shop.learned import lessons
from borewright.shop.settings import rule_decided
from borewright.shop.stands import Stand
from borewright.sizing.opening import rule_of
from borewright.sizing.priors import USUAL_DEPTH_MM
from borewright.web.answers import STATIC, asset_address
from borewright.web.asked import unit_or_none
from borewright.web.lessons import learned_view
from borewright.web.narrow import narrow_for_shop, shop_rule
from borewright.web.office import In, Office
from borewright.web.order import order_view
from borewright.web.passes import passes_view
from borewright.web.proof import proof_view
from borewright.web.scores import scores_view
from borewright.web.trust import trust_view
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
            found, rule = parse_callout(text, unit_or_none(unit, "unit")), shop_rule(at.records.shop)
            values["view"] = limits_view(found, rule=rule, narrow=narrow_for_shop(at.records.shop, found, rule))
        except BorewrightError as error:
            values["problem"], status = f"{error.wrong} {error.right}", 422
    return at.pages.page("callout.html", values, status)


@ROUTES.get("/start")
def start(at: In, show: str | None = None) -> Response:
    """Show the form that opens a bore."""
    unit = unit_or_none(show, "show") or USUAL
    usual_depth = {unit: show_length(USUAL_DEPTH_MM, unit, decimals=2 if unit == "mm" else 3) for unit in UNITS}
    decided = rule_decided(at.records.shop)
    shop_rule = "" if decided is None else rule_of(decided).text
    on_record = {"tool": _named(at, "tool"), "gauge": _named(at, "gauge")}
    values = {"usual_depth": usual_depth, "shop_rule": shop_rule, "on_record": on_record}
    return at.pages.page("start.html", {"page": "start", "show": unit, **values})


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
    stand = at.records.stand(bore)
    view = at.sight.release(bore, stand, unit_or_none(show, "show"))
    trust = trust_view(at.records.store_of(bore), bore, stand, view.unit)
    return at.pages.page("release.html", {"page": "release", "show": view.unit, "view": view, "trust": trust})


@ROUTES.get("/bores/{bore}/passes")
def passes(
    at: In, bore: str, show: str | None = None, pass_minutes: str = "", measurement_minutes: str = ""
) -> Response:
    """Show the plans that are left of a bore, side by side."""
    stand = at.records.stand(bore)
    view = passes_view(
        bore,
        stand.bore,
        stand.history,
        unit=unit_or_none(show, "show"),
        pass_minutes=pass_minutes,
        measurement_minutes=measurement_minutes,
        rehearsed=at.records.is_rehearsed(bore),
    )
    status = 422 if view.problem else 200
    return at.pages.page("passes.html", {"page": "passes", "show": view.unit, "view": view}, status)


@ROUTES.get("/bores/{bore}/order")
def order(
    at: In,
    bore: str,
    show: str | None = None,
    parts: str = "",
    pass_minutes: str = "",
    measurement_minutes: str = "",
    move_minutes: str = "",
    between_minutes: str = "",
) -> Response:
    """Show in which order a bore and the open ones like it may be brought to size."""
    stand = at.records.stand(bore)
    asked = {
        "pass_minutes": pass_minutes,
        "measurement_minutes": measurement_minutes,
        "move_minutes": move_minutes,
        "between_minutes": between_minutes,
    }
    view = order_view(
        bore,
        stand.bore,
        dict(like_bores(at.records.store_of(bore), bore)),
        unit=unit_or_none(show, "show"),
        one_part=parts == "one",
        minutes=asked,
        rehearsed=at.records.is_rehearsed(bore),
    )
    status = 422 if view.problem else 200
    return at.pages.page("order.html", {"page": "passes", "show": view.unit, "view": view}, status)


@ROUTES.get("/bores/{bore}/prove")
def prove(at: In, bore: str, show: str | None = None) -> Response:
    """Show how the adjuster of a bore's tool is proved, one number at a time."""
    stand = at.records.stand(bore)
    unit = unit_or_none(show, "show") or stand.bore.unit
    view = proof_view(bore, stand.bore, {"unit": unit}, rehearsed=at.records.is_rehearsed(bore))
    return at.pages.page("prove.html", {"page": "prove", "show": unit, "view": view})


@ROUTES.get("/learned")
def learned(at: In, show: str | None = None) -> Response:
    """Show what finished bores taught, tool by tool."""
    unit = unit_or_none(show, "show") or USUAL
    view = learned_view(lessons(at.records.shop), unit)
    return at.pages.page("learned.html", {"page": "learned", "show": unit, "view": view})


@ROUTES.get("/rehearse")
def rehearse(at: In, show: str | None = None, kind: str = "", seed: str = "") -> Response:
    """Show what can be rehearsed, and what was begun; a kind and a seed may be chosen beforehand."""
    unit = unit_or_none(show, "show")
    stands = at.records.rehearsed_stands()
    chosen = {"kind": kind if kind in KINDS else "", "seed": seed or next_seed(bore for bore, _ in stands)}
    shown = {"view": _today(at, stands, unit), "scores": scores_view(at.records, reversed(stands))}
    values = {**shown, "kinds": kinds(), **chosen}
    return at.pages.page("rehearse.html", {"page": "rehearse", "show": unit or USUAL, **values})


@ROUTES.get("/rehearse/{bore}")
def rehearse_bore(at: In, bore: str, show: str | None = None) -> Response:
    """Show a bore on its simulated machine."""
    at.records.rehearsal(bore)
    return _size(at, bore, show, "rehearse")


@ROUTES.get("/away")
def away(at: In, show: str | None = None) -> Response:
    """Show what a browser keeps to show while the server is out of reach."""
    return at.pages.page("away.html", {"page": "away", "show": unit_or_none(show, "show") or USUAL})


@ROUTES.get("/away.js")
def away_script() -> Response:
    """Send the script that keeps that page; it changes with what the page needs, so that a browser keeps it anew.

    It stands beside the pages, for a browser lets a script stand before those pages alone that are below its address.
    """
    needs = " ".join(asset_address(name) for name in ("app.js", "app.css", "early.js", "icon.svg"))
    script = STATIC / "away.js"
    text = script.read_text(encoding="utf-8") if script.exists() else ""
    return Response(f"/* {needs} */\n{text}", media_type="text/javascript")


def _named(at: Office, kind: Literal["tool", "gauge"]) -> tuple[str, ...]:
    """List tools or gauges that somebody gave a name: without those of one bore alone, and without rings and blocks."""
    masters = {line.gauge for line in list_gauges(at.records.shop) if line.is_master} if kind == "gauge" else ()
    names = sorted(stream.identity for stream in at.records.shop.streams(kind))
    return tuple(name for name in names if name not in masters and not name.endswith(f".{kind}"))


def _size(at: Office, bore: str, show: str | None, page: str) -> Response:
    view = at.sight.size(bore, at.records.stand(bore), unit_or_none(show, "show"))
    return at.pages.page("size.html", {"page": page, "show": view.unit, "view": view})


def _today(at: Office, stands: tuple[tuple[str, Stand], ...], unit: Unit | None) -> TodayView:
    rehearsed = [bore for bore, _ in stands if at.records.is_rehearsed(bore)]
    return today_view([(bore, stand.bore, stand.history, stand.advice) for bore, stand in stands], unit, rehearsed)
