"""Odds in words."""

from __future__ import annotations

from borewright.quantity.odds import say_at_least, say_chance, say_odds


def test_the_odds_never_show_nothing_or_certainty() -> None:
    assert say_odds(0) == "<0.1 %"
    assert say_odds(1) == ">99.9 %"
    assert say_odds(0.004) == "0.4 %"
    assert say_odds(0.25) == "25 %"
    assert say_odds(0.993) == "99.3 %"


def test_a_chance_is_one_in_so_many_and_never_none() -> None:
    assert say_chance(0) == "less than 1 in 10,000"
    assert say_chance(0.00031) == "1 in 3,000"
    assert say_chance(0.024) == "1 in 42"
    assert say_chance(0.125) == "1 in 8"
    assert say_chance(0.4) == "40 %"


def test_what_falls_short_is_never_said_to_reach() -> None:
    assert say_odds(0.9499) == "95 %"
    assert say_at_least(0.9499) == "94.9 %"
    assert say_at_least(0.95) == "95.0 %"
    assert say_at_least(0.9999) == ">99.9 %"
    assert say_at_least(0) == "<0.1 %"
