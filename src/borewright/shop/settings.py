"""What the shop decides once, for wherever order and drawing are silent."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Final

from sqlalchemy import bindparam, insert, select

from borewright.errors import EntryError
from borewright.record.entry import LONGEST_NAME
from borewright.record.fields import payload_plain, read_payload
from borewright.record.payloads.opened import RuleFacts
from borewright.shop.schema import SETTINGS
from borewright.shop.store import Store

RULE: Final = "rule"
"""The name under which the decision rule is kept."""

_DECIDE: Final = insert(SETTINGS)
_LATEST: Final = (
    select(SETTINGS.c.value).where(SETTINGS.c.name == bindparam("asked")).order_by(SETTINGS.c.position.desc()).limit(1)
)


def decide_rule(store: Store, rule: Mapping[str, object], *, by: str | None = None, at: str | None = None) -> RuleFacts:
    """Decide by which rule bores are judged where order and drawing name none; open bores keep theirs.

    Args:
        store: the record.
        rule: ``name``; ``confidence``, ``ratio`` or ``bands``; and ``probe``.
        by: who decides.
        at: when, ISO 8601; now where it is left out.

    Returns:
        The rule as it was understood.

    Raises:
        EntryError: there is no such rule, or the name of who decides is too long.
        RecordUnavailableError: the record cannot be written now.
    """
    facts = read_payload(RuleFacts, rule, None, "rule")
    if by is not None and not 0 < len(by.strip()) <= LONGEST_NAME:
        raise EntryError(
            "That is not a name.", given=by, right=f"Give a name of up to {LONGEST_NAME} letters.", where="by"
        )
    row = {
        "name": RULE,
        "value": json.dumps(payload_plain(facts), ensure_ascii=False, sort_keys=True),
        "decided_at": at or datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z"),
        "decided_by": None if by is None else by.strip(),
    }
    with store.database.writing() as connection:
        connection.execute(_DECIDE, row)
    return facts


def rule_decided(store: Store) -> RuleFacts | None:
    """Return the rule that the shop decided on.

    Args:
        store: the record.

    Returns:
        The rule, or None where it has not decided yet.
    """
    with store.database.reading() as connection:
        found = connection.execute(_LATEST, {"asked": RULE}).scalar()
    return None if found is None else read_payload(RuleFacts, json.loads(found), None, "rule")


def with_rule(store: Store, given: Mapping[str, object]) -> Mapping[str, object]:
    """Fill in the shop's rule where what a bore is started with names none.

    Args:
        store: the record.
        given: what a bore is started with.

    Returns:
        The same, with ``rule`` where the shop has decided on one.
    """
    if given.get("rule") is not None:
        return given
    decided = rule_decided(store)
    return given if decided is None else {**given, "rule": payload_plain(decided)}
