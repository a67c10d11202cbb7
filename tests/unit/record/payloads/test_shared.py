"""The adjuster in its own terms: what one line or step is worth on the diameter."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.record.fields import read_payload
from borewright.record.payloads.shared import Adjuster, Corrected


def adjuster(**fields: Any) -> Adjuster:  # noqa: ANN401  # as it is given
    return read_payload(Adjuster, fields, "mm")


@pytest.mark.parametrize(
    ("fields", "per_diameter", "line_mm", "grain_mm"),
    [
        ({"kind": "dial", "on": "diameter", "line": "0.01"}, 1, 0.01, 0.01),
        ({"kind": "dial", "on": "radius", "line": "0.01"}, 2, 0.02, 0.02),
        ({"kind": "dial", "on": "diameter", "line": "0.01", "split": 4}, 1, 0.01, 0.0025),
        ({"kind": "dial", "on": "radius", "line": "0.0005 in", "split": 2}, 2, 0.0254, 0.0127),
        ({"kind": "direct", "on": "radius", "step": "0.001"}, 2, 0.002, 0.002),
        ({"kind": "offset", "on": "diameter", "step": "0.0001 in"}, 1, 0.00254, 0.00254),
    ],
)
def test_worth_on_the_diameter(fields: dict[str, Any], per_diameter: int, line_mm: float, grain_mm: float) -> None:
    made = adjuster(**fields)
    assert made.per_diameter == per_diameter
    assert made.line_mm == pytest.approx(line_mm, rel=1e-12)
    assert made.grain_mm == pytest.approx(grain_mm, rel=1e-12)


@pytest.mark.parametrize(
    ("fields", "where"),
    [
        ({"kind": "dial", "on": "diameter"}, "line"),
        ({"kind": "dial", "on": "diameter", "line": "0.01", "step": "0.01"}, "step"),
        ({"kind": "direct", "on": "diameter"}, "step"),
        ({"kind": "offset", "on": "diameter", "step": "0.01", "line": "0.01"}, "line"),
    ],
)
def test_a_dial_has_lines_and_the_others_a_step(fields: dict[str, Any], where: str) -> None:
    with pytest.raises(EntryError) as caught:
        adjuster(**fields)
    assert caught.value.where == where
    assert caught.value.right


def test_a_correction_keeps_what_it_puts_in_the_place_as_plain_values() -> None:
    given = {"event_number": "7", "replacement": {"lines": Decimal("9.50"), "take_up": True}}
    assert read_payload(Corrected, given, "mm").replacement == {"lines": "9.50", "take_up": True}
