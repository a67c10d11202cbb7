"""What things cost."""

from __future__ import annotations

from decimal import Decimal

from borewright.record.payloads.opened import CostFacts
from borewright.sizing.costs import Costs


def test_the_usual_costs_keep_their_proportion_to_a_pass() -> None:
    assert Costs.of(None) == Costs(1.0, 0.6, 0.2, 6.0, 60.0, 120.0)
    assert Costs.of(CostFacts(pass_=Decimal(50))) == Costs(50.0, 30.0, 10.0, 300.0, 3000.0, 6000.0)


def test_what_was_typed_stands() -> None:
    typed = CostFacts(
        pass_=Decimal(2), trial=Decimal(1), measurement=Decimal("0.1"), scrap=Decimal(0), escape=Decimal(7)
    )
    assert Costs.of(typed) == Costs(2.0, 1.0, 0.1, 12.0, 0.0, 7.0)


def test_costs_are_stored_as_they_are_read_back() -> None:
    costs = Costs(3.3, 2.2, 0.07, 81.5, 500.0)
    assert Costs.of(costs.facts()) == costs
