"""Equal passes, the clairvoyant, and how a bore is counted when it is done."""

from __future__ import annotations

from dataclasses import replace
from statistics import mean, stdev

import pytest

from borewright.rehearsal.acts import Verdict
from borewright.rehearsal.clairvoyant import clairvoyant
from borewright.rehearsal.kinds import KINDS, Kind
from borewright.rehearsal.outcome import Ending, Outcome, Tariff
from borewright.rehearsal.practice import MOST_READINGS, equal_passes, measured
from borewright.rehearsal.truth import Truth
from tests.unit.rehearsal.plain import DIAL, DIRECT, FAULTLESS, OFFSET, faultless

EVERY = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
BORES = 150


def sized(kind: Kind, *, with_temperature: bool = True) -> list[Outcome]:
    return [equal_passes(Truth.draw(kind, seed), with_temperature=with_temperature) for seed in range(BORES)]


@pytest.mark.parametrize("name", [DIAL, DIRECT, OFFSET])
def test_on_a_faultless_machine_equal_passes_end_in_the_middle(name: str) -> None:
    for seed in range(10):
        truth = Truth.draw(faultless(name), seed)
        done = equal_passes(truth)
        assert done.released_good
        assert done.passes == 3
        assert done.readings == 6
        assert done.trial_cuts == 0
        assert truth.hole_mm == pytest.approx(truth.kind.size_mm, abs=0.003)


def test_as_many_like_passes_as_asked() -> None:
    for passes in (2, 4):
        truth = Truth.draw(faultless(), 1)
        assert equal_passes(truth, passes=passes).passes == passes


@EVERY
def test_most_bores_of_every_kind_come_out_good(kind: Kind) -> None:
    done = sized(kind)
    assert sum(each.released_good for each in done) > 0.8 * BORES
    assert sum(each.passes for each in done) / BORES < 3.2


def test_a_warm_aluminium_part_wants_a_thermometer() -> None:
    kind = KINDS["warm aluminium"]
    pairs = zip(sized(kind), sized(kind, with_temperature=False), strict=True)
    gained = [float(corrected.released_good) - float(plain.released_good) for corrected, plain in pairs]
    assert mean(gained) > 4.0 * stdev(gained) / BORES**0.5


def test_a_blundered_reading_is_taken_again() -> None:
    kind = faultless(common=replace(FAULTLESS, misread=0.25))
    more = 0
    for seed in range(60):
        truth = Truth.draw(kind, seed)
        readings = len(truth.acts)
        size = measured(truth, truth.told(), with_temperature=False)
        taken = len(truth.acts) - readings
        if taken > 2 and len(truth.mishaps) == 1:
            more += 1
            assert size == pytest.approx(truth.hole_mm, abs=0.00001)
    assert more > 10


def test_readings_that_never_agree_are_given_up() -> None:
    truth = Truth.draw(faultless(), 2)
    never = replace(truth.told(), gauge_step_mm=-1.0)
    assert measured(truth, never, with_temperature=False) == pytest.approx(truth.hole_mm, abs=0.00001)
    assert len(truth.acts) == MOST_READINGS


def test_a_hole_that_reads_over_is_scrapped_and_one_that_never_grows_is_set_aside() -> None:
    pushed = replace(faultless(), push_off_um=60.0)
    over = Truth.draw(pushed, 1)
    over.tool = replace(over.tool, push_off_guess_mm=0.7)
    done = equal_passes(over)
    assert (done.ending, done.verdict, done.passes) == ("scrapped", "over", 1)
    blunt = Truth.draw(replace(faultless(), min_depth_um=1e9), 1)
    done = equal_passes(blunt)
    assert (done.ending, done.verdict, done.passes) == ("quarantined", "under", 6)


@EVERY
def test_the_clairvoyant_releases_nothing_bad_and_needs_two_passes(kind: Kind) -> None:
    done = [clairvoyant(Truth.draw(kind, seed)) for seed in range(BORES)]
    assert not any(each.escaped for each in done)
    assert sum(each.released_good for each in done) > 0.95 * BORES
    assert sum(each.passes for each in done) / BORES < 2.1


@pytest.mark.parametrize(
    ("ending", "verdict", "good", "escaped", "lost", "cost"),
    [
        ("released", "good", True, False, False, 4.2),
        ("released", "over", False, True, False, 124.2),
        ("released", "under", False, True, False, 124.2),
        ("scrapped", "over", False, False, True, 64.2),
        ("quarantined", "good", False, False, True, 64.2),
    ],
)
def test_what_a_bore_costs(
    ending: Ending, verdict: Verdict, good: bool, escaped: bool, lost: bool, cost: float
) -> None:
    done = Outcome("by hand", "titanium", 1, ending, verdict, passes=3, trial_cuts=1, readings=6)
    assert (done.released_good, done.escaped, done.lost) == (good, escaped, lost)
    assert done.cost() == pytest.approx(cost)
    assert done.cost(Tariff(full=2.0)) == pytest.approx(cost + 3.0)
