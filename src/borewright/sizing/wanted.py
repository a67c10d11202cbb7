"""The entry that an advice waits for: what a person enters next, and what is filled in already.

What was advised stands in an entry only where doing it is the whole of what happened, as with lines of a dial. What a
bench measures of a tool is never filled in with what was wanted of it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Final, Literal, TypeAlias

Event: TypeAlias = Literal[
    "",
    "seated",
    "set",
    "moved",
    "passed",
    "hole_checked",
    "read",
    "temperature",
    "waited",
    "proved",
    "unclamped",
    "set_on",
    "released",
    "quarantined",
]
Field: TypeAlias = Literal[
    "", "diameter", "lines", "change", "shown_locked", "as_read", "celsius", "size", "minutes", "line"
]

PUT_IN: Final = "Wipe both tapers and put the tool in the spindle."
"""What is to be done before a tool that was set can cut."""

ON_ADVICE: Final = frozenset({"set", "moved"})
"""Events that act upon the numbers of an advice: the advice is kept with them."""

SIGNED: Final = frozenset({"release", "quarantine"})
"""Actions that somebody signs, with the verdict in view."""


@dataclasses.dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be entered next.

    Args:
        event: the kind of event; empty where nothing more is to be done.
        field: the field whose value is still to be seen or confirmed; empty where none is.
        filled: what stands in the entry already, as advised.
        aim: what a hand or a simulated machine is to bring the field to, before an instrument shows what it came to.
    """

    event: Event
    field: Field = ""
    filled: Mapping[str, object] = dataclasses.field(default_factory=dict)
    aim: str = ""

    @property
    def entry(self) -> dict[str, object]:
        """The entry as far as it is known."""
        return {"event": self.event, **self.filled}

    @property
    def order(self) -> dict[str, object]:
        """What a simulated machine is told to do: the entry, with what is aimed at where it is still to be measured."""
        return {**self.entry, self.field: self.aim} if self.aim else self.entry

    @property
    def whole(self) -> bool:
        """Whether nothing is missing: it can be recorded as it stands."""
        return self.event != "" and (not self.field or self.field in self.filled)


def wanted_by(advice: Mapping[str, object], *, in_spindle: bool) -> Wanted:
    """Say what an advice waits for.

    Args:
        advice: what ``Bore.advise`` returned.
        in_spindle: whether the tool is known to be in the spindle as it was last set.

    Returns:
        The entry.
    """
    action = str(advice.get("action"))
    if action in {"cut", "move_and_cut"} and not in_spindle:
        return Wanted("seated")
    if action == "set":
        return Wanted("set", "diameter", aim=str(_group(advice, "set").get("diameter")))
    if action == "move_and_cut":
        return _move(_group(advice, "move"))
    if action == "cut":
        return Wanted("passed", "", {"depth": "trial" if _group(advice, "cut").get("depth") == "trial" else "full"})
    if action == "wait":
        return Wanted("waited", "minutes", {"minutes": str(_group(advice, "wait").get("minutes"))})
    if action == "measure":
        return _measurement(advice)
    return _PLAIN.get(action, Wanted("read", "as_read"))


_PLAIN: Final = {
    "check_hole": Wanted("hole_checked", "as_read"),
    "none": Wanted(""),
    "release": Wanted("released"),
    "prove": Wanted("proved", "line"),
    "quarantine": Wanted("quarantined"),
}


def _measurement(advice: Mapping[str, object]) -> Wanted:
    if _group(advice, "measure").get("setting") == "anew":
        return Wanted("set_on", "size")
    if _group(advice, "measure").get("state") == "free":
        return Wanted("unclamped")
    if "temperature" in str(advice.get("say")):
        return Wanted("temperature", "celsius", {"of": "part", "when": "now"})
    if _group(advice, "measure").get("with") == "own gauge":
        return Wanted("read", "as_read", {"probe": False})
    return Wanted("read", "as_read")


def acts_on(advice: Mapping[str, object], entry: Mapping[str, object], *, in_spindle: bool) -> bool:
    """Tell whether an entry was made upon an advice, so that the advice is kept with it.

    Args:
        advice: the advice that was in view.
        entry: what is entered, with its ``event``.
        in_spindle: whether the tool is known to be in the spindle as it was last set.

    Returns:
        Whether it sets or moves the tool and the advice asked for that.
    """
    return entry.get("event") in ON_ADVICE and entry.get("event") == wanted_by(advice, in_spindle=in_spindle).event


def _move(move: Mapping[str, object]) -> Wanted:
    """Want a move: lines of a dial, what a readout shows once locked, what is entered at the control."""
    back: dict[str, object] = {"take_up": True} if move.get("back_lines") else {}
    if move.get("lines") is not None:
        return Wanted("moved", "lines", {"lines": move["lines"], **back})
    if move.get("unlocked") is not None:
        shown = {"shown_unlocked": move["unlocked"], "shown_locked": move["locked"]}
        return Wanted("moved", "shown_locked", shown)
    return Wanted("moved", "change", {"change": move.get("change"), **back})


def _group(advice: Mapping[str, object], name: str) -> Mapping[str, object]:
    group = advice.get(name)
    return group if isinstance(group, Mapping) else {}
