"""A bore that is opened by its cut: physics in the place of a guess, frozen with its width and its origin."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from borewright import Bore
from borewright.cutting.compliance import joint_of, plain_bar
from borewright.errors import EntryError
from borewright.materials.bar import bar_of
from borewright.record.fields import read_payload
from borewright.record.payloads.opened import Start
from borewright.sizing.cut_prior import compliance_of, push_off_by_cut
from borewright.sizing.opening import opening_drafts, read_start
from borewright.sizing.priors import EDGE, EXPONENT, Priors, freeze, priors_of, shape_by_physics, thaw
from borewright.sizing.pushoff import SIGN_SCALE_MM
from tests.unit.door.sessions import LEAST

CUT: dict[str, object] = {
    "feed": "0.08",
    "nose": "0.4",
    "overhang": "90",
    "speed": "160",
    "push_test": [{"load": "50", "gives": "0.0046"}, {"load": "100", "gives": "0.0091"}],
}


def mapping(**fields: object) -> dict[str, Any]:
    given = {**LEAST, "material": "42CrMo4", "cut": CUT, **fields}
    return {name: value for name, value in given.items() if value is not None}


def priors(**fields: object) -> Priors:
    return priors_of(read_start(mapping(**fields))[0])


def log_width(made: Priors) -> float:
    return made.push_off.width / math.hypot(made.push_off.value, SIGN_SCALE_MM)


def test_physics_stands_in_for_a_guess() -> None:
    made = priors(push_off=None)
    start = read_start(mapping(push_off=None))[0]
    assert start.cut is not None
    physics = push_off_by_cut(start.cut, "42CrMo4", start.hole.size.mm, 0.25)
    assert made.push_off.value == physics.reference
    assert log_width(made) == pytest.approx(physics.width)
    assert made.push_off.origin.startswith("assumed by physics: 42CrMo4")
    assert "push test of 2 loads" in made.push_off.origin
    assert made.exponent.value == pytest.approx(0.5 * (physics.exponent + EXPONENT))
    assert made.edge.value == pytest.approx(0.5 * (physics.edge + EDGE))
    assert made.edge.origin.endswith("half usual")


def test_a_shape_of_two_makings_is_no_surer_than_both_and_holds_their_distance() -> None:
    start = read_start(mapping(push_off=None))[0]
    assert start.cut is not None
    physics = push_off_by_cut(start.cut, "42CrMo4", start.hole.size.mm, 0.25)
    near, far = (shape_by_physics(replace(physics, edge=edge))["edge"] for edge in (EDGE, EDGE + 0.4))
    assert near.width == pytest.approx(math.sqrt(0.5 * (physics.edge_sd**2 + 0.06**2)))
    assert far.width == pytest.approx(math.hypot(near.width, 0.2))


def test_of_a_guess_and_physics_the_narrower_level_holds_and_physics_gives_the_shape() -> None:
    physics = priors(push_off=None)
    sure = priors(push_off={"guess": "0.021", "at": "0.25", "factor": "1.1"})
    unsure = priors(push_off={"guess": "0.021", "at": "0.25", "factor": "3"})
    assert sure.push_off.origin == "typed"
    assert sure.push_off == priors(push_off={"guess": "0.021", "at": "0.25", "factor": "1.1"}, cut=None).push_off
    assert unsure.push_off == physics.push_off
    assert sure.exponent == unsure.exponent == physics.exponent


def test_the_depth_of_the_guess_is_the_reference() -> None:
    made = priors(push_off={"guess": "0.021", "at": "0.4", "factor": "3"})
    assert made.push_off_depth.value == 0.4
    assert made.push_off.value > priors(push_off=None).push_off.value


def test_a_push_test_narrows_against_a_bar_that_is_only_named() -> None:
    bar = {**CUT, "push_test": None, "bar": {"diameter": "20", "taper": "hollow 63"}}
    assert log_width(priors(push_off=None)) < log_width(priors(push_off=None, cut=bar))


def test_pushes_at_two_overhangs_find_the_spindle_and_serve_a_third() -> None:
    bar, joint = bar_of("steel"), joint_of("hollow 63")
    gives = {reach: plain_bar(bar, 25.0, reach, 13.0, joint).radial for reach in (60.0, 140.0, 100.0)}
    pushes = [
        {"load": "100", "gives": f"{100.0 * gives[reach]:.7f}", "overhang": f"{reach}"} for reach in (60.0, 140.0)
    ]
    given = {**CUT, "push_test": pushes, "bar": {"diameter": "25"}, "overhang": "100"}
    start = read_start(mapping(push_off=None, cut=given))[0]
    assert start.cut is not None
    found = compliance_of(start.cut, 26.0)
    assert found.radial == pytest.approx(gives[100.0], rel=1e-4)
    assert "two overhangs" in found.origin
    assert found.log_sd < plain_bar(bar, 25.0, 100.0, 13.0, joint).log_sd
    with pytest.raises(EntryError, match="once the bar is known"):
        read_and_open(mapping(push_off=None, cut={**given, "bar": None}))


def read_and_open(given: dict[str, Any]) -> Priors:
    return priors_of(read_start(given)[0])


def test_a_blunt_edge_wants_more_depth_than_usual_and_a_sharp_one_the_usual() -> None:
    blunt = {**CUT, "edge": "thick-coated carbide", "feed": "0.012"}
    assert priors(push_off=None).min_depth.value == 0.03
    assert priors(push_off=None, cut=blunt).min_depth.value > 0.03
    assert priors(push_off=None, cut=blunt, min_depth="0.02").min_depth.value == 0.02


def test_the_shops_own_force_is_named_and_narrows() -> None:
    own = {**CUT, "force": {"kc": "2400", "exponent": "0.24", "within": "0.04", "source": "cutting test of last May"}}
    made = priors(push_off=None, cut=own)
    assert "cutting test of last May" in made.push_off.origin
    assert log_width(made) < log_width(priors(push_off=None))


def test_the_shape_is_in_the_belief_of_an_opened_bore() -> None:
    bore = Bore.start(mapping(push_off=None))
    made = priors(push_off=None)
    assert bore.model.priors.push_off.value == pytest.approx(made.push_off.value, rel=1e-12)
    assert bore.model.priors.exponent.origin == made.exponent.origin
    assumed = {line["name"]: line for line in bore.advise()["assumptions"]}  # type: ignore[attr-defined]
    assert assumed["push_off"]["origin"].startswith("assumed by physics")


def test_a_stored_opening_does_not_need_todays_tables() -> None:
    given = mapping(push_off=None)
    opened = opening_drafts(given, "b")[-1].payload
    forgotten = {**given, "material": "oak"}
    start = read_payload(Start, forgotten, "mm")
    frozen = freeze(priors(push_off=None))
    assert thaw(frozen, start) == thaw(frozen, read_start(given)[0])
    assert opened is not None


def test_the_record_keeps_the_cut_as_it_was_typed() -> None:
    bore = Bore.start(mapping(push_off=None))
    again = Bore.from_events([*bore.events("bore"), *bore.events("tool"), *bore.events("gauge")])
    assert again.opening.given.cut == bore.opening.given.cut
    assert again.model.priors == bore.model.priors
