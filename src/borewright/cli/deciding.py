"""The command by which a shop decides on its rule."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from borewright.cli.folder import looked_up
from borewright.cli.talk import Terminal, say
from borewright.shop.settings import decide_rule, rule_decided
from borewright.shop.store import Store
from borewright.sizing.opening import rule_of

ASK = (
    "Not decided yet: bores whose order and drawing name no rule are judged by proof at 95 %. "
    "Decide with borewright rule proof, borewright rule simple, or borewright rule guarded."
)


def run_rule(name: str | None, numbers: Mapping[str, str | None], by: str | None, folder: Path) -> int:
    """Decide on the shop's rule, or show it.

    Args:
        name: its name, or None to show what holds.
        numbers: ``confidence``, ``ratio``, ``bands`` and ``probe`` of it, each or None.
        by: who decides.
        folder: the folder of the records.

    Returns:
        The exit code.
    """
    talk = Terminal()
    if name is None:
        decided = looked_up(folder, rule_decided, None)
        say(talk, ASK if decided is None else f"The shop's rule: {rule_of(decided).text}.")
        return 0
    given = {"name": name, **numbers}
    with Store.open(folder) as store:
        decided = decide_rule(store, {key: value for key, value in given.items() if value is not None}, by=by)
    say(talk, f"The shop's rule: {rule_of(decided).text}. Bores opened from now on are judged by it.")
    return 0
