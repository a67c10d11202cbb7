"""The chances of one rehearsed bore, each found again from the seed and how often the act was done before.

An act's numbers depend on nothing but the seed, the act, and its own count: done again in the same order it meets the
same fortune, whatever was done between. Two ways of sizing the same bore therefore meet the same third pass, however
often each has measured, and their difference shows with fewer bores.
"""

from __future__ import annotations

from numpy.random import Generator, Philox

SEEDS = 2**64

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
    """Return the generator of one draw: a counter-based one is wherever its key and its counter say.

    Philox 4x64 with the seed as its key, the count and the subject as the upper half of its counter.

    Args:
        seed: the bore's seed, from 0 to 2^64 - 1.
        subject: what is drawn, one of ``SUBJECTS``.
        count: how often it was drawn before.

    Returns:
        A fresh generator, the same for the same three.

    Source: [salmon2011], as the documentation of NumPy's Philox cites it
    """
    return Generator(Philox(key=seed, counter=[0, 0, count, SUBJECTS.index(subject)]))


class Chance:
    """Draw for the acts of one bore and count them.

    One generator is begun anew for each act: making one takes ten times as long.

    Args:
        seed: the bore's seed, from 0 to 2^64 - 1.
    """

    __slots__ = ("_bits", "_counts", "_drawing", "_state", "seed")

    def __init__(self, seed: int) -> None:
        self.seed = seed
        self._counts: dict[str, int] = {}
        self._bits = Philox(key=seed)
        self._drawing = Generator(self._bits)
        self._state = self._bits.state

    def draw(self, subject: str) -> Generator:
        """Begin the generator of this act and count the act.

        Args:
            subject: what is drawn, one of ``SUBJECTS``.

        Returns:
            The generator of the act, as ``generator`` gives it; good until the next act is drawn for.
        """
        count = self._counts.get(subject, 0)
        self._counts[subject] = count + 1
        return self.at(subject, count)

    def at(self, subject: str, count: int) -> Generator:
        """Begin the generator of an act that is counted elsewhere.

        Args:
            subject: what is drawn, one of ``SUBJECTS``.
            count: how often it was drawn before.

        Returns:
            The generator, as ``generator`` gives it; good until the next act is drawn for.
        """
        counter = self._state["state"]["counter"]
        counter[2], counter[3] = count, SUBJECTS.index(subject)
        self._bits.state = self._state
        return self._drawing
