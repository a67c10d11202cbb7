"""The chances of one rehearsed bore, each found again from the seed and how often the act was done before.

An act's numbers depend on nothing but the seed, the act, and its own count: done again in the same order it meets the
same fortune, whatever was done between. Two ways of sizing the same bore therefore meet the same third pass, however
often each has measured, and their difference shows with fewer bores.
"""

from __future__ import annotations

from numpy.random import Generator, default_rng

# The place in this list is part of a bore's identity: add at the end only.
SUBJECTS = (
    "tool",
    "bore",
    "set_tool",
    "seat",
    "move",
    "cut",
    "trial",
    "read",
    "thermometer",
    "set_gauge",
    "warmth",
    "change_edge",
)


def generator(seed: int, subject: str, count: int = 0) -> Generator:
    """Return the generator of one draw.

    Args:
        seed: the bore's seed, not negative.
        subject: what is drawn, one of ``SUBJECTS``.
        count: how often it was drawn before.

    Returns:
        A fresh generator, the same for the same three.
    """
    return default_rng([SUBJECTS.index(subject), count, seed])


class Chance:
    """Hand out generators for the acts of one bore and count them.

    Args:
        seed: the bore's seed, not negative.
    """

    __slots__ = ("_counts", "_seed")

    def __init__(self, seed: int) -> None:
        self._seed = seed
        self._counts: dict[str, int] = {}

    def draw(self, subject: str) -> Generator:
        """Return the generator of this act and count the act.

        Args:
            subject: what is drawn, one of ``SUBJECTS``.

        Returns:
            The generator of the act.
        """
        count = self._counts.get(subject, 0)
        self._counts[subject] = count + 1
        return generator(self._seed, subject, count)
