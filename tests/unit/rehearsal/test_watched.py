"""A bore watched while the advice sizes it: what was stated, beside what was true."""

from __future__ import annotations

import pytest

from borewright.rehearsal.advised import advised, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.watched import Watched, misread, watched
from borewright.sizing.bore import Bore
from tests.unit.rehearsal.plain import DIAL


def watch(kind: str, seed: int) -> tuple[Truth, Watched]:
    truth = Truth.draw(KINDS[kind], seed)
    return truth, watched(truth, Bore.start(start_of(truth.told())), "advised")


@pytest.mark.parametrize("kind", list(KINDS)[::3])
def test_watching_changes_nothing(kind: str) -> None:
    assert watch(kind, 11)[1].outcome == advised(Truth.draw(KINDS[kind], 11))


def test_every_step_pass_and_reading_is_noted() -> None:
    truth, seen = watch(DIAL, 12)
    assert seen.outcome.ending == "released"
    passes = [each for each in seen.stated if each.of == "pass"]
    assert len(passes) == seen.outcome.passes
    assert len(seen.holes) == seen.outcome.passes + seen.outcome.trial_cuts
    assert passes[-1].last
    assert all(each.oversize + each.in_tolerance + each.undersize == pytest.approx(1.0, abs=2e-6) for each in passes)
    (release,) = [each for each in seen.stated if each.of == "release"]
    assert (release.came, passes[-1].came) == (truth.verdict(), truth.verdict())
    assert len(seen.innovations) == sum(act.name == "read" for act in truth.acts)
    assert [each.action for each in seen.known][-1] == "release"
    assert seen.known[-1].true_hole_mm == truth.hole_mm
    assert abs(seen.known[-1].hole_mm - truth.hole_mm) < 5.0 * seen.known[-1].hole_sd_mm


def test_a_reading_with_a_slip_says_nothing_of_the_widths() -> None:
    truth = Truth.draw(KINDS[DIAL], 1)
    truth.set_tool(39.6)
    truth.seat()
    truth.cut()
    truth.read()
    assert not misread(truth)
    truth._mishap("misread: a turn")
    assert misread(truth)
