"""Too narrow a tolerance for the gauge, said before anything is cut."""

from __future__ import annotations

import pytest

from borewright.errors import EntryError
from borewright.gauging.conformity import Rule
from borewright.sizing.choice import outlook_of
from borewright.sizing.gauge_fit import gauge_reach, reach_of, wanted_mm
from tests.unit.sizing.plain import TOLD, bore

PROOF = Rule("proof")


def given(callout: str = "40 ±0.008 mm", **gauge: str) -> dict[str, object]:
    return {"callout": callout, "gauge": {"step": "0.001 mm", **gauge}}


def test_a_coarse_gauge_cannot_show_a_narrow_tolerance_and_a_fine_one_can() -> None:
    assert gauge_reach(given(), PROOF).can_show
    assert gauge_reach(given(), PROOF).said("mm") == ""
    coarse = gauge_reach({"callout": "40 ±0.008 mm", "gauge": {"step": "0.01 mm"}}, PROOF)
    assert not coarse.can_show
    assert coarse.said("mm").startswith("No reading of this gauge can show a bore in: the tolerance of 15.3 µm is ")
    assert "proof at 95 % takes 3.92" in coarse.said("mm")
    assert "0.00060" in coarse.said("in")


def test_scatter_setting_and_rule_count() -> None:
    assert not gauge_reach(given(scatter="0.006 mm", bias="0.006 mm"), PROOF).can_show
    assert gauge_reach(given(scatter="0.002 mm"), PROOF).can_show
    assert not gauge_reach(given(), Rule("simple", ratio=10.0)).can_show
    assert not gauge_reach(given(), Rule("guarded", bands=4.5)).can_show


def test_it_is_what_the_advice_judges_plans_by() -> None:
    """Before a bore is opened and after, by whichever way, the same is said."""
    for bias in ("0.001 mm", "0.004 mm", "0.008 mm"):
        gauge = {"step": "0.001 mm", "scatter": "0.0012 mm", "bias": bias}
        worked = bore(gauge=gauge)
        reach = reach_of(worked.belief, worked.model, worked.rule)
        outlook = outlook_of(worked.belief, worked.model, worked.costs, worked.rule)
        assert reach.can_show is outlook.can_show
        told = gauge_reach({**TOLD, "gauge": gauge}, worked.rule)
        assert told.u_mm == pytest.approx(reach.u_mm, rel=1e-9)


def test_it_is_said_as_the_bore_is_opened() -> None:
    narrow = bore(gauge={"step": "0.01 mm"})
    warnings = narrow.recorded(narrow.events()[0])["warnings"]
    assert isinstance(warnings, list)
    assert warnings[0].startswith("No reading of this gauge can show a bore in")
    wide = bore()
    assert wide.recorded(wide.events()[0])["warnings"] == []


def test_what_cannot_be_understood_is_refused() -> None:
    with pytest.raises(EntryError) as refused:
        gauge_reach({"callout": "40 ±0.008 mm", "gauge": {"step": "fine"}}, PROOF)
    assert refused.value.where == "gauge.step"


def test_how_well_a_size_must_be_known() -> None:
    """Proof at 95 % takes 3.92 u: a tolerance of 16 µm wants U = 2u of 8.16 µm at most; 4:1 takes 16 u: 2 µm."""
    assert wanted_mm(0.016, PROOF) == pytest.approx(0.00816, abs=1e-5)
    assert wanted_mm(0.016, Rule("simple")) == pytest.approx(0.002)
