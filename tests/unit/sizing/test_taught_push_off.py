"""What measured passes teach of push-off against physics, and the passes of the plan advised as physics sees them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from borewright import Bore
from borewright.drawing.cut import draw_cut
from borewright.quantity.length import parse_length
from borewright.sizing.taught_push_off import CutOfBore, Shown, cut_of_bore

GIVEN: Mapping[str, object] = {
    "callout": "53.150 ±0.012",
    "unit": "mm",
    "hole": "52.480",
    "adjuster": {"kind": "dial", "on": "diameter", "line": "0.002"},
    "gauge": {"step": "0.001"},
    "material": "42CrMo4",
    "cut": {"feed": "0.08", "nose": "0.4", "push_test": [{"load": "100", "gives": "0.012"}]},
}
FIRST = (
    {"event": "set", "diameter": "52.800"},
    {"event": "seated"},
    {"event": "passed"},
    {"event": "read", "as_read": "52.783"},
    {"event": "read", "as_read": "52.784"},
)


def bore_after(*entries: Mapping[str, object], **given: object) -> Bore:
    bore = Bore.start({**GIVEN, **given})
    for entry in entries:
        bore.record(entry)
    return bore


def physics_of(bore: Bore) -> CutOfBore:
    found = cut_of_bore(bore, bore.plans(), "mm")
    assert found is not None
    return found


def giving(gives: str) -> dict[str, object]:
    return {"feed": "0.08", "nose": "0.4", "push_test": [{"load": "100", "gives": gives}]}


def advised(bore: Bore) -> list[dict[str, Any]]:
    plans: Any = bore.plans()["plans"]
    steps: list[dict[str, Any]] = next(plan["steps"] for plan in plans if plan["advised"])
    return [step for step in steps if not step["trial"]]


@pytest.mark.parametrize("entries", [(), FIRST, (*FIRST, {"event": "moved", "lines": "91"})])
def test_the_passes_are_those_of_the_plan_advised_from_the_hole_as_it_is(
    entries: tuple[Mapping[str, object], ...],
) -> None:
    bore = bore_after(*entries)
    looked, steps = physics_of(bore).looked, advised(bore)
    assert looked is not None
    assert [one.aim for one in looked.passes] == [parse_length(step["leaves"]["size"]).mm for step in steps]
    assert looked.passes[0].hole == pytest.approx(bore.belief.hole_mm)
    assert looked.before == bore.belief.passes
    assert all(step["depth"] in planned for step, planned in zip(steps, looked.planned, strict=True))
    depths = {round(one.aim - one.hole, 4) for one in looked.passes}
    assert len(looked.passes) < 2 or len(depths) > 1


def test_a_measured_pass_says_what_it_showed_and_what_physics_said() -> None:
    (shown,) = physics_of(bore_after(*FIRST)).shown
    assert shown.number == 1
    assert shown.measured_mm == pytest.approx(52.800 - 52.7835, abs=0.003)
    assert shown.removed_mm == pytest.approx(52.7835 - 52.480, abs=0.01)
    assert shown.low_mm < shown.physics_mm < shown.high_mm
    assert shown.agrees
    said = shown.said("mm")
    assert said.startswith("Pass 1 took 0.30")
    assert "push-off measured 16" in said
    assert "where physics said 11.7 µm, 5.8 µm to 22.8 µm." in said
    assert "thou" in shown.said("in")


def test_what_is_measured_does_not_lean_on_what_physics_said() -> None:
    soft, stiff = (physics_of(bore_after(*FIRST, cut=giving(gives))).shown[0] for gives in ("0.024", "0.006"))
    assert soft.physics_mm > 3.0 * stiff.physics_mm
    assert soft.measured_mm == pytest.approx(stiff.measured_mm, abs=0.001)
    assert soft.sd_mm == pytest.approx(stiff.sd_mm, rel=0.1)


def test_a_coarse_gauge_leaves_the_measured_hole_where_its_readings_are() -> None:
    shown = []
    for gives in ("0.03", "0.002"):
        bore = bore_after(*FIRST[:3], {"event": "read", "as_read": "52.78"}, cut=giving(gives), gauge={"step": "0.01"})
        shown.append(physics_of(bore).shown[0])
    soft, stiff = shown
    assert soft.measured_mm == pytest.approx(stiff.measured_mm, abs=0.0015)
    assert soft.measured_mm == pytest.approx(52.800 - 52.780, abs=0.003)


def test_physics_that_does_not_fit_is_told() -> None:
    (shown,) = physics_of(bore_after(*FIRST, cut=giving("0.1"))).shown
    assert not shown.agrees
    assert "do not fit" in shown.said("mm")


def test_passes_that_nobody_measured_trial_cuts_and_bores_without_a_cut_teach_nothing() -> None:
    assert physics_of(bore_after(*FIRST[:3])).shown == ()
    trial = ({**FIRST[2], "depth": "trial"}, FIRST[3])
    assert physics_of(bore_after(*FIRST[:2], *trial)).shown == ()
    assert cut_of_bore(bore_after(cut=None, push_off="0.02"), {"plans": []}, "mm") is None


def test_the_plain_form_holds_both_intervals() -> None:
    plain: Any = physics_of(bore_after(*FIRST)).plain()
    taught = plain["taught"][0]
    assert taught["pass"] == 1
    assert parse_length(taught["measured"]["low"], signed=True).mm < parse_length(taught["measured"]["size"]).mm
    assert taught["physics"]["size"].endswith(" mm")
    assert plain["left"]["passes"][0]["number"] == 2


def test_intervals_that_touch_agree() -> None:
    assert Shown(1, 0.2, 0.020, 0.001, 0.010, 0.005, 0.0185).agrees
    assert not Shown(1, 0.2, 0.020, 0.0005, 0.010, 0.005, 0.0185).agrees


def test_the_picture_counts_passes_as_the_page_does() -> None:
    looked = physics_of(bore_after(*FIRST)).looked
    assert looked is not None
    drawn = draw_cut(looked)
    assert "Pass 2 to " in drawn
    assert "Pass 2, to scale" in drawn
    assert "Pass 1" not in drawn
