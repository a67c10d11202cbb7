"""The last pass: what the passes before it teach, and what lies beyond them."""

from __future__ import annotations

from itertools import pairwise

from borewright.gauging.conformity import Rule
from borewright.sizing.ahead import foresee
from borewright.sizing.choice import choose, outlook_of
from borewright.sizing.costs import Costs
from tests.unit.sizing.plain import bore, read, setting


def test_a_pass_unlike_the_one_before_is_known_less_well_and_like_ones_are_planned() -> None:
    """The curve of push-off is known where it was cut: a pass much thinner, or much deeper, lies beyond it."""
    worked = bore(*setting(39.70), {"event": "passed"}, read(39.69), read(39.69))
    outlook = outlook_of(worked.belief, worked.model, Costs(), Rule("proof"))
    before = worked.belief.history[-1].depth_mm

    def width(depth_mm: float) -> float:
        stands = foresee(worked.belief.now, outlook, 0.0).step.depth_mm
        return foresee(worked.belief.now, outlook, depth_mm - stands).step.sd_mm

    like = width(before)
    assert like < width(0.3 * before) < width(0.2 * before) < width(0.1 * before)
    assert like < width(1.6 * before) < width(2.0 * before)
    plan = choose(worked.belief, worked.model, Costs(), Rule("proof")).plan
    assert plan is not None
    depths = [step.depth_mm for step in plan.steps if not step.trial]
    assert all(later > 0.5 * earlier for earlier, later in pairwise([before, *depths]))
