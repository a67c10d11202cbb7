"""What the gauge shows and what is written down: scatter, the bias of its setting, and the blunders of reading it."""

from __future__ import annotations

from dataclasses import dataclass

from numpy.random import Generator

TURN = 200  # lines in one turn of the gauge's needle
BLUNDERS = ("a turn", "ten lines", "one digit", "sign")


@dataclass(frozen=True, slots=True)
class Entry:
    """What was written down.

    Args:
        counts: the reading in steps of the gauge.
        blunder: which of ``BLUNDERS`` was made, or empty.
    """

    counts: int
    blunder: str = ""


def written_down(counts: int, master_counts: int, misread: float, generator: Generator) -> Entry:
    """Return what is written down for what the gauge shows.

    Args:
        counts: what it shows, in its steps.
        master_counts: the size it was set on, about which its needle swings, in its steps.
        misread: share of readings with a blunder.
        generator: chances of this reading; as many are drawn with a blunder as without.

    Returns:
        The entry, right or blundered.
    """
    happens, which, sense, place, digit = generator.random(5).tolist()
    if happens >= misread:
        return Entry(counts)
    blunder = BLUNDERS[int(which * len(BLUNDERS))]
    sign = 1 if sense < 0.5 else -1
    if blunder == "a turn":
        return Entry(counts + sign * TURN, blunder)
    if blunder == "ten lines":
        return Entry(counts + sign * 10, blunder)
    if blunder == "sign":
        return Entry(2 * master_counts - counts, blunder)
    worth = 10 ** int(place * 4)
    right = counts // worth % 10
    wrong = (right + 1 + int(digit * 9)) % 10
    return Entry(counts + (wrong - right) * worth, blunder)
