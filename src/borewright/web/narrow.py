"""Which gauges a tolerance is too narrow for: the one that a bore would be started with, and those on record."""

from __future__ import annotations

from collections.abc import Mapping

from borewright.callout import Callout
from borewright.gauging.conformity import Rule
from borewright.record.payloads.opened import RuleFacts
from borewright.shop.gauges import list_gauges, show_gauge
from borewright.shop.settings import rule_decided
from borewright.shop.store import Store
from borewright.sizing.gauge_fit import gauge_reach
from borewright.sizing.opening import rule_of


def shop_rule(store: Store, named: str = "") -> Rule:
    """Return the rule that a bore would be judged by.

    Args:
        store: the record.
        named: the rule's name where the start gives one; else the shop's holds, or proof where it has not decided.

    Returns:
        The rule.
    """
    if named in {"proof", "simple", "guarded"}:
        return rule_of(RuleFacts(name=named))
    return rule_of(rule_decided(store) or RuleFacts(name="proof"))


def narrow_for(callout: Callout, gauge: Mapping[str, str], rule: Rule) -> tuple[str, ...]:
    """Say that a tolerance is too narrow for the gauge that a bore would be started with.

    Args:
        callout: the callout.
        gauge: its ``step``, and ``scatter`` and ``bias`` where they are known, as typed.
        rule: the rule.

    Returns:
        A sentence, or none: the gauge may show it, or its step is not said yet.

    Raises:
        EntryError: one of them cannot be understood.
    """
    if not gauge.get("step"):
        return ()
    told = {name: text for name, text in gauge.items() if text}
    given = {"callout": callout.written, "unit": callout.unit, "gauge": told}
    said = gauge_reach(given, rule).said(callout.unit)
    return (said,) if said else ()


def narrow_for_shop(store: Store, callout: Callout, rule: Rule) -> tuple[str, ...]:
    """Say which gauges on record a tolerance is too narrow for.

    Args:
        store: the record.
        callout: the callout.
        rule: the rule.

    Returns:
        A sentence for each such gauge, by its name; those that nobody described are passed over.
    """
    found = []
    for line in list_gauges(store):
        known = show_gauge(store, line.gauge)
        step = None if known.described is None else known.described.step
        if line.is_master or step is None:
            continue
        scatter = "" if known.studied is None else known.studied.scatter.text
        found += [
            f"{line.gauge}: {words}" for words in narrow_for(callout, {"step": step.text, "scatter": scatter}, rule)
        ]
    return tuple(found)
