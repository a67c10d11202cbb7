"""The Gauges page and the API beside it: gauges, rings, and studies."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

from fastapi import APIRouter
from starlette.responses import HTMLResponse, JSONResponse, Response

from borewright.drawing.study import draw_study
from borewright.errors import EntryError
from borewright.exchange.gauge_studies import read_study
from borewright.gauging.study_range import by_range
from borewright.gauging.study_variance import by_variance
from borewright.quantity.length import Unit, parse_length
from borewright.shop.gauges import list_gauges, record_gauge, show_gauge
from borewright.shop.settings import decide_rule, rule_decided
from borewright.sizing.opening import rule_of
from borewright.web.answers import API
from borewright.web.asked import Sent, body_of, unit_or_none
from borewright.web.gauges import GaugesView, found_view, gauges_view
from borewright.web.office import In, Office
from borewright.web.pictures import Picture

PAGES: Final = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
ROUTES: Final = APIRouter(prefix=API)
RULE_FIELDS: Final = ("name", "confidence", "ratio", "bands", "probe")
"""What a rule may say."""


@PAGES.get("/gauges")
def gauges(at: In, show: str | None = None) -> Response:
    """Show the shop's gauges and rings."""
    unit = unit_or_none(show, "show") or "mm"
    return at.pages.page("gauges.html", {"page": "gauges", "show": unit, "view": _view(at)})


@PAGES.get("/part/gauges")
def gauges_part(at: In) -> Response:
    """Show what stands inside Gauges."""
    return at.pages.page("gauges.part.html", {"view": _view(at)})


@ROUTES.get("/gauges")
def listed(at: In) -> Response:
    """The gauges and rings on record."""
    lines = list_gauges(at.records.shop)
    return JSONResponse(
        {
            "gauges": [
                {
                    "gauge": line.gauge,
                    "instrument": line.instrument,
                    "is_master": line.is_master,
                    "standing": line.standing,
                    "due": None if line.due is None else line.due.isoformat(),
                    "set_on": line.set_on,
                    "scatter": line.scatter,
                    "bores": line.bores,
                }
                for line in lines
            ]
        }
    )


@ROUTES.post("/gauges/{gauge}/entries", openapi_extra=body_of("key", "entry", "number", "ago", "by", "show"))
def enter(at: In, gauge: str, sent: Sent) -> Response:
    """Record what happened to a gauge or a ring."""
    sent.only(("key", "entry", "number", "ago", "by", "show"))
    saw = sent.whole("number") if "number" in sent.fields else None
    unit: Unit | None = sent.show()
    answer = record_gauge(
        at.records.shop,
        gauge,
        sent.group("entry"),
        unit=unit,
        key=sent.text("key"),
        saw=saw,
        at=sent.moment(),
        by=sent.by(),
    )
    at.live.stir()
    said = at.pages.render("rejudged.html", {"answer": answer}) if "rejudged" in answer else ""
    return JSONResponse({"gauge": gauge, "recorded": dict(answer), "said": said})


@ROUTES.post("/rule", openapi_extra=body_of(*RULE_FIELDS, "by"))
def decide(at: In, sent: Sent) -> Response:
    """Decide by which rule bores are judged where order and drawing name none."""
    sent.only((*RULE_FIELDS, "by"))
    given = {name: sent.text_or_none(name) for name in RULE_FIELDS}
    rule = {name: value for name, value in given.items() if value}
    decided = decide_rule(at.records.shop, rule, by=sent.by())
    return JSONResponse({"rule": rule_of(decided).text})


@ROUTES.post("/studies", openapi_extra=body_of("text", "unit", "tolerance", "gauge", "key", "by"))
def study(at: In, sent: Sent) -> Response:
    """Find what a gauge scatters by from a study's lines; recorded where a gauge is named."""
    sent.only(("text", "unit", "tolerance", "gauge", "key", "by"))
    text = sent.fields.get("text")
    if not isinstance(text, str):
        raise EntryError("The study is missing.", right="Begin it with the line: part,who,reading", where="text")
    made, shown = read_study(text, unit_or_none(sent.text_or_none("unit"), "unit"))
    typed = sent.text_or_none("tolerance")
    tolerance = None if typed is None else parse_length(typed, shown, where="tolerance").mm
    found = [found_view(each, made, shown, tolerance) for each in (by_range(made), by_variance(made))]
    picture = Picture(draw_study(made, shown, standalone=False))
    best, gauge = by_variance(made), sent.text_or_none("gauge")
    if gauge:
        entry = best.as_entry(made.readings_mm.size, tolerance)
        record_gauge(at.records.shop, gauge, entry, key=sent.text("key"), by=sent.by())
        at.live.stir()
    return JSONResponse(
        {
            "scatter": f"{best.repeatability_mm:.6f} mm",
            "what_to_do": best.what_to_do(tolerance),
            "recorded": bool(gauge),
            "html": at.pages.render("study.part.html", {"found": found, "gauge": gauge, "picture": picture}),
        }
    )


def _view(at: Office) -> GaugesView:
    shop = at.records.shop
    today = datetime.now(UTC).date()
    decided = rule_decided(shop)
    lines = [(line, show_gauge(shop, line.gauge)) for line in list_gauges(shop, today)]
    return gauges_view(lines, today, "" if decided is None else rule_of(decided).text)
