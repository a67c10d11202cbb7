"""The same acts on the same seed give the same machine bit for bit, whatever way it comes about."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from borewright.rehearsal.acts import Act
from borewright.rehearsal.kinds import KINDS, Kind
from borewright.rehearsal.truth import Truth

ANY_ACT = st.one_of(
    st.just(("seat", {})),
    st.just(("wait", {})),
    st.just(("set_gauge", {})),
    st.just(("change_edge", {})),
    st.sampled_from([("cut", {"depth": "full"}), ("cut", {"depth": "trial"})]),
    st.sampled_from([("part_celsius", {"when": "reading"}), ("read", {"direction_deg": 90.0}), ("check_hole", {})]),
    st.tuples(st.just("move"), st.fixed_dictionaries({"lines": st.integers(-40, 60), "take_up": st.booleans()})),
    st.tuples(st.just("set_tool"), st.floats(-0.5, 0.0).map(lambda below: {"below": below})),
)


def do(truth: Truth, name: str, given: dict[str, Any]) -> object:
    """Do an act on any kind of machine, moves in its own terms."""
    step = truth.told().step_mm
    if name == "move" and truth.kind.adjuster != "dial":
        given = {"change_mm": given["lines"] * step, "take_up": given["take_up"]}
    if name == "set_tool":
        given = {"diameter_mm": truth.kind.size_mm + given["below"]}
    return getattr(truth, name)(**given)


def state(truth: Truth) -> dict[str, object]:
    """Return everything a machine remembers."""
    held = dict(vars(truth))
    chance = held.pop("_chance")
    return held | {"seed of chance": chance.seed, "counts": dict(chance._counts)}


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(list(KINDS.values())), st.integers(0, 2**32), st.lists(ANY_ACT, max_size=25))
def test_replayed_acts_give_the_same_machine(kind: Kind, seed: int, acts: list[tuple[str, dict[str, Any]]]) -> None:
    first, second = Truth.draw(kind, seed), Truth.draw(kind, seed)
    begun = [("set_tool", {"below": -0.3}), ("seat", {})]
    for name, arguments in begun + acts:
        if name == "set_tool":
            assert do(first, name, arguments) == do(second, name, arguments)
            first.seat()
            second.seat()
        else:
            assert do(first, name, arguments) == do(second, name, arguments)
    rebuilt = Truth.replay(kind, seed, first.acts)
    assert state(first) == state(second) == state(rebuilt)
    assert first.read() == rebuilt.read()


def test_acts_go_through_text_unharmed() -> None:
    truth = Truth.draw(KINDS["titanium"], 12)
    truth.set_tool(21.7)
    truth.seat()
    truth.cut()
    truth.move(lines=-12.5, take_up=False)
    truth.read(45.0)
    text = json.dumps([[act.name, dict(act.given)] for act in truth.acts])
    rebuilt = Truth.replay(truth.kind, 12, [Act(name, given) for name, given in json.loads(text)])
    assert state(rebuilt) == state(truth)


@pytest.mark.parametrize("changed", ["seed", "tool_seed", "kind"])
def test_another_seed_or_kind_is_another_machine(changed: str) -> None:
    machines = [
        Truth.draw(KINDS["titanium"], 5, 5),
        Truth.draw(
            KINDS["slender bar, alloy steel" if changed == "kind" else "titanium"],
            6 if changed == "seed" else 5,
            6 if changed == "tool_seed" else 5,
        ),
    ]
    for truth in machines:
        truth.set_tool(truth.kind.size_mm - 0.2)
        truth.seat()
        truth.cut()
    assert machines[0].hole_mm - machines[0].kind.size_mm != machines[1].hole_mm - machines[1].kind.size_mm


def test_bores_of_one_tool_share_the_tool_alone() -> None:
    one, other = (Truth.draw(KINDS["titanium"], seed, tool_seed=77) for seed in (1, 2))
    assert one.tool == other.tool
    assert one.bore != other.bore
    assert one.tool == Truth.draw(KINDS["titanium"], 77).tool


def test_how_often_one_measures_does_not_change_the_next_pass() -> None:
    kind = KINDS["middle head, carbon steel"]
    often, seldom = Truth.draw(kind, 9), Truth.draw(kind, 9)
    for truth in (often, seldom):
        truth.set_tool(39.7)
        truth.seat()
        truth.cut()
    for _ in range(7):
        often.read()
    seldom.read()
    for truth in (often, seldom):
        truth.move(lines=60)
        truth.cut()
    assert often.hole_mm == seldom.hole_mm
    assert often.celsius == seldom.celsius


def test_looking_and_being_told_change_nothing() -> None:
    looked, left = (Truth.draw(KINDS["warm aluminium"], 3) for _ in range(2))
    for truth in (looked, left):
        truth.set_tool(119.6)
        truth.seat()
        truth.cut()
    assert looked.verdict() == "under"
    assert looked.smallest_mm <= looked.hole_mm <= looked.largest_mm
    assert looked.told() == left.told()
    assert looked.celsius
    assert looked.gauge_bias_mm
    assert state(looked) == state(left)
    assert looked.read() == left.read()
