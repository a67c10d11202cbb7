"""Priors: what was typed, what is assumed, and that what was frozen is read back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from borewright.errors import DamagedRecordError, EntryError
from borewright.record.payloads.opened import Frozen, Start
from borewright.sizing.priors import Prior, freeze, priors_of, thaw
from borewright.sizing.pushoff import push_off_of_depth
from tests.unit.sizing.plain import DIAL, DIRECT, OFFSET, bore, mm


def start(**changed: object) -> Start:
    return bore(**changed).opening.given


def push_off(**facts: Any) -> Prior:  # noqa: ANN401
    return priors_of(start(push_off=facts)).push_off


def test_what_is_frozen_is_what_is_read_back() -> None:
    for given in (start(), start(unit="mm", hole="39.4", tool={}, temperature={}, adjuster=DIRECT)):
        priors = priors_of(given)
        assert thaw(freeze(priors), given) == priors


def test_what_was_frozen_holds_whatever_is_usual_today() -> None:
    given = start()
    older = replace(priors_of(given), wear=Prior(0.0005, 0.0002, "assumed: other days", "mm", "wear"))
    thawed = thaw(freeze(older), given).wear
    assert (thawed.value, thawed.width, thawed.origin) == (0.0005, 0.0002, "assumed: other days")


@pytest.mark.parametrize(
    "record",
    [
        Frozen(what="luck", value="1 mm", origin="typed"),
        Frozen(what="wear", value="0.0002 in", origin="typed"),
        Frozen(what="wear", value="little mm", origin="typed"),
        Frozen(what="wear", value="0.0002 mm", width="0.0001", origin="typed"),
    ],
)
def test_a_damaged_prior_is_not_read(record: Frozen) -> None:
    with pytest.raises(DamagedRecordError):
        thaw([record], start())


def test_half_the_interval_that_holds_the_hole_is_1_96_standard_deviations() -> None:
    assert priors_of(start(hole={"size": "39.4", "within": "0.0196"})).hole.width == pytest.approx(0.01, rel=1e-4)
    assert "assumed" in priors_of(start(hole="39.4")).hole.origin


@pytest.mark.parametrize("guess", [0.02, 0.1, -0.008])
def test_a_guess_at_a_depth_set_gives_it_back(guess: float) -> None:
    """The reference is spoken of what comes off, so that at the depth set of the guess the guess comes out again."""
    given = priors_of(start(push_off={"guess": mm(guess), "at": "0.25 mm", "factor": "1.5"}))
    values = (given.push_off.value, given.exponent.value, given.edge.value, given.push_off_depth.value)
    assert push_off_of_depth(0.25, *values).p == pytest.approx(guess, abs=1e-6)


def test_a_factor_is_a_share_of_the_guess_and_nothing_is_known_below_three_micrometres() -> None:
    wide = push_off(guess="0.05 mm", at="0.25 mm", factor="1.5")
    assert wide.width / wide.value == pytest.approx(math.log(1.5), rel=0.25)
    nothing = push_off(guess="0 mm", at="0.25 mm", factor="1.5")
    assert nothing.value == 0.0
    assert nothing.width == pytest.approx(0.003)
    assert push_off(guess="0.05 mm", factor="2").width > wide.width


def test_push_off_that_takes_the_whole_depth_is_refused() -> None:
    with pytest.raises(EntryError, match="as much as the depth"):
        start(push_off={"guess": "0.24 mm", "at": "0.25 mm"})


def test_widths_that_were_typed_are_typed_and_the_others_assumed() -> None:
    typed, few = priors_of(start()), priors_of(start(tool={}, temperature={}))
    for name in ("bench", "seat", "thermometer", "part_warmth"):
        assert getattr(typed, name).origin == "typed"
        assert "assumed" in getattr(few, name).origin
    assert typed.bench.width == 0.004


def test_a_finer_adjuster_moves_more_surely() -> None:
    fine, coarse = (priors_of(start(adjuster={**DIAL, "line": line})).move.width for line in ("0.001 mm", "0.025 mm"))
    assert fine < coarse < 0.003
    assert priors_of(start(adjuster=DIRECT)).gain.width < priors_of(start()).gain.width
    radius = priors_of(start(adjuster={**OFFSET, "on": "radius"}))
    assert radius.move.width > priors_of(start(adjuster=OFFSET)).move.width


def test_a_temperature_that_was_taken_is_the_parts() -> None:
    taken = priors_of(start(temperature={"part": 24, "tool": 22, "within": "0.3"}))
    assert (taken.part_warmth.value, taken.part_warmth.width) == (4.0, 0.3)
    assert (taken.tool_warmth.value, taken.tool_warmth.width) == (2.0, 0.3)
    assert priors_of(start()).tool_warmth.value == 0.0


def test_material_gives_the_growth() -> None:
    assert priors_of(start(material="aluminium")).part_expansion.value == pytest.approx(23.1e-6)
    assert "assumed" in priors_of(start(material="unobtainium")).part_expansion.origin


def test_a_pass_whose_depth_nobody_knows_is_assumed_widely() -> None:
    tools: tuple[Mapping[str, object], ...] = (CUT, {"cut_hole": {}}, {})
    known, unknown, none = (priors_of(start(tool=tool)).tool_at_hole for tool in tools)
    assert (known.value, known.width) == pytest.approx((0.3, 0.075))
    assert known.origin == "typed"
    assert (unknown.value, unknown.width) == (0.25, 0.125)
    assert unknown.origin.startswith("assumed")
    assert none.value == 0.0


@pytest.mark.parametrize(("on", "lines"), [("diameter", 100), ("radius", 50), ("not known", 50)])
def test_an_adjuster_of_which_nobody_knows_what_it_speaks_never_opens_too_far(on: str, lines: int) -> None:
    adjuster = {"kind": "dial", "line": "0.002 mm", "on": on}
    given = bore(unit="mm", adjuster=adjuster)
    assert given.opening.given.adjuster.line_mm * lines == pytest.approx(0.2)
    said = [one for one in given.advise()["assumptions"] if one["name"] == "on"]  # type: ignore[attr-defined]
    assert len(said) == (on == "not known")
    assert all("radius" in one["value"] and "half as far" in one["value"] for one in said)


CUT = {"cut_hole": {"depth": "0.3 mm"}}
