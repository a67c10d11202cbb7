"""Advice as plain values, taken apart."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, cast

from borewright.exchange.rehearsals import begun
from borewright.shop.acts import plain_name

Plain = Mapping[str, object]

_ZEROS: Final = re.compile(r"(?<![\d.])[+-]?0\.0+ (?:mm|in)\b")


def group(advice: Plain, name: str) -> Plain:
    """Take a group of fields out of an advice.

    Args:
        advice: an advice.
        name: the group's name.

    Returns:
        The group; empty where there is none.
    """
    found = advice.get(name)
    return cast("Plain", found) if isinstance(found, Mapping) else {}


def groups(advice: Plain, name: str) -> Sequence[Plain]:
    """Take a list of groups out of an advice.

    Args:
        advice: an advice.
        name: the list's name.

    Returns:
        The groups; none where there is no such list.
    """
    return [cast("Plain", item) for item in listed(advice, name) if isinstance(item, Mapping)]


def listed(advice: Plain, name: str) -> Sequence[object]:
    """Take a list out of an advice.

    Args:
        advice: an advice.
        name: the list's name.

    Returns:
        The list; empty where there is none.
    """
    found = advice.get(name)
    return list(cast("Iterable[object]", found)) if isinstance(found, list | tuple) else []


def bare(length: object) -> tuple[str, str]:
    """Take a length apart.

    Args:
        length: text such as ``46.229 mm``.

    Returns:
        The number and the unit.
    """
    value, _, unit = str(length).partition(" ")
    return value, unit


def which_of(bore: str, name: str | None) -> str:
    """Say which of several bores of one name a bore is.

    Args:
        bore: its name in the record.
        name: what it is called, or None.

    Returns:
        Its name in the record where what it is called does not tell it; else empty.
    """
    if not name or bore == plain_name(name):
        return ""
    # What a rehearsal is called names its kind and its machine: one of several on that machine is told by the rest.
    if begun(bore) is not None:
        return bore.rpartition(".")[2]
    job, _, of_job = bore.partition(".")
    return job if of_job == name.replace(" ", "_") else bore


def between(size: Plain) -> str:
    """Say the interval of a size.

    Args:
        size: with ``low`` and ``high``.

    Returns:
        Such as ``46.3580 to 46.3754``.
    """
    return f"{bare(size.get('low', ''))[0]} to {bare(size.get('high', ''))[0]}"


def tells(length: object) -> bool:
    """Tell whether a length says anything: whether it has a digit that is not zero.

    Args:
        length: text such as ``0.0000 mm``.

    Returns:
        Whether it does.
    """
    return any(digit in str(length) for digit in "123456789")


def without_zeros(words: str) -> str:
    """Say in words what would stand as a row of zeros.

    Args:
        words: a sentence with lengths in it.

    Returns:
        The sentence, with ``nothing`` for a length that tells nothing.
    """
    return _ZEROS.sub("nothing", words)
