"""How rehearsed bores went, against equal passes on the same machine."""

from __future__ import annotations

import pytest

from borewright.rehearsal.acts import Verdict
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.outcome import Ending, Outcome
from borewright.rehearsal.practice import equal_passes
from borewright.rehearsal.scoreboard import OWN, ending_words, practice_words, practised, signed, tally
from borewright.rehearsal.truth import Truth


def test_a_bore_ends_as_it_was_signed() -> None:
    truth = Truth.draw(KINDS["titanium"], 1)
    assert signed(truth, "measured") is None
    released, aside = signed(truth, "released"), signed(truth, "quarantined")
    assert released is not None
    assert aside is not None
    assert (released.policy, released.escaped, aside.ending) == (OWN, True, "quarantined")
    truth.set_tool(22.5)
    truth.seat()
    truth.cut()
    over = signed(truth, "quarantined")
    assert over is not None
    assert (over.ending, over.passes) == ("scrapped", 1)


def test_the_practice_meets_the_same_machine() -> None:
    kind = KINDS["warm aluminium"]
    assert practised(kind, 5) == equal_passes(Truth.draw(kind, 5))


@pytest.mark.parametrize(
    ("ending", "verdict", "words"),
    [
        ("released", "good", "released, good"),
        ("released", "under", "released, under size"),
        ("scrapped", "over", "scrapped, over size"),
        ("quarantined", "good", "set aside, good"),
    ],
)
def test_how_a_bore_ended_is_said(ending: Ending, verdict: Verdict, words: str) -> None:
    done = Outcome("by hand", "titanium", 1, ending, verdict, passes=1, trial_cuts=0, readings=2)
    assert ending_words(done) == words
    assert f"machine: {words}, after 1 pass and 2 readings; cost" in practice_words(done)


def test_several_bores_add_up() -> None:
    good = Outcome("by hand", "titanium", 1, "released", "good", passes=2, trial_cuts=0, readings=5)
    bad = Outcome("by hand", "titanium", 2, "released", "over", passes=3, trial_cuts=0, readings=6)
    sums = tally([good, bad, bad])
    assert (sums.bores, sums.released_good, sums.escaped, sums.lost, sums.passes) == (3, 1, 2, 0, 8)
    assert sums.measurements == 8.5
    assert sums.cost == pytest.approx(2.5 + 2 * 123.6)
