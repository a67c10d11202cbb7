"""How a bore was measured: what counts, what was left out, and the rule in plain words."""

from __future__ import annotations

import pytest

from borewright.gauging.conformity import Rule
from borewright.web.signing import release_view
from borewright.web.taken import left_out_said, say_rule
from tests.unit.web.bores import PINION, Sized


def test_a_reading_that_is_left_out_shows_with_its_reason() -> None:
    sized = Sized(PINION)
    while sized.bore.state != "measured":
        sized.step()
    first = sized.bore.belief.readings[-1].as_read_mm
    assert left_out_said(sized.bore, "mm") == ()
    sized.record({"event": "read", "as_read": f"{first + 0.04:.3f} mm"})
    view = release_view("b-1", sized.bore, sized.history())
    assert [said.endswith("left out as doubtful") for said in view.left_out] == [True]
    kept = {one.removesuffix(" mm") for one in view.readings} | {one.split(" ")[0] for one in view.left_out}
    assert kept == {f"{one.as_read_mm:.3f}" for one in sized.bore.belief.readings}


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        (Rule("proof", confidence=0.99), "released only if at least 99 % sure to be inside the limits"),
        (Rule("guarded", bands=1.5), "released only if it lies inside both limits by 1.5 U"),
        (Rule("simple"), "released if it lies inside the limits, where the tolerance is at least 4 times 2 U"),
    ],
)
def test_a_rule_is_said_in_plain_words(rule: Rule, said: str) -> None:
    assert say_rule(rule, decided=True) == said
    assert say_rule(rule, decided=False) == f"{said} (nobody has decided on a rule)"
