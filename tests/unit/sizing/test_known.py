"""Priors that were learned together: frozen with the opening, and read back as they were."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from borewright.errors import DamagedRecordError
from borewright.record.payloads.opened import Together
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.known import Known, thaw_together
from borewright.sizing.opening import read_start
from borewright.sizing.priors import priors_of
from tests.unit.learning.shop_floor import GIVEN


def known() -> Known:
    priors = priors_of(read_start(GIVEN)[0])
    return Known(
        {
            "bench": replace(priors.bench, value=0.002, width=0.003, origin="learned: 7 bores of this tool"),
            "push_off": replace(priors.push_off, value=0.026, width=0.004, origin="learned: 7 bores of this tool"),
        },
        (("bench", "push_off", 0.9375),),
    )


def test_a_bore_begins_with_them_and_so_does_its_replay() -> None:
    bore = Bore.start(GIVEN, known=known())
    again = Bore.from_events([*bore.events(), *bore.events("tool")])
    for each in (bore, again):
        now = each.belief.now
        assert now.at(State.BENCH) == 0.002
        slope = np.hypot(0.026, 0.003)
        wanted = 0.9375 * 0.003 * 0.004 / slope
        assert now.covariance[State.BENCH, State.PUSH_OFF] == pytest.approx(wanted, rel=1e-12)
        assert now.covariance[State.PUSH_OFF, State.BENCH] == now.covariance[State.BENCH, State.PUSH_OFF]
    np.testing.assert_array_equal(bore.belief.now.covariance, again.belief.now.covariance)
    assert bore.events()[0].draft.version == 2


def test_without_any_the_opening_says_nothing_of_it() -> None:
    assert "together" not in Bore.start(GIVEN).events()[0].payload


def test_what_was_learned_stands_among_the_assumptions() -> None:
    advice: dict[str, list[dict[str, str]]] = Bore.start(GIVEN, known=known()).advise()  # type: ignore[assignment]
    (bench,) = [row for row in advice["assumptions"] if row["name"] == "bench"]
    assert bench["origin"] == "learned: 7 bores of this tool"


@pytest.mark.parametrize(
    ("pairs", "wrong"),
    [
        ((("bench", "seat", "0.5"),), "cannot be learned together"),
        ((("bench", "bench", "0.5"),), "cannot be learned together"),
        ((("bench", "gain", "0.9"), ("gain", "edge", "0.9"), ("bench", "edge", "-0.9")), "No belief"),
    ],
)
def test_a_record_that_cannot_be_is_damaged(pairs: tuple[tuple[str, str, str], ...], wrong: str) -> None:
    stored = [Together(first=a, second=b, correlation=Decimal(r)) for a, b, r in pairs]
    with pytest.raises(DamagedRecordError, match=wrong):
        thaw_together(stored)
