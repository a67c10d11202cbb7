"""The API: each act is one function of the shop, each answer plain values; nothing of the trade is decided here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, cast, get_args

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, Response, StreamingResponse

from borewright.callout import parse_callout
from borewright.errors import EntryError, RecordUnavailableError
from borewright.quantity.length import Unit
from borewright.record.stream import StreamKind
from borewright.record.told import said_back
from borewright.shop import acts
from borewright.shop.kept import in_spindle
from borewright.shop.learned import lessons
from borewright.shop.stands import Stand
from borewright.shop.touched import marks_said
from borewright.sizing.wanted import wanted_by
from borewright.web.answers import API
from borewright.web.asked import Asked, Sent, body_of, unit_or_none
from borewright.web.doubt import doubts_said
from borewright.web.narrow import narrow_for, narrow_for_shop, shop_rule
from borewright.web.office import In, Office
from borewright.web.soaking import soak_of
from borewright.web.views import limits_view

ROUTES: Final = APIRouter(prefix=API)

_SIGNED: Final = frozenset({"released", "quarantined", "reopened", "corrected"})
_TYPED: Final = {
    "as_read": "read",
    "lines": "moved",
    "change": "moved",
    "shown_locked": "moved",
    "diameter": "set",
    "celsius": "temperature",
}
"""What a typed field is entered as, where the client does not say."""


@ROUTES.get("/bores")
def list_bores(at: In) -> Response:
    """The bores on record."""
    return JSONResponse({"bores": [_listed(bore, stand) for bore, stand in at.records.stands()]})


@ROUTES.post("/bores", openapi_extra=body_of("key", "given", "by"))
def open_bore(at: In, sent: Sent) -> Response:
    """Open a bore."""
    sent.only(("key", "given", "by"))
    opened = acts.open_bore(at.records.shop, sent.group("given"), key=sent.text("key"), by=sent.by())
    at.live.stir()
    return JSONResponse({**opened, "numbers": at.records.stand(str(opened["bore"])).numbers})


@ROUTES.get("/bores/{bore}")
def look(at: In, bore: str, show: str | None = None) -> Response:
    """How a bore stands and what to do next."""
    unit = unit_or_none(show, "show")
    stand = at.records.stand(bore)
    wanted = wanted_by(stand.advice, in_spindle=in_spindle(stand.history))
    soak = soak_of(stand.bore, stand.history, unit or stand.bore.unit)
    return JSONResponse(
        {
            "bore": bore,
            "numbers": stand.numbers,
            "advice": dict(stand.advice_in(unit)),
            "waiting": [] if soak is None else [soak.said, *soak.more],
            "marks": marks_said(at.records.store_of(bore), bore, stand, unit or stand.bore.unit),
            "wanted": {"field": wanted.field, "entry": wanted.entry, "order": wanted.order},
            "html": at.sight.part(bore, stand, unit),
        }
    )


@ROUTES.post(
    "/bores/{bore}/entries",
    openapi_extra=body_of("key", "saw", "entry", "ago", "by", "show"),
)
def enter(at: In, bore: str, sent: Sent) -> Response:
    """Record what happened to a bore, its tool or its gauge."""
    sent.only(("key", "saw", "entry", "ago", "by", "show"))
    key, saw, entry, by, show = sent.text("key"), sent.saw(), sent.group("entry"), sent.by(), sent.show()
    if entry.get("event") in _SIGNED:
        right = "Use release, quarantine, reopen or withdraw of the bore."
        raise EntryError("That is not entered here.", given=entry.get("event"), right=right, where="entry.event")
    # Whoever says what was seen had the advice in view.
    store, when = at.records.store_of(bore), sent.moment()
    recorded = acts.record(store, bore, entry, key=key, saw=saw, at=when, by=by, on_advice=bool(saw))
    return _answered(at, bore, recorded, show)


@ROUTES.post(
    "/bores/{bore}/withdraw",
    openapi_extra=body_of("key", "saw", "stream", "number", "reason", "ago", "by", "show"),
)
def withdraw(at: In, bore: str, sent: Sent) -> Response:
    """Withdraw an event; it stays in the record, marked."""
    sent.only(("key", "saw", "stream", "number", "reason", "ago", "by", "show"))
    stream, show = _stream(sent), sent.show()
    recorded = acts.withdraw(
        at.records.store_of(bore),
        bore,
        stream,
        sent.whole("number"),
        reason=sent.text_or_none("reason"),
        key=sent.text("key"),
        saw=sent.saw(),
        at=sent.moment(),
        by=sent.by(),
    )
    return _answered(at, bore, recorded, show)


@ROUTES.post(
    "/bores/{bore}/release",
    openapi_extra=body_of("key", "saw", "shown", "ago", "by", "show"),
)
def release(at: In, bore: str, sent: Sent) -> Response:
    """Release a bore on the numbers that were in view."""
    sent.only(("key", "saw", "shown", "ago", "by", "show"))
    show = sent.show()
    recorded = acts.release(
        at.records.store_of(bore),
        bore,
        sent.group("shown"),
        by=_signature(sent),
        key=sent.text("key"),
        saw=sent.saw(),
        at=sent.moment(),
    )
    return _answered(at, bore, recorded, show)


@ROUTES.post(
    "/bores/{bore}/quarantine",
    openapi_extra=body_of("key", "saw", "reason", "ago", "by", "show"),
)
def quarantine(at: In, bore: str, sent: Sent) -> Response:
    """Set a bore aside as not shown good."""
    sent.only(("key", "saw", "reason", "ago", "by", "show"))
    store, show = at.records.store_of(bore), sent.show()
    recorded = acts.quarantine(
        store,
        bore,
        sent.text("reason"),
        by=_signature(sent),
        key=sent.text("key"),
        saw=sent.saw(),
        at=sent.moment(),
    )
    return _answered(at, bore, recorded, show)


@ROUTES.post(
    "/bores/{bore}/reopen",
    openapi_extra=body_of("key", "saw", "reason", "ago", "by", "show"),
)
def reopen(at: In, bore: str, sent: Sent) -> Response:
    """Take up a bore again that was released or set aside."""
    sent.only(("key", "saw", "reason", "ago", "by", "show"))
    store, show = at.records.store_of(bore), sent.show()
    recorded = acts.reopen(
        store, bore, sent.text("reason"), by=sent.by(), key=sent.text("key"), saw=sent.saw(), at=sent.moment()
    )
    return _answered(at, bore, recorded, show)


@ROUTES.post(
    "/bores/{bore}/understand",
    openapi_extra=body_of("field", "text", "event", "filled", "show"),
)
def understand(at: In, bore: str, sent: Sent) -> Response:
    """Say how a typed value would be understood; nothing is recorded."""
    sent.only(("field", "text", "event", "filled", "show"))
    field = sent.text("field")
    event = sent.text_or_none("event") or _TYPED.get(field)
    if event is None:
        raise EntryError("It cannot be told what that is entered as.", given=field, right='Send "event" too.')
    filled = sent.group("filled") if sent.fields.get("filled") is not None else {}
    stand = at.records.stand(bore)
    trial = stand.told()
    found = trial.record({**filled, "event": event, field: sent.text("text")})
    understood = cast("Mapping[str, object]", found["understood"])
    said = {"text": understood.get(field), "said": said_back(event, understood), "event": event}
    warnings = doubts_said(stand.bore, trial, found)
    return JSONResponse({**said, "warnings": warnings, "state": found["state"]})


@ROUTES.post(
    "/bores/{bore}/proof",
    openapi_extra=body_of("step", "show", lists=("shown",)),
)
def proof(at: In, bore: str, sent: Sent) -> Response:
    """Say what comes next in a proof of the adjuster and, once it is finished, what was found; nothing is recorded."""
    sent.only(("step", "shown", "show"))
    readings = {name: sent.fields.get(name) for name in ("step", "shown")}
    plain, html = at.sight.proof(bore, at.records.stand(bore), readings, sent.show())
    return JSONResponse({**plain, "html": html})


@ROUTES.get("/callout")
def callout(
    at: In,
    text: str = "",
    unit: str | None = None,
    step: str = "",
    scatter: str = "",
    bias: str = "",
    rule: str = "",
) -> Response:
    """The limits that a callout means, and whether a gauge of such a step could show a bore to be in."""
    found, by = parse_callout(text, unit_or_none(unit, "unit")), shop_rule(at.records.shop, rule)
    gauge = {"step": step, "scatter": scatter, "bias": bias}
    narrow = narrow_for(found, gauge, by) if step else narrow_for_shop(at.records.shop, found, by)
    view = limits_view(found, rule=by, narrow=narrow)
    pictures = {name: str(picture) for name, picture in view.pictures}
    html = at.pages.render("limits.html", {"view": view})
    return JSONResponse({**found.plain(), "narrow": list(narrow), "pictures": pictures, "html": html})


@ROUTES.post(
    "/rehearsals",
    openapi_extra=body_of("key", "kind", "seed", "by"),
)
def rehearse(at: In, sent: Sent) -> Response:
    """Open a bore on a simulated machine."""
    sent.only(("key", "kind", "seed", "by"))
    opened = at.records.begin_rehearsal(
        sent.fields.get("kind"), sent.fields.get("seed"), key=sent.text("key"), by=sent.by()
    )
    at.live.stir()
    return JSONResponse({**opened, "numbers": at.records.stand(str(opened["bore"])).numbers})


@ROUTES.post(
    "/rehearsals/{bore}/machine",
    openapi_extra=body_of("action"),
)
def machine(at: In, bore: str, sent: Sent) -> Response:
    """Do something on the simulated machine and return what it shows; nothing is recorded."""
    sent.only(("action",))
    action = sent.fields.get("action")
    entry: dict[str, object] = {"event": action} if isinstance(action, str) else dict(sent.group("action"))
    trial = at.records.stand(bore).told()
    shown = at.records.machine(bore).carry_out(entry)
    understood = cast("Mapping[str, object]", trial.record(shown)["understood"])
    return JSONResponse({"entries": [shown], "said": [said_back(str(shown["event"]), understood)]})


@ROUTES.get("/learned")
def learned(at: In, show: str | None = None) -> Response:
    """What finished bores taught, tool by tool, and what each rests on."""
    unit = unit_or_none(show, "show") or "mm"
    return JSONResponse({"lessons": [lesson.said(unit) for lesson in lessons(at.records.shop)]})


@ROUTES.get("/live")
async def listen(at: In, bore: str | None = None) -> Response:
    """Word of a bore that changes, or of every one, as server-sent events."""
    if at.live.full:
        raise RecordUnavailableError("Too many pages are open on this server.", right="Close some.")
    first = {bore: (await run_in_threadpool(at.records.stand, bore)).numbers} if bore else {}
    return StreamingResponse(at.live.stream(first, only=bore), media_type="text/event-stream")


def _answered(at: Office, bore: str, recorded: Mapping[str, object], show: Unit | None) -> Response:
    at.live.stir()
    stand = at.records.stand(bore)
    answer = {"bore": bore, "recorded": dict(recorded), "numbers": stand.numbers}
    return JSONResponse({**answer, "html": at.sight.part(bore, stand, show)})


def _listed(bore: str, stand: Stand) -> dict[str, object]:
    given = stand.bore.opening.given
    return {
        "bore": bore,
        "name": given.name,
        "callout": given.callout,
        "state": stand.bore.state,
        "say": stand.advice["say"],
        "numbers": stand.numbers,
    }


def _signature(sent: Asked) -> str:
    by = sent.by()
    if by is None:
        raise EntryError("Nobody signs.", right="Give the name of who does.", where="by")
    return by


def _stream(sent: Asked) -> StreamKind:
    given = sent.text("stream")
    for kind in get_args(StreamKind):
        if given == kind:
            return cast("StreamKind", kind)
    raise EntryError("There is no stream of that kind.", given=given, right="Use bore, tool or gauge.", where="stream")
