"""What a published check is: a source, its printed values, and how each is held against ours.

A file of this folder holds one source::

    SOURCE = Source("key-in-the-bibliography", "Title as printed", (Case("25 G6, ES", ours, 20, unit="um"),))


    @each_case(SOURCE)
    def test_as_printed(case: Case) -> None:
        check(case)

``python -m tests.published.page`` writes the validation page from all of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, TypeAlias

import pytest

Standing: TypeAlias = Literal["read", "recomputed", "exact", "memory"]


@dataclass(frozen=True, slots=True)
class Case:
    """One printed value and the function that gives ours.

    Args:
        name: what is compared, such as ``25 G6, upper deviation``.
        ours: computes our value; called when the case is checked or shown.
        theirs: the value as printed.
        tolerance: how far apart the two may be, as the printed digits allow; 0 means exact.
        unit: unit of both values.
        place: table, equation or page of the source.
        standing: ``read`` in the source; ``recomputed`` from the source's own formula; ``exact`` by definition;
            ``memory`` where nobody has looked it up.
        disagreement: a finding, in a sentence: ours differs from theirs, and why. The check is then that it does.
    """

    name: str
    ours: Callable[[], float | str]
    theirs: float | str
    tolerance: float = 0.0
    unit: str = ""
    place: str = ""
    standing: Standing = "read"
    disagreement: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.tolerance) or self.tolerance < 0:
            raise ValueError(f"{self.name}: a tolerance is zero or more.")
        if isinstance(self.theirs, str) and self.tolerance:
            raise ValueError(f"{self.name}: a text has no tolerance.")


@dataclass(frozen=True, slots=True)
class Source:
    """One published source and the values taken from it.

    Args:
        key: its key in ``docs/references.bib``.
        title: its title, as the validation page shows it.
        cases: the values, at least one, no two of the same name.
    """

    key: str
    title: str
    cases: tuple[Case, ...]

    def __post_init__(self) -> None:
        names = [case.name for case in self.cases]
        if not names or len(set(names)) != len(names):
            raise ValueError(f"{self.key}: a source has at least one case, and no two of the same name.")


def each_case(source: Source) -> pytest.MarkDecorator:
    """Run a test with the argument ``case`` once for each case of a source.

    Args:
        source: the source.

    Returns:
        The decorator.
    """
    return pytest.mark.parametrize("case", source.cases, ids=[case.name for case in source.cases])


def agrees(ours: float | str, case: Case) -> bool:
    """Tell whether our value is the printed one within the case's tolerance.

    The difference is taken in decimal, on the shortest text of each number, so that a difference of exactly the
    tolerance is within it.

    Args:
        ours: our value.
        case: the printed one with its tolerance.

    Returns:
        True when the two agree. A value that is not finite agrees with nothing.
    """
    if isinstance(ours, str) or isinstance(case.theirs, str):
        return ours == case.theirs
    if not math.isfinite(ours):
        return False
    return abs(exact(ours) - exact(case.theirs)) <= exact(case.tolerance)


def check(case: Case) -> None:
    """Assert that ours agrees with theirs or, for a known disagreement, that it still does not.

    Args:
        case: what to check.
    """
    ours = case.ours()
    if case.disagreement:
        assert not agrees(ours, case), f"{case.name}: the disagreement is gone; ours is {ours!r} and so is theirs."
    else:
        assert agrees(ours, case), (
            f"{case.name}: ours {ours!r}, theirs {case.theirs!r} within {case.tolerance!r} {case.unit}"
        )


def exact(number: float) -> Decimal:
    """Return a number as the decimal of its shortest text.

    Args:
        number: any finite number.

    Returns:
        The decimal that ``repr`` shows.
    """
    return Decimal(repr(float(number)))
