"""What the shop decides once."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.shop import acts, bores
from borewright.shop.settings import decide_rule, rule_decided
from borewright.shop.store import Store
from borewright.sizing.opening import rule_of
from tests.unit.shop.test_acts import GIVEN


def text_of(store: Store, bore: object) -> str:
    return rule_of(bores.view(store, str(bore)).opening.rule).text


def test_nothing_is_decided_at_first_and_the_latest_decision_holds(store: Store) -> None:
    assert rule_decided(store) is None
    decide_rule(store, {"name": "simple", "ratio": "10"}, by="I. Thorne")
    decide_rule(store, {"name": "proof", "confidence": "0.99"}, by="I. Thorne")
    found = rule_decided(store)
    assert found is not None
    assert rule_of(found).text == "proof at 99 %"


def test_a_bore_takes_the_shops_rule_only_where_it_names_none_and_keeps_it(store: Store) -> None:
    before = acts.open_bore(store, GIVEN)["bore"]
    decide_rule(store, {"name": "simple", "ratio": 10})
    after = acts.open_bore(store, GIVEN, bore="after")["bore"]
    named = acts.open_bore(store, {**GIVEN, "rule": {"name": "proof", "confidence": "0.9"}}, bore="named")["bore"]
    assert text_of(store, before) == "proof at 95 %"
    assert text_of(store, after) == "simple acceptance, measurement capable 10:1"
    assert text_of(store, named) == "proof at 90 %"


def test_an_opening_sent_again_after_a_decision_is_the_same(store: Store) -> None:
    first = acts.open_bore(store, GIVEN, key="k", at="2027-03-01T06:00:00Z")
    decide_rule(store, {"name": "simple"})
    assert acts.open_bore(store, GIVEN, key="k", at="2027-03-01T06:00:00Z") == first


@pytest.mark.parametrize(
    ("rule", "by", "where"),
    [
        ({"name": "guess"}, None, "rule.name"),
        ({}, None, "rule.name"),
        ({"name": "proof", "confidence": "0.3"}, None, "rule.confidence"),
        ({"name": "proof"}, "n" * 81, "by"),
    ],
)
def test_what_is_no_rule_is_refused(store: Store, rule: dict[str, Any], by: str | None, where: str) -> None:
    with pytest.raises(EntryError) as caught:
        decide_rule(store, rule, by=by)
    assert caught.value.where == where
    assert rule_decided(store) is None
