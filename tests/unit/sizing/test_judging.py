"""What the evidence says: the machine's own probe, how the part was held, and few degrees of freedom."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.errors import OutOfTurnError
from borewright.sizing.bore import Bore
from borewright.sizing.judging import OWN_PROBE, judge
from tests.unit.sizing.plain import Entry, bore, setting, temperature

PASS: Entry = {"event": "passed"}
PROBE: Entry = {"event": "described", "stream": "gauge", "instrument": "touch probe in the spindle"}


def read(size: str = "40.000 mm", **more: object) -> Entry:
    return {"event": "read", "as_read": size, **more}


def measured(*entries: Entry, **changed: object) -> Bore:
    return bore(*setting(40.02), PASS, temperature(20.0), *entries, callout="40 ±0.012 mm", **changed)


def shown(worked: Bore) -> Any:  # noqa: ANN401  # plain values
    return worked.advise()["release"]


def test_the_machines_own_probe_shows_no_bore_in() -> None:
    own, gauge = measured(PROBE, read(), read()), measured(read(), read())
    assert (shown(gauge)["verdict"], shown(own)["verdict"]) == ("in", "not shown")
    assert shown(own)["not_shown_for"] == OWN_PROBE
    assert shown(own)["probability"] == shown(gauge)["probability"]
    advice: Any = own.advise()
    assert (advice["action"], advice["say"]) == ("measure", "Measure it with a gauge of its own.")
    assert advice["measure"]["with"] == "own gauge"
    named = {name: shown(own)[name] for name in ("probability", "rule", "size", "expanded")}
    with pytest.raises(OutOfTurnError, match="own probe") as refused:
        own.record({"event": "released", "verdict": "in", **named})
    assert refused.value.right == "Measure it with a gauge of its own."


def test_a_rule_may_let_the_probe_count() -> None:
    worked = measured(PROBE, read(), read(), rule={"name": "proof", "probe": "counts"})
    assert shown(worked)["verdict"] == "in"


def test_a_reading_says_for_itself_whether_the_probe_took_it() -> None:
    worked = measured(PROBE, read("40.001 mm"), read("40.001 mm"), read(probe=False), read(probe=False))
    assert shown(worked)["verdict"] == "in"
    assert shown(worked)["as_read"] == ["40.0000 mm", "40.0000 mm"]
    assert shown(measured(read(probe=True), read(probe=True)))["verdict"] == "not shown"


def test_a_probe_may_show_a_bore_out() -> None:
    assert shown(measured(PROBE, read("40.03 mm"), read("40.03 mm")))["verdict"] == "out"


def test_how_the_part_was_held_stands_with_the_evidence() -> None:
    assert "held" not in shown(measured(read(), read()))
    assert shown(measured(read(state="free"), read(state="free")))["held"] == "free"
    mixed = shown(measured(read(state="in the machine"), read(state="free"), read(state="free")))
    assert mixed["held"] == "in the machine (1 of 3), free (2 of 3)"


def test_a_reading_in_the_free_state_lets_the_clamps_go() -> None:
    thin: dict[str, object] = {"clamps": "0.004 mm"}
    said, entered = measured(read(state="free"), **thin), measured({"event": "unclamped"}, read(), **thin)
    assert not said.belief.clamped
    assert said.belief.hole_mm == entered.belief.hole_mm
    assert measured(read(state="free"), read(state="in the machine"), **thin).belief.clamped
    assert measured(read(state="clamped out of it"), **thin).belief.clamped


def test_the_release_says_its_budget() -> None:
    worked = measured({"event": "studied", "scatter": "0.0012 mm", "dof": 5}, read(), read())
    judged = judge(worked.belief, worked.model, worked.rule)
    assert judged is not None
    said = shown(worked)
    assert said["k"] == round(judged.size.factor, 2) > 2.0
    assert said["coverage"] == f"k = {judged.size.factor:.2f} for 95 %, {said['dof']} degrees of freedom"
    assert sum(part["share"] for part in said["parts"]) == pytest.approx(1.0, abs=2e-3)
    assert {part["what"]: part.get("dof") for part in said["parts"]}["gauge scatter"] == 5
