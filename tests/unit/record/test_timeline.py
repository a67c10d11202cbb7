"""One order over three streams: what a bore's event names as taken in comes before it, the rest comes last."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from borewright.record.timeline import timeline
from tests.unit.record.fixtures import ENTRIES
from tests.unit.record.journal import held

TOOL = held("tool", *[{"event": "noted", "text": f"tool {number}"} for number in range(1, 7)])
GAUGE = held("gauge", *[{"event": "noted", "text": f"gauge {number}"} for number in range(1, 5)])


def ref(**numbers: int) -> dict[str, object]:
    return {stream: {"id": f"{stream}-1", "number": number} for stream, number in numbers.items()}


def order(*bore: Mapping[str, object], tool: Any = TOOL, gauge: Any = GAUGE) -> list[str]:  # noqa: ANN401
    merged = timeline(held("bore", *bore), {"tool": tool, "gauge": gauge})
    return [f"{event.stream.kind[0]}{event.number}" for event in merged]


def test_what_an_event_names_as_taken_in_comes_before_it() -> None:
    passed = {"event": "passed", **ref(tool=2, gauge=0)}
    read = {"event": "read", "as_read": "27", **ref(tool=3, gauge=1)}
    assert order(passed, read, passed | ref(tool=5, gauge=1)) == [
        *("t1", "t2", "b1"),
        *("t3", "g1", "b2"),
        *("t4", "t5", "b3"),
        *("t6", "g2", "g3", "g4"),
    ]


def test_the_opening_comes_first_whatever_it_names() -> None:
    opened = {**ENTRIES["bore", "opened"], **ref(tool=4, gauge=2)}
    assert order(opened, {"event": "passed", **ref(tool=4, gauge=0)})[:6] == ["b1", "t1", "t2", "t3", "t4", "b2"]


def test_events_that_name_nothing_stay_where_they_are() -> None:
    assert order({"event": "clamped"}, {"event": "noted", "text": "x"}, tool=(), gauge=()) == ["b1", "b2"]
    assert order(tool=TOOL[:2], gauge=()) == ["t1", "t2"]


def test_what_was_withdrawn_leaves_no_gap() -> None:
    without = tuple(event for event in TOOL if event.number != 2)
    passed = {"event": "passed", **ref(tool=3, gauge=0)}
    assert order(passed, tool=without, gauge=()) == ["t1", "t3", "b1", "t4", "t5", "t6"]


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), max_size=8))
def test_every_event_comes_once_and_each_stream_keeps_its_order(numbers: list[tuple[int, int]]) -> None:
    bore = [{"event": "passed", **ref(tool=tool, gauge=gauge)} for tool, gauge in numbers]
    merged = order(*bore)
    for stream, count in (("b", len(bore)), ("t", len(TOOL)), ("g", len(GAUGE))):
        assert [name for name in merged if name[0] == stream] == [f"{stream}{n}" for n in range(1, count + 1)]
    for place, (tool, gauge) in enumerate(numbers, 1):
        before = merged[: merged.index(f"b{place}")]
        assert sum(name[0] == "t" for name in before) >= min(tool, len(TOOL))
        assert sum(name[0] == "g" for name in before) >= min(gauge, len(GAUGE))
