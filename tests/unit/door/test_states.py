"""The state the work is in, after each thing that can happen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

import pytest

from borewright import Bore
from borewright.sizing.belief import Stage
from tests.unit.door.sessions import FULL, LEAST, OFFSET, SESSIONS, play, played

SET: tuple[Mapping[str, object], ...] = ({"event": "set", "diameter": "26.780"}, {"event": "seated"})
READ: Mapping[str, object] = {"event": "read", "as_read": "26.766"}
STORIES: tuple[tuple[Mapping[str, object], tuple[tuple[Mapping[str, object], str], ...]], ...] = (
    (LEAST, (({"event": "hole_checked", "as_read": "26.511"}, "to set"), (SET[0], "set"), (SET[1], "set"))),
    ({**LEAST, "tool": {"set": "26.780"}}, (({"event": "noted", "text": "x"}, "set"), ({"event": "seated"}, "set"))),
    (OFFSET, (({"event": "moved", "change": "0.3"}, "moved, not cut"), ({"event": "passed"}, "cut, not measured"))),
    (
        FULL,
        (
            *((entry, "set") for entry in SET),
            ({"event": "passed", "depth": "trial"}, "cut, not measured"),
            (READ, "measured"),
            ({"event": "passed"}, "cut, not measured"),
            ({"event": "temperature", "of": "part", "celsius": "22"}, "cut, not measured"),
            (READ, "measured"),
            ({"event": "set_on", "size": "27"}, "measured"),
            ({"event": "moved", "lines": "10"}, "moved, not cut"),
            ({"event": "corrected", "stream": "tool", "event_number": 4}, "measured"),
            ({"event": "quarantined", "reason": "x"}, "quarantined"),
            ({"event": "noted", "text": "x"}, "quarantined"),
            ({"event": "reopened", "reason": "x"}, "measured"),
        ),
    ),
)


@pytest.mark.parametrize(("start", "story"), STORIES)
def test_each_entry_leaves_the_work_in_a_state(
    start: Mapping[str, object], story: tuple[tuple[Mapping[str, object], str], ...]
) -> None:
    bore = Bore.start(start)
    for entry, state in story:
        assert bore.record(entry)["state"] == state, entry
        assert bore.advise()["state"] == bore.state == state


def test_every_state_is_reached() -> None:
    reached = {state for _, story in STORIES for _, state in story}
    assert reached | {played(SESSIONS["dial, released"]).state} == set(get_args(Stage))


def test_asking_for_advice_changes_nothing() -> None:
    for asked, bore, answer in play(SESSIONS["dial, released"]):
        if asked == "advise":
            assert bore.advise() == answer
