"""The cuts that are left: counted alike on every page, and the land of a trial cut as the tool will be set for it."""

from __future__ import annotations

import re
from typing import cast

import pytest

from borewright.quantity.length import parse_length
from borewright.web.cuts import NO_CUTS, Cuts, count_words, cuts_of
from borewright.web.passes import passes_view
from tests.unit.web.bores import CELL, PINION, TRUNNION, Sized


@pytest.mark.parametrize(
    ("passes", "trials", "words"),
    [(1, 0, "1 pass"), (2, 0, "2 passes"), (2, 1, "2 passes + 1 trial cut"), (1, 2, "1 pass + 2 trial cuts")],
)
def test_passes_and_trial_cuts_are_counted_apart(passes: int, trials: int, words: str) -> None:
    assert count_words(passes, trials) == words
    assert Cuts(passes, trials).last is (words == "1 pass")


@pytest.mark.parametrize("number", [PINION, CELL, TRUNNION])
def test_size_and_passes_say_the_same_count_all_the_way(number: int) -> None:
    sized, told = Sized(number), set[str]()
    for _ in range(24):
        advice = sized.bore.advise()
        if advice["action"] in {"release", "quarantine"}:
            break
        cuts = cuts_of(advice)
        if cuts is not NO_CUTS:
            assert cuts.passes + cuts.trials == advice["passes_left"]
            best = passes_view("b-1", sized.bore, sized.history()).advised
            assert best is not None
            assert best.count == cuts.words
            told.add(cuts.words)
        sized.step()
    assert len(told) > 1


def test_nothing_is_counted_where_nothing_is_cut() -> None:
    sized = Sized(PINION).until("measure")
    assert cuts_of(sized.bore.advise()) is NO_CUTS


def test_the_land_is_that_of_the_tool_as_it_will_be_set() -> None:
    sized = Sized(TRUNNION).until("move_and_cut")
    advice = sized.bore.advise()
    cuts = cuts_of(advice)
    assert cuts.trial_next
    assert cuts.land_mm is not None
    size, low, high = cuts.land_mm
    assert low < size < high
    assert parse_length(cuts.land[0]).mm == pytest.approx(size, abs=0.501e-4 * 25.4)
    change = parse_length(str(cast("dict[str, str]", advice["move"])["change"]), signed=True).mm
    tool = sized.bore.belief.tool_mm + change
    assert size < tool, "the push-off stands between them"
    drawn = re.search(r"Pass 1 aims at ([\d.]+),", sized.view().strips[0][1])
    assert drawn is not None
    assert float(drawn[1]) * 25.4 == pytest.approx(size, abs=0.5e-5 * 25.4)
