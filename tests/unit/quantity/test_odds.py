"""Odds in words."""

from __future__ import annotations

from borewright.quantity.odds import say_at_least, say_odds


def test_the_odds_never_show_nothing_or_certainty() -> None:
    assert say_odds(0) == "<0.1 %"
    assert say_odds(1) == ">99.9 %"
    assert say_odds(0.004) == "0.4 %"
    assert say_odds(0.25) == "25 %"
    assert say_odds(0.993) == "99.3 %"


def test_what_falls_short_is_never_said_to_reach() -> None:
    assert say_odds(0.9499) == "95 %"
    assert say_at_least(0.9499) == "94.9 %"
    assert say_at_least(0.95) == "95.0 %"
    assert say_at_least(0.9999) == ">99.9 %"
    assert say_at_least(0) == "<0.1 %"
