"""Beliefs as plain values, to be kept in a file and held together: numbers to 1e-9, all else exactly."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from math import isclose
from typing import Any

import numpy as np

from borewright.sizing.belief import Belief
from borewright.sizing.gaussian import Gaussian

RELATIVE = 1e-9
SMALLEST = 1e-12
"""Where a number is nothing but what rounding left, in its own unit."""


def plain(value: Any) -> Any:  # noqa: ANN401  # any part of a belief
    """Write a belief, or a part of one, as plain values.

    Args:
        value: the part.

    Returns:
        Nested mappings and lists. A joint belief is its mean, its standard deviations and its correlations.
    """
    if isinstance(value, Gaussian):
        sd = np.sqrt(np.diag(value.covariance))
        scale = np.where(sd > 0.0, sd, 1.0)
        together = value.covariance / np.outer(scale, scale)
        return {"mean": value.mean.tolist(), "sd": sd.tolist(), "together": together.tolist()}
    if isinstance(value, np.ndarray):
        return value.tolist()
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    return [plain(inner) for inner in value] if isinstance(value, tuple | list) else value


def differences(ours: Any, theirs: Any, where: str = "") -> list[str]:  # noqa: ANN401  # plain values
    """Compare two beliefs that were written as plain values.

    Args:
        ours: the one.
        theirs: the other.
        where: the part that is compared, for the lines.

    Returns:
        A line for each number further off than 1e-9 of itself, and for all else that is not the same. A mean may be off
        by 1e-9 of its standard deviation too, and a correlation by 1e-9.
    """
    return list(_differences(ours, theirs, where))


def hold_same(ours: Belief, theirs: Belief) -> None:
    """Hold two beliefs together in all that they hold.

    Args:
        ours: the one.
        theirs: the other.
    """
    found = differences(plain(ours), plain(theirs))
    assert not found, "\n".join(found)


def _differences(ours: Any, theirs: Any, where: str) -> Iterator[str]:  # noqa: ANN401  # plain values
    if isinstance(ours, Mapping) and isinstance(theirs, Mapping) and ours.keys() == theirs.keys():
        if ours.keys() == {"mean", "sd", "together"}:
            yield from _apart(ours, theirs, where)
            return
        for name in ours:
            yield from _differences(ours[name], theirs[name], f"{where}.{name}" if where else str(name))
    elif isinstance(ours, list) and isinstance(theirs, list) and len(ours) == len(theirs):
        for place, (one, other) in enumerate(zip(ours, theirs, strict=True)):
            yield from _differences(one, other, f"{where}[{place}]")
    elif isinstance(ours, float) and isinstance(theirs, float):
        if not isclose(ours, theirs, rel_tol=RELATIVE, abs_tol=SMALLEST):
            yield f"{where}: {ours!r}, not {theirs!r}"
    elif ours != theirs or type(ours) is not type(theirs):
        yield f"{where}: {ours!r}, not {theirs!r}"


def _apart(ours: Mapping[str, Any], theirs: Mapping[str, Any], where: str) -> Iterator[str]:
    if len(ours["mean"]) != len(theirs["mean"]):
        yield f"{where}: of {len(ours['mean'])} states, not {len(theirs['mean'])}"
        return
    yield from _differences(ours["sd"], theirs["sd"], f"{where}.sd")
    for place, (one, other, sd) in enumerate(zip(ours["mean"], theirs["mean"], theirs["sd"], strict=True)):
        if not isclose(one, other, rel_tol=RELATIVE, abs_tol=max(RELATIVE * sd, SMALLEST)):
            yield f"{where}.mean[{place}]: {one!r}, not {other!r}"
    off = np.abs(np.array(ours["together"]) - np.array(theirs["together"]))
    if off.max() > RELATIVE:
        yield f"{where}.together: off by {off.max():.3g} at {np.unravel_index(off.argmax(), off.shape)}"
