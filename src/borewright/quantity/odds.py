"""Odds as they are said: never nothing, never all."""

from __future__ import annotations

from math import floor
from typing import cast


def say_odds(odds: object) -> str:
    """Say odds in hundredths so that little is never shown as nothing, nor much as all.

    Args:
        odds: 0 to 1.

    Returns:
        Such as ``0.4 %``, ``97 %``, ``<0.1 %`` or ``>99.9 %``.
    """
    share = 100 * float(cast("float", odds))
    if share < 0.1:
        return "<0.1 %"
    if share > 99.9:
        return ">99.9 %"
    return f"{share:.1f} %" if share < 10 or share > 99 else f"{share:.0f} %"


def say_at_least(odds: object) -> str:
    """Say how sure something is, rounded down, so that what falls short is never said to reach.

    Args:
        odds: 0 to 1.

    Returns:
        Such as ``94.9 %`` for 0.94998, ``>99.9 %`` or ``<0.1 %``.
    """
    share = 100 * float(cast("float", odds))
    if not 0.1 <= share <= 99.9:
        return say_odds(odds)
    return f"{floor(round(10 * share, 6)) / 10:.1f} %"
