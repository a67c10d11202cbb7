"""The entry that an advice waits for: one for every action, filled as advised, whole where nothing must be seen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

import pytest

from borewright.sizing.choice import Action
from borewright.sizing.wanted import Wanted, acts_on, wanted_by

OFFERED: tuple[tuple[Mapping[str, object], Wanted], ...] = (
    (
        {"action": "set", "set": {"diameter": "46.229 mm"}},
        Wanted("set", "diameter", aim="46.229 mm"),
    ),
    ({"action": "move_and_cut", "move": {"lines": "+67"}}, Wanted("moved", "lines", {"lines": "+67"})),
    (
        {"action": "move_and_cut", "move": {"lines": "-3", "back_lines": 20}},
        Wanted("moved", "lines", {"lines": "-3", "take_up": True}),
    ),
    (
        {"action": "move_and_cut", "move": {"unlocked": "+0.120 mm", "locked": "+0.121 mm"}},
        Wanted("moved", "shown_locked", {"shown_unlocked": "+0.120 mm", "shown_locked": "+0.121 mm"}),
    ),
    (
        {"action": "move_and_cut", "move": {"change": "+0.121 mm", "locked": "+0.121 mm"}},
        Wanted("moved", "change", {"change": "+0.121 mm"}),
    ),
    ({"action": "cut"}, Wanted("passed", "", {"depth": "full"})),
    ({"action": "cut", "cut": {"depth": "trial"}}, Wanted("passed", "", {"depth": "trial"})),
    ({"action": "check_hole"}, Wanted("hole_checked", "as_read")),
    ({"action": "measure", "say": "Measure the bore."}, Wanted("read", "as_read")),
    ({"action": "measure", "measure": {"state": "free"}}, Wanted("unclamped")),
    (
        {"action": "measure", "say": "Take the part's temperature."},
        Wanted("temperature", "celsius", {"of": "part", "when": "now"}),
    ),
    ({"action": "wait", "wait": {"minutes": "60"}}, Wanted("waited", "minutes", {"minutes": "60"})),
    ({"action": "prove"}, Wanted("proved", "line")),
    ({"action": "release"}, Wanted("released")),
    ({"action": "quarantine"}, Wanted("quarantined")),
    ({"action": "none"}, Wanted("")),
)


@pytest.mark.parametrize(("advice", "wanted"), OFFERED, ids=lambda given: str(given)[:60])
def test_an_advice_waits_for_one_entry(advice: Mapping[str, object], wanted: Wanted) -> None:
    assert wanted_by(advice, in_spindle=True) == wanted


def test_what_was_advised_is_never_taken_for_what_was_measured() -> None:
    wanted = wanted_by({"action": "set", "set": {"diameter": "46.229 mm"}}, in_spindle=False)
    assert wanted.entry == {"event": "set"}
    assert not wanted.whole
    assert wanted.order == {"event": "set", "diameter": "46.229 mm"}


def test_every_action_waits_for_something_of_its_own() -> None:
    assert {str(advice["action"]) for advice, _ in OFFERED} == set(get_args(Action))


@pytest.mark.parametrize("action", ["cut", "move_and_cut"])
def test_a_tool_that_was_set_is_put_in_the_spindle_before_it_cuts(action: str) -> None:
    assert wanted_by({"action": action, "move": {"lines": "+67"}}, in_spindle=False) == Wanted("seated")


def test_what_must_be_seen_first_is_not_whole() -> None:
    whole = {wanted.event for _, wanted in OFFERED if wanted.whole}
    assert whole == {"moved", "passed", "unclamped", "waited", "released", "quarantined"}


@pytest.mark.parametrize(
    ("advice", "entry", "kept"),
    [
        ({"action": "set", "set": {"diameter": "46.229 mm"}}, {"event": "set", "diameter": "46.231 mm"}, True),
        ({"action": "move_and_cut", "move": {"lines": "+67"}}, {"event": "moved", "lines": "+66"}, True),
        ({"action": "move_and_cut", "move": {"lines": "+67"}}, {"event": "read", "as_read": "46.5 mm"}, False),
        ({"action": "measure", "say": "Measure."}, {"event": "moved", "lines": "+1"}, False),
        ({"action": "measure", "say": "Measure."}, {"event": "read", "as_read": "46.5 mm"}, False),
        ({"action": "cut"}, {"event": "passed", "depth": "full"}, False),
    ],
)
def test_only_what_sets_or_moves_as_asked_acts_on_an_advice(
    advice: Mapping[str, object], entry: Mapping[str, object], *, kept: bool
) -> None:
    assert acts_on(advice, entry, in_spindle=True) is kept
