"""The card with the next move: what to do, how far, what will come of it, what to beware of."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Final, cast

from borewright.cli.big import big_number
from borewright.cli.rows import INDENT, hung, labelled, pairs, strong, wrapped
from borewright.cli.talk import Row
from borewright.quantity.length import parse_length
from borewright.quantity.odds import say_odds
from borewright.quantity.say import say_length

_BESIDE: Final = 14
"""Columns kept for the words beside a number."""


def part(advice: Mapping[str, object], *names: str) -> Mapping[str, object]:
    """Take a group of fields out of an advice.

    Args:
        advice: an advice or a group inside it.
        names: the path of the group.

    Returns:
        The group; empty where there is none.
    """
    group: object = advice
    for name in names:
        group = group.get(name) if isinstance(group, Mapping) else None
    return cast("Mapping[str, object]", group) if isinstance(group, Mapping) else {}


def listed(advice: Mapping[str, object], name: str) -> Sequence[object]:
    """Take a list out of an advice.

    Args:
        advice: an advice.
        name: the list's name.

    Returns:
        The list; empty where there is none.
    """
    found = advice.get(name)
    return found if isinstance(found, Sequence) and not isinstance(found, str) else []


def span(size: Mapping[str, object]) -> str:
    """Say a size with the interval it lies in 95 times in 100.

    Args:
        size: with ``size``, ``low`` and ``high``.

    Returns:
        Such as ``46.5203 mm, between 46.5150 and 46.5256``.
    """
    low = str(size.get("low", "")).partition(" ")[0]
    high = str(size.get("high", "")).partition(" ")[0]
    return f"{size.get('size')}, between {low} and {high}"


def heading(title: str, limits: str, width: int) -> list[Row]:
    """Draw what stands above every card: which bore, and its limits.

    Args:
        title: the bore's name and its job's.
        limits: the limits, in words.
        width: columns.

    Returns:
        The rows.
    """
    gap = width - len(title) - len(limits)
    names = [Row(title + " " * gap + limits)] if gap >= 2 else [*wrapped(title, width, ""), *wrapped(limits, width, "")]
    return [Row("─" * width), *names]


def card(advice: Mapping[str, object], entries: int, width: int, *, all_cautions: bool = True) -> list[Row]:
    """Draw the card with the next move: what lies behind it above, the move itself next to where the answer is typed.

    Args:
        advice: what the advice says.
        entries: how many entries the record has.
        width: columns.
        all_cautions: whether every caution is shown, or only the most pressing one.

    Returns:
        The rows.
    """
    return [
        *_outcome(advice, width),
        *labelled("why", str(advice.get("why", "")), width),
        *questions(advice, width),
        *savings(advice, width),
        *_careful(listed(advice, "cautions") if all_cautions else listed(advice, "cautions")[:1], width),
        _state(advice, entries, width),
        *_move(advice, width),
    ]


def _state(advice: Mapping[str, object], entries: int, width: int) -> Row:
    state = str(advice.get("state", ""))
    hole = part(advice, "now").get("size")
    label = f" {state.upper()}{f', hole {hole}' if state == 'measured' and hole else ''}"
    return Row(label + f"entry {entries} ".rjust(width - len(label)), "state")


def explanation(advice: Mapping[str, object], width: int) -> list[Row]:
    """Draw what stands behind an advice: uncertainty, what would help, arithmetic.

    Args:
        advice: what the advice says.
        width: columns.

    Returns:
        The rows.
    """
    rows = [*labelled("why", str(advice.get("why", "")), width)]
    rows += _table(
        "What makes it uncertain, on the diameter (one standard deviation)",
        _pairs(advice, "parts", "what", "width"),
        width,
    )
    rows += budget(advice, width)
    rows += _table("What would help most", _pairs(advice, "would_help", "what", "said"), width)
    rows += _table("Arithmetic", [(str(line), "") for line in listed(advice, "arithmetic")], width)
    return rows


def assumed(advice: Mapping[str, object], width: int) -> list[Row]:
    """Draw what was taken for lack of anything better, each with its width, by where it comes from.

    Args:
        advice: what the advice says.
        width: columns.

    Returns:
        The rows.
    """
    by_origin: dict[str, list[tuple[str, str]]] = {}
    for row in cast("Iterable[Mapping[str, object]]", listed(advice, "assumptions")):
        value = f"{row.get('value')}{f' within {within}' if (within := row.get('width')) else ''}"
        by_origin.setdefault(str(row.get("origin")), []).append((str(row.get("what")), value))
    tables = [_table(origin[:1].upper() + origin[1:], table, width) for origin, table in by_origin.items()]
    return [row for table in tables for row in table] or wrapped("Nothing was assumed.", width)


def questions(advice: Mapping[str, object], width: int) -> list[Row]:
    """Draw what may be wrong with a reading: causes by their odds, each with the check that tells.

    Args:
        advice: what the advice says.
        width: columns.

    Returns:
        The rows; none where nothing is in question.
    """
    rows: list[Row] = []
    for question in cast("Iterable[Mapping[str, object]]", listed(advice, "questions")):
        odds = say_odds(question.get("odds", 0))
        said = f"Reading {question.get('reading')}, {odds}: {question.get('cause')} {question.get('check')}"
        rows += labelled("doubt", said, width)
    return rows


def savings(advice: Mapping[str, object], width: int) -> list[Row]:
    """Draw what can still be done with a hole that has too little left to cut, the best first.

    Args:
        advice: what the advice says.
        width: columns.

    Returns:
        The rows; none where nothing is to be saved.
    """
    ways = cast("list[Mapping[str, object]]", listed(advice, "save"))
    rows = wrapped("Too little is left to cut well. What can still be done, the best first:", width) if ways else []
    for way in ways:
        odds = part(way, "odds")
        within, over = say_odds(odds.get("in_tolerance", 0)), say_odds(odds.get("oversize", 0))
        said = f"within limits {within}, over size {over}, {way['said']}"
        rows += labelled(str(way["way"]), f"{way['what']} {said[:1].upper()}{said[1:]}.", width)
        rows += labelled("", f"Finish: {way['finish']} What you lose by it: {way['forfeits']}", width)
    return rows


def verdict(advice: Mapping[str, object], width: int) -> list[Row]:
    """Draw what must be in view before a bore is released.

    Args:
        advice: an advice with a ``release``.
        width: columns.

    Returns:
        The rows: verdict, probability, rule, size with its uncertainty.
    """
    shown = part(advice, "release")
    if not shown:
        return []
    return [
        Row(f"{INDENT}VERDICT: {str(shown.get('verdict', '')).upper()}", "strong"),
        *labelled(
            "surety", f"{say_odds(shown.get('probability', 0))} that the whole bore lies inside the limits", width
        ),
        *labelled("rule", str(shown.get("rule", "")), width),
        *labelled("size", f"{shown.get('size')} ± {shown.get('expanded')} at 20 °C ({shown.get('coverage')})", width),
        *(row for label, words in _besides(shown) for row in labelled(label, words, width)),
    ]


def _besides(shown: Mapping[str, object]) -> list[tuple[str, str]]:
    """Say what stands beside a verdict: what keeps it from being in, how the part was held, marks on its readings."""
    said = [("but", str(shown["not_shown_for"]))] if shown.get("not_shown_for") else []
    said += [("held", str(shown["held"]))] if shown.get("held") else []
    return said + [("marked", str(words)) for words in listed(shown, "marks")]


def budget(advice: Mapping[str, object], width: int) -> list[Row]:
    """Draw the budget of a size: each part, what they come to, and what that is multiplied by.

    Args:
        advice: an advice.
        width: columns.

    Returns:
        The rows; none where it has no ``release``.
    """
    shown = part(advice, "release")
    parts = [each for each in listed(shown, "parts") if isinstance(each, Mapping)]
    if not parts:
        return []
    rows = [Row(f"{INDENT}What the uncertainty of the size is made of", "strong")]
    for each in parts:
        few = f", {each['dof']} degrees of freedom" if "dof" in each else ""
        rows += labelled(str(each["what"]), f"{each['width']}, {float(str(each['share'])):.0%} of it{few}", width)
    freedom = f", {shown['dof']} degrees of freedom" if "dof" in shown else ""
    rows += labelled("together", f"u = {shown['u']}{freedom}", width)
    return rows + labelled("expanded", f"{shown['expanded']}, {shown['coverage']}", width)


def _careful(cautions: Sequence[object], width: int) -> list[Row]:
    labels = ["careful"] + [""] * len(cautions)
    return [row for label, said in zip(labels, cautions, strict=False) for row in labelled(label, str(said), width)]


def _move(advice: Mapping[str, object], width: int) -> list[Row]:
    rows = strong(str(advice.get("say", "")), width)
    number, beside = _headline(advice)
    big = big_number(number, width - len(INDENT) - _BESIDE) if number else []
    if big:
        widest = max(map(len, big))
        words = ["", *(line for said in beside for line in textwrap.wrap(said, width - widest - 6)), "", "", "", ""]
        rows += [
            Row(""),
            *(
                Row(f"{INDENT}{row.ljust(widest)}   {word}".rstrip(), "strong")
                for row, word in zip(big, words, strict=False)
            ),
        ]
    steps = [str(step) for step in listed(advice, "steps")]
    if steps:
        rows.append(Row(""))
        for place, step in enumerate(steps, 1):
            rows += hung(f"{INDENT}{place}. ", step, width)
    return rows


def _headline(advice: Mapping[str, object]) -> tuple[str, list[str]]:
    """Pick the one number that the hand needs, and the words beside it."""
    action, move = advice.get("action"), part(advice, "move")
    if action == "set":
        number, _, unit = str(part(advice, "set").get("diameter", "")).partition(" ")
        return number, ["SET", f"{unit}, diameter"]
    if action != "move_and_cut":
        return "", []
    way = str(move.get("direction", "")).upper()
    if move.get("lines") is not None:
        lines = Decimal(str(move["lines"]))
        if move.get("back_lines"):
            back = Decimal(str(move["back_lines"]))
            return f"-{back} +{back + lines}", ["lines:", f"CLOSE {back}", f"then OPEN {back + lines}"]
        whole, over = move.get("turns"), move.get("lines_over", "0")
        turns = f"= {whole} turn{'' if whole == 1 else 's'} + {over}" if whole else ""
        return str(abs(lines)), [way, "lines", turns, _said_change(move)]
    for name, words in (("unlocked", "to turn to, tool lock loose"), ("locked", "to enter")):
        if move.get(name) is not None:
            number, _, unit = str(move[name]).partition(" ")
            return number, [way, f"{unit} {words}"]
    return "", []


def _said_change(move: Mapping[str, object]) -> str:
    """Say what the lines come to on the diameter, as the trade says it."""
    if move.get("change") is None:
        return ""
    change = parse_length(str(move["change"]), signed=True)
    return f"= {say_length(abs(change).mm, change.unit)}"


def _outcome(advice: Mapping[str, object], width: int) -> list[Row]:
    rows = []
    now, expect, odds = part(advice, "now"), part(advice, "expect"), part(advice, "odds")
    if now:
        unseen = advice.get("state") == "cut, not measured"
        rows += labelled("expected" if unseen else "hole now", span(now), width)
    if expect and advice.get("action") in {"set", "move_and_cut", "cut"}:
        rows += labelled("after cut", span(expect), width)
    if odds:
        said = (
            f"oversize {say_odds(odds.get('oversize', 0))} · in {say_odds(odds.get('in_tolerance', 0))}"
            f" · undersize {say_odds(odds.get('undersize', 0))}"
        )
        rows += labelled("odds", said, width)
    passes = advice.get("passes_left")
    if isinstance(passes, int) and passes > 0:
        rows += labelled("left", "1 pass" if passes == 1 else f"{passes} passes", width)
    return rows


def _pairs(advice: Mapping[str, object], name: str, left: str, right: str) -> list[tuple[str, str]]:
    rows = cast("Iterable[Mapping[str, object]]", listed(advice, name))
    return [(str(row.get(left)), str(row.get(right, ""))) for row in rows]


def _table(title: str, rows: Sequence[tuple[str, str]], width: int) -> list[Row]:
    return [Row(""), *strong(title, width), *pairs(rows, width)] if rows else []
