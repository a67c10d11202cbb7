"""Recorded events said back in the trade's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

Payload = Mapping[str, object]

VERDICTS: Final = {"in": "shown within limits", "out": "out of limits", "not shown": "not shown within limits"}
"""A verdict in words that nobody takes for a unit."""


def _of(field: str, before: str) -> Callable[[Payload], str]:
    return lambda payload: f"{before} {payload.get(field)}"


def _passed(payload: Payload) -> str:
    return "trial cut" if payload.get("depth") == "trial" else "cut through"


def _read(payload: Payload) -> str:
    found = payload.get("place")
    place: Payload = found if isinstance(found, Mapping) else {}
    at = [f"{place['depth']} deep"] if "depth" in place else []
    at += [f"at {place['direction_deg']}°"] if "direction_deg" in place else []
    held = [str(payload["state"])] if payload.get("state") else []
    by = [] if payload.get("probe") is None else ["by the machine's probe" if payload["probe"] else "by its own gauge"]
    return ", ".join([" ".join([f"read {payload.get('as_read')}", *at]), *held, *by])


def _moved(payload: Payload) -> str:
    shown = [
        f"{payload[name]} shown, {words}"
        for name, words in (("shown_unlocked", "tool lock loose"), ("shown_locked", "tool lock tight"))
        if payload.get(name) is not None
    ]
    amount = payload.get("lines") if payload.get("lines") is not None else payload.get("change")
    if amount is None:
        return f"moved: {', '.join(shown)}"
    closed = str(amount).startswith("-")
    lines = " lines" if payload.get("lines") is not None else ""
    said = f"{'closed' if closed else 'opened'} {str(amount).lstrip('+-')}{lines}"
    return ", ".join([said, *shown])


def _temperature(payload: Payload) -> str:
    when = " when it was cut" if payload.get("when") == "cut" else ""
    return f"{payload.get('of')} {payload.get('celsius')}{when}"


def _released(payload: Payload) -> str:
    verdict = VERDICTS.get(str(payload.get("verdict")), payload.get("verdict"))
    return f"released: {verdict}, {payload.get('size')} ± {payload.get('expanded')}, {payload.get('rule')}"


def _corrected(payload: Payload) -> str:
    replacement = payload.get("replacement")
    return (
        f"withdrew {payload.get('event_number')}" if replacement is None else f"replaced {payload.get('event_number')}"
    )


def _set(payload: Payload) -> str:
    return f"set to {payload.get('diameter')}{', tool lock loose' if payload.get('locked') is False else ''}"


_SAID: Final[dict[str, Callable[[Payload], str]]] = {
    "opened": lambda _: "bore opened",
    "hole_checked": _of("as_read", "hole read"),
    "passed": _passed,
    "read": _read,
    "temperature": _temperature,
    "clamped": lambda _: "clamped",
    "unclamped": lambda _: "clamps let go",
    "waited": lambda payload: f"part left to stand for {payload.get('minutes')} minutes",
    "advised": _of("action", "advised:"),
    "released": _released,
    "quarantined": _of("reason", "set aside:"),
    "reopened": _of("reason", "reopened:"),
    "noted": _of("text", "note:"),
    "corrected": _corrected,
    "assembled": lambda _: "tool assembled",
    "set": _set,
    "seated": lambda _: "tool put in the spindle",
    "moved": _moved,
    "edge_changed": lambda _: "insert changed",
    "proved": _of("line", "adjuster proved, a line is"),
    "retired": _of("reason", "tool retired:"),
    "described": lambda payload: f"described as a {payload.get('instrument')}",
    "certified": lambda payload: f"calibrated: {payload.get('size')} ± {payload.get('expanded')}",
    "set_on": lambda payload: f"gauge set on {payload.get('on') or 'ring'} {payload.get('size')}",
    "rechecked": lambda payload: f"gauge showed {payload.get('as_read')} on {payload.get('size')}",
    "studied": _of("scatter", "gauge scatter found"),
}


def said_back(event: str, payload: Payload) -> str:
    """Say an event as a machinist would note it.

    Args:
        event: the kind of event.
        payload: what it carries, plain values.

    Returns:
        Such as ``read 46.491 mm`` or ``opened 9.5 lines``.

    Raises:
        KeyError: there is no such kind of event.
    """
    return _SAID[event](payload)
