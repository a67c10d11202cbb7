"""The Cut page and the API beside it: a cut before it is made, and what the shop itself knows of its materials."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from borewright.cutting.outlook import MOST_PASSES
from borewright.errors import BorewrightError
from borewright.record.forms import whole_form
from borewright.shop.materials import forget_force, keep_force, own_forces
from borewright.sizing.cut_outlook import look_at_cut
from borewright.sizing.own_force import own_plain, with_own_force
from borewright.sizing.taught_push_off import cut_of_bore
from borewright.web.answers import API
from borewright.web.asked import Sent, body_of, unit_or_none
from borewright.web.cut import FIELDS, WORDS, asked_cut, cut_view, field_of, passes_asked
from borewright.web.office import In
from borewright.web.pages import USUAL

PAGES: Final = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
ROUTES: Final = APIRouter(prefix=API)


@PAGES.get("/cut")
def cut(at: In, asking: Request, show: str | None = None, passes: str = "") -> Response:
    """Look at a cut before it is made: what could lose the hole, then what each pass gives."""
    asked = {name: asking.query_params.get(name, "") for name in FIELDS}
    kept = own_forces(at.records.shop)
    values: dict[str, object] = {
        "page": "cut",
        "show": unit_or_none(show, "show") or USUAL,
        "asked": {**asked, "passes": passes},
        "words": WORDS,
        "own": [own_plain(force) for force in kept],
        "view": None,
        "wrong": "",
        "problem": "",
    }
    status = 200
    if asked["callout"].strip():
        try:
            values["view"] = cut_view(look_at_cut(with_own_force(asked_cut(asked), kept), passes_asked(passes)))
        except BorewrightError as error:
            (values["wrong"], values["problem"]), status = field_of(error), 422
    return at.pages.page("cut.html", values, status)


@ROUTES.post("/cut", openapi_extra=body_of("given", "passes", "show"))
def look(at: In, sent: Sent) -> Response:
    """What could lose a bore in the cutting, and what each pass gives; nothing is recorded."""
    sent.only(("given", "passes", "show"))
    passes = sent.fields.get("passes")
    given = with_own_force(sent.group("given"), own_forces(at.records.shop))
    count = None if passes is None else whole_form(1, MOST_PASSES).read(passes, None, "passes")
    return JSONResponse(look_at_cut(given, count if isinstance(count, int) else None, shown_in=sent.show()).plain())


@ROUTES.get("/bores/{bore}/cut")
def look_at_bore(at: In, bore: str, show: str | None = None) -> Response:
    """The physics of a bore's plan that is advised, and what its measured passes taught of push-off."""
    stood = at.records.stand(bore).bore
    unit = unit_or_none(show, "show") or stood.unit
    found = cut_of_bore(stood, stood.plans(unit), unit)
    return JSONResponse({"bore": bore, "cut": None if found is None else found.plain()})


@ROUTES.get("/materials")
def listed(at: In) -> Response:
    """The shop's own cutting forces."""
    return JSONResponse({"kept": [own_plain(force) for force in own_forces(at.records.shop)]})


@ROUTES.post("/materials", openapi_extra=body_of("material", "given", "by"))
def keep(at: In, sent: Sent) -> Response:
    """Keep the shop's own cutting force of a material."""
    sent.only(("material", "given", "by"))
    material, by = sent.text("material"), sent.by()
    force, warning = keep_force(at.records.shop, material, sent.group("given"), by=by)
    return JSONResponse({"kept": own_plain(force), "warnings": [warning] if warning else []})


@ROUTES.post("/materials/forget", openapi_extra=body_of("material", "by"))
def forget(at: In, sent: Sent) -> Response:
    """Go by the table again for a material."""
    sent.only(("material", "by"))
    forgotten = forget_force(at.records.shop, sent.text("material"), by=sent.by())
    return JSONResponse({"forgotten": own_plain(forgotten)})
