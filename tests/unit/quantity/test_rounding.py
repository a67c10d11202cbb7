"""Rounding to what a device shows."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest

from borewright.errors import EntryError
from borewright.quantity import How, Length, round_to_step, steps_around

MICROMETRE = Length(Decimal("0.001"), "mm")
TENTH = Length(Decimal("0.0001"), "in")


@pytest.mark.parametrize(
    ("mm", "how", "text"),
    [
        (62.0038, "nearest", "62.004 mm"),
        (62.0035, "nearest", "62.004 mm"),
        (62.0045, "nearest", "62.004 mm"),
        (62.0038, "down", "62.003 mm"),
        (62.0032, "up", "62.004 mm"),
        (62.004, "down", "62.004 mm"),
        (62.004, "up", "62.004 mm"),
        (-0.0038, "toward_zero", "-0.003 mm"),
        (-0.0038, "down", "-0.004 mm"),
        (0.0038, "toward_zero", "0.003 mm"),
        (-0.0002, "nearest", "0.000 mm"),
    ],
)
def test_ways_to_round(mm: float, how: How, text: str) -> None:
    assert round_to_step(mm, MICROMETRE, how).text == text
    assert round_to_step(mm, 0.001, how).text == text


def test_in_the_steps_own_unit() -> None:
    assert round_to_step(59.99988, TENTH, "down").text == "2.3622 in"
    assert round_to_step(59.99988, TENTH, "up").text == "2.3622 in"
    assert round_to_step(60.0, TENTH).text == "2.3622 in"
    assert round_to_step(60.0, TENTH, "up").text == "2.3623 in"
    assert round_to_step(Length(Decimal("2.36225"), "in"), TENTH).text == "2.3622 in"
    assert round_to_step(60.0, 0.00127).text == "59.99988 mm"  # 47244 steps


def test_steps_around() -> None:
    assert [step.text for step in steps_around(62.0045, MICROMETRE)] == ["62.004 mm", "62.005 mm"]
    assert [step.text for step in steps_around(62.004, MICROMETRE)] == ["62.004 mm"]
    assert [step.text for step in steps_around(62.004, MICROMETRE, 2)] == ["62.003 mm", "62.004 mm", "62.005 mm"]
    assert [step.text for step in steps_around(-0.0005, MICROMETRE, 2)] == [
        "-0.002 mm",
        "-0.001 mm",
        "0.000 mm",
        "0.001 mm",
    ]
    assert [step.text for step in steps_around(59.99988, TENTH)] == ["2.3622 in"]


def test_the_callers_decimal_context_does_not_reach_in() -> None:
    with localcontext() as context:
        context.prec = 2
        assert round_to_step(62.0038, MICROMETRE).text == "62.004 mm"


@pytest.mark.parametrize("step", [0.0, -0.001, float("nan"), float("inf")])
def test_refuses_a_step_that_is_none(step: float) -> None:
    with pytest.raises(EntryError):
        round_to_step(62.0, step)
    with pytest.raises(EntryError):
        steps_around(62.0, step)


def test_refuses_other_nonsense() -> None:
    with pytest.raises(EntryError, match="way to round"):
        round_to_step(62.0, 0.001, "sideways")  # type: ignore[arg-type]  # what a program might pass
    with pytest.raises(EntryError, match="finite"):
        round_to_step(float("nan"), 0.001)
    with pytest.raises(EntryError, match="either side"):
        steps_around(62.0, 0.001, 0)
