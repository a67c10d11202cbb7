"""Odds in words."""

from __future__ import annotations

from borewright.quantity.odds import say_odds


def test_the_odds_never_show_nothing_or_certainty() -> None:
    assert say_odds(0) == "<0.1 %"
    assert say_odds(1) == ">99.9 %"
    assert say_odds(0.004) == "0.4 %"
    assert say_odds(0.25) == "25 %"
    assert say_odds(0.993) == "99.3 %"
