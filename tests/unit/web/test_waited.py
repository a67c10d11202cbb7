"""What an entry that waited on a device needs of the server: when it happened, and the numbers after it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tests.unit.web.visitor import Visitor

SET = {"event": "set", "diameter": "33.300 mm"}


def moment(visitor: Visitor, bore: str) -> datetime:
    records = visitor.client.app.state.office.records  # type: ignore[attr-defined]  # the application's own
    return datetime.fromisoformat(records.stand(bore).history[-1].at)


def test_it_happened_when_it_was_entered_on_the_device(visitor: Visitor) -> None:
    bore = visitor.open()
    visitor.done(f"/bores/{bore}/entries", {"saw": None, "entry": SET, "ago": 3600})
    waited = datetime.now(UTC) - moment(visitor, bore)
    assert timedelta(hours=1) <= waited < timedelta(hours=1, minutes=5)


def test_how_long_it_waited_does_not_make_it_another_entry(visitor: Visitor) -> None:
    bore = visitor.open()
    body = {"key": "one", "saw": visitor.look(bore)["numbers"], "entry": SET}
    first = visitor.post(f"/bores/{bore}/entries", body).json()
    again = visitor.post(f"/bores/{bore}/entries", {**body, "ago": 90}).json()
    assert again["recorded"] == first["recorded"]


@pytest.mark.parametrize("ago", [-1, 10**9, "90", 1.5, True])
def test_a_wait_that_cannot_be_is_refused(visitor: Visitor, ago: object) -> None:
    bore = visitor.open()
    answer = visitor.post(f"/bores/{bore}/entries", {"key": "one", "saw": None, "entry": SET, "ago": ago})
    assert (answer.status_code, answer.json()["where"]) == (422, "ago")


def test_the_answer_holds_the_numbers_right_after_the_entry_whatever_came_since(visitor: Visitor) -> None:
    bore = visitor.open()
    saw = visitor.look(bore)["numbers"]
    body = {"key": "one", "saw": saw, "entry": SET}
    visitor.post(f"/bores/{bore}/entries", body)
    visitor.enter(bore, {"event": "seated"})
    again = visitor.post(f"/bores/{bore}/entries", body).json()
    assert again["recorded"]["after"] == {"bore": saw["bore"] + 1, "tool": saw["tool"] + 1, "gauge": saw["gauge"]}
    assert again["numbers"]["tool"] == saw["tool"] + 2
