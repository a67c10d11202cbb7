"""The options of ``borewright cut`` as the fields of a bore."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from borewright.errors import EntryError
from borewright.sizing.cut_typed import spindle_typed


@dataclass(frozen=True, slots=True)
class CutOptions:
    """What options gave, as typed; None where one was left out.

    Args:
        bore: fields of the bore, such as ``hole`` and ``material``.
        cut: fields of its cut, such as ``feed``.
        bar: fields of the bar.
        pushes: loads of a push test, such as ``100 N 0.009 mm``.
        spindle: the spindle's power by speed, in one line.
        measured: the finish of earlier bores, in one line.
    """

    bore: Mapping[str, str | None] = field(default_factory=dict)
    cut: Mapping[str, str | None] = field(default_factory=dict)
    bar: Mapping[str, str | None] = field(default_factory=dict)
    pushes: Sequence[str] = ()
    spindle: str | None = None
    measured: str | None = None

    def fields(self) -> dict[str, object]:
        """Return the fields that were given.

        Returns:
            As a bore takes them, those of its cut under ``cut``.

        Raises:
            EntryError: a push is none, or a point of the spindle.
        """
        cut: dict[str, object] = _given(self.cut)
        if bar := _given(self.bar):
            cut["bar"] = bar
        if self.pushes:
            cut["push_test"] = [push_of(text) for text in self.pushes]
        if self.spindle is not None:
            cut["spindle"] = spindle_typed(self.spindle)
        return {**_given(self.bore), "cut": cut}


def push_of(text: str) -> dict[str, object]:
    """Read a load of a push test as an option writes it.

    Args:
        text: such as ``100 N 0.009 mm``, ``100 0.009`` or ``100 N 0.009 mm at 80 mm``.

    Returns:
        The fields of a push.

    Raises:
        EntryError: it is not a load and a movement.
    """
    push, _, overhang = text.replace(":", " ").partition(" at ")
    words = push.split()
    if len(words) > 1 and words[1] == "N":
        del words[1]
    if len(words) > 2 and words[1].isalpha():
        raise EntryError(
            "A load is given in N.", given=text, right='Write "100 N 0.009 mm"; 1 lbf is 4.45 N.', where="push"
        )
    if len(words) < 2:
        raise EntryError(
            "A load and how far the tip went are wanted.", given=text, right='Write "100 N 0.009 mm".', where="push"
        )
    at = {"overhang": overhang.strip()} if overhang.strip() else {}
    return {"load": words[0].removesuffix("N"), "gives": " ".join(words[1:]), **at}


def _given(fields: Mapping[str, str | None]) -> dict[str, object]:
    return {name: value for name, value in fields.items() if value is not None}
