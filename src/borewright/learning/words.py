"""What a learned prior rests on, in words."""

from __future__ import annotations

from collections.abc import Sequence

from borewright.learning.taught import Taught
from borewright.sizing.priors import LEARNED, TYPED, Prior


def origin_of(
    before: Prior,
    same: Sequence[Taught],
    tool: Sequence[Taught],
    like: Sequence[Taught],
    other: Sequence[Taught],
    *,
    of_material: bool,
) -> str:
    """Say what a learned prior rests on: the nearest bores there are, how many, and when the last of them was finished.

    Args:
        before: the prior before anything was learned.
        same: bores of this tool in this material.
        tool: bores of this tool in others.
        like: bores of tools with the same kind of adjuster.
        other: bores of the other tools.
        of_material: whether the part holds for one material.

    Returns:
        Such as ``learned: 7 bores of this tool in this material, last on 2031-09-02``.
    """
    typed = "; what was typed is counted in" if before.origin == TYPED else ""
    nearest: tuple[tuple[Sequence[Taught], str], ...]
    if of_material:
        nearest = (
            (same, "this tool in this material"),
            (tool, "this tool in other materials"),
            ((*like, *other), "other tools"),
        )
    else:
        nearest = (((*same, *tool), "this tool"), (like, "tools like it"), (other, "other tools"))
    bores, whose = next(each for each in nearest if each[0])
    return f"{LEARNED}: {counted(len(bores))} of {whose}{last_of(bores)}{typed}"


def counted(bores: int) -> str:
    """Say how many bores.

    Args:
        bores: how many.

    Returns:
        Such as ``1 bore`` or ``7 bores``.
    """
    return f"{bores} bore{'' if bores == 1 else 's'}"


def last_of(bores: Sequence[Taught]) -> str:
    """Say when the last of some bores was finished.

    Args:
        bores: at least one.

    Returns:
        Such as ``, last on 2031-09-02``; nothing where none says when.
    """
    days = [each.at[:10] for each in bores if each.at is not None]
    return f", last on {max(days)}" if days else ""
