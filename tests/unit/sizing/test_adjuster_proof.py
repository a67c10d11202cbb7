"""Proofs of an adjuster: against the truth of the simulated slide, against a general fit, and what is no reading."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize import curve_fit

from borewright.errors import EntryError
from borewright.quantity.say import say_length
from borewright.record.fields import payload_plain
from borewright.rehearsal.kinds import KINDS
from borewright.sizing.adjuster_proof import (
    ROUNDS,
    WAVE_MM,
    Proof,
    check_shown,
    lines_opened,
    places,
    proof_of,
    proved_entry,
)
from borewright.sizing.gaussian import State
from borewright.sizing.proof_words import found_rows
from tests.unit.sizing.plain import bore, setting
from tests.unit.sizing.proved_slides import adjuster, prove, readings

CLEAN = [0.25, 0.2515, 0.007] * ROUNDS + [0.0, 0.001, 0.002, 0.003, 0.004, 0.005]
"""A turn of half a millimetre on the diameter, a lock of 3 µm, a backlash of 14 µm."""


@pytest.mark.parametrize("kind", [name for name, kind in KINDS.items() if kind.adjuster == "dial"] + ["warm aluminium"])
def test_what_is_found_covers_the_truth_of_the_simulated_slide(kind: str) -> None:
    count, line_mm = 200, 1e-3 * KINDS[kind].line_um
    off: dict[str, list[float]] = {"line": [], "backlash": [], "lock": []}
    stuck = 0
    for seed in range(count):
        told = prove(kind, seed)
        found = proof_of(told.readings, told.adjuster)
        assert found.as_told
        off["line"].append((found.line.value - line_mm * (1.0 + told.tool.gain)) / found.line.sd)
        off["lock"].append((found.lock.value - told.tool.lock_mean_mm) / found.lock.sd)
        if found.backlash is not None:
            off["backlash"].append((found.backlash.value - told.tool.backlash_mm) / found.backlash.sd)
        stuck += found.stuck_mm is None or found.stuck_mm[0] <= told.tool.stick_mm <= found.stuck_mm[1]
    for values in off.values():
        within = np.mean(np.abs(values) < 1.96) if values else 1.0
        assert within > 0.95 - 4.0 * math.sqrt(0.95 * 0.05 / count)
        assert np.sqrt(np.mean(np.square(values))) < 1.0 + 4.0 / math.sqrt(2.0 * count) if values else True
    assert stuck / count > 0.95 - 4.0 * math.sqrt(0.95 * 0.05 / count)


def test_a_line_is_known_far_better_than_before() -> None:
    widths = [found.line.sd / 0.002 for found in (proof_of(*_told("middle head, carbon steel", s)) for s in range(20))]
    assert max(widths) < 0.3 * 0.006


def _told(kind: str, seed: int) -> tuple[Any, Any]:
    told = prove(kind, seed)
    return told.readings, told.adjuster


@pytest.mark.parametrize("seed", range(5))
def test_the_fit_is_that_of_a_general_purpose_least_squares(seed: int) -> None:
    told = prove("coarse dial, grey iron", seed)
    shown = [2.0 * one.shown.mm for one in told.readings.shown]
    opened, closed, locks, values = [0.0], [0.0], [0.0], [0.0]
    for round_ in range(ROUNDS):
        opened += [1.0, 0.0]
        closed += [0.0, 1.0]
        locks += [float(round_), round_ + 1.0]
        values += [shown[3 * round_], shown[3 * round_ + 2]]
    columns = np.array([[*opened, 0.0], [*closed, 0.0], [*locks, float(ROUNDS)]])
    values.append(shown[3 * ROUNDS])

    def straight(x: Any, z: float, m: float, b: float, d: float) -> Any:  # noqa: ANN401  # what the library passes
        return z + m * x[0] + b * x[1] + d * x[2]

    slopes = np.vstack([np.ones(len(values)), columns]).T
    start = [0.0, 0.3, 0.01, 0.0]
    estimates, covariance = curve_fit(straight, columns, np.array(values), p0=start, jac=lambda *_: slopes)
    found = proof_of(told.readings, told.adjuster)
    lines, free = told.readings.lines, len(values) - 4
    student = free / (free - 2.0)
    wave = 2.0 * WAVE_MM**2 * math.sin(math.pi * lines / 250) ** 2
    assert found.backlash is not None
    assert found.line.value * lines == pytest.approx(estimates[1], rel=1e-6)
    assert found.line.sd * lines == pytest.approx(math.sqrt(covariance[1, 1] * student + wave), rel=1e-6)
    assert found.backlash.value == pytest.approx(estimates[2], rel=1e-6)
    assert found.backlash.sd == pytest.approx(math.sqrt(covariance[2, 2] * student), rel=1e-6)
    assert found.left.sd == pytest.approx(math.sqrt(covariance[3, 3] * student), rel=1e-6)


def test_locks_have_a_mean_and_a_scatter_of_their_own() -> None:
    told = adjuster()
    shifts = [0.0010, 0.0020, 0.0005, 0.0015, 0.0025]
    radii = [one for shift in shifts for one in (0.25, 0.25 + shift, 0.007)] + CLEAN[15:]
    found = proof_of(readings(told, radii, step_mm=0.0001), told)
    diameters = 2.0 * np.array(shifts)
    assert found.lock.value == pytest.approx(diameters.mean())
    assert found.lock.sd == pytest.approx(diameters.std(ddof=1) / math.sqrt(5) * math.sqrt(4 / 2))
    assert found.lock_scatter.value == pytest.approx(math.sqrt(diameters.var(ddof=1) - 2.0 * 0.0002**2 / 12.0))


@pytest.mark.parametrize("step_mm", [0.0001, 0.0005, 0.001])
def test_no_scatter_of_the_lock_is_said_finer_than_the_step_shows_it(step_mm: float) -> None:
    told = adjuster()
    shifts = [0.0010, 0.0015, 0.0015, 0.0015, 0.0015]
    radii = [one for shift in shifts for one in (0.25, 0.25 + shift, 0.007)] + CLEAN[15:]
    found = proof_of(readings(told, radii, step_mm=step_mm), told)
    assert found.lock_unseen_mm == pytest.approx(2.0 * step_mm * math.sqrt(2.0 / 12.0))
    said = next(row["value"] for row in found_rows(found, told, "mm") if row["what"] == "from one locking to the next")
    if found.lock_scatter.value < found.lock_unseen_mm:
        assert said == f"below {say_length(round(found.lock_unseen_mm, 7), 'mm')}"
    else:
        assert said.startswith("± ")
    assert said.startswith("± ") == (step_mm == 0.0001)
    for one in (found.line.sd * lines_opened(told), found.lock.sd):
        assert one >= 2.0 * step_mm / math.sqrt(12.0 * ROUNDS), "no width below what the step allows"


def test_a_tip_that_stays_behind_shows_what_sticks() -> None:
    told = adjuster()
    held = [*CLEAN[:15], 0.0, 0.0, 0.002, 0.002, 0.004, 0.004]
    found = proof_of(readings(told, held, step_mm=0.0001), told)
    assert found.stuck_mm == pytest.approx((0.002 - 0.0002, 0.004 + 0.0002), abs=2e-5)
    free = proof_of(readings(told, CLEAN, step_mm=0.0001), told).stuck_mm
    assert free == pytest.approx((0.0, 0.002 + 0.0002), abs=2e-5)


@pytest.mark.parametrize("worth", [2.0, 0.5])
def test_figures_of_the_other_measure_are_told_apart(worth: float) -> None:
    told = prove("middle head, carbon steel", 3, worth=worth)
    found = proof_of(told.readings, told.adjuster)
    assert not found.as_told
    assert found.factor == pytest.approx(worth, rel=0.02)
    assert ("radius" if worth > 1.0 else "diameter") in found.meaning


def test_a_whole_turn_is_opened_where_it_is_of_a_fitting_size() -> None:
    assert lines_opened(adjuster()) == 250
    assert lines_opened(adjuster(line="0.010 mm")) == 30
    assert lines_opened(adjuster(lines_per_turn=None)) == 150
    assert lines_opened(adjuster(on="radius", lines_per_turn=100)) == 100
    assert lines_opened(adjuster(line="0.2 mm")) == 4


def shown_so_far(*radii: float) -> None:
    told = adjuster()
    check_shown(readings(told, list(radii)), told)


@pytest.mark.parametrize(
    ("radii", "wrong", "right"),
    [
        ((-0.25,), "Opened, it must show more.", "plus where the tip moves outward: about 0.25"),
        ((0.0098,), "That is far too little.", "inches typed as millimetres"),
        ((6.35,), "That is far too much.", "millimetres typed as inches"),
        ((0.0,), "The indicator cannot show that.", "does it touch, and is it unlocked?"),
        ((0.25, 0.29), "No lock moves a tip that far.", "it showed 0.25"),
        ((0.25, 0.251, 0.26), "After closing it must show less than before.", "it showed 0.25"),
        ((0.25, 0.251, -0.2), "It is closed further than it was opened.", "Count the lines"),
        ((0.25, 0.251, 0.18), "That much backlash cannot be.", "unlocked?"),
        ((0.25, 0.251, 0.007, 0.35), "It is on the same line as before.", "The first time it showed 0.25"),
        ((*CLEAN[:15], 0.1), "Home again it must show about nothing.", "by opening"),
        ((*CLEAN[:16], 0.05), "One line does not come to that.", "one line only"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_what_would_be_right(
    radii: tuple[float, ...], wrong: str, right: str
) -> None:
    shown_so_far(*radii[:-1])
    with pytest.raises(EntryError) as caught:
        shown_so_far(*radii)
    assert caught.value.wrong == wrong
    assert right in caught.value.right
    assert caught.value.where == f"readings.shown[{len(radii) - 1}].shown"


def test_a_proof_that_is_not_finished_says_what_is_next() -> None:
    told = adjuster()
    with pytest.raises(EntryError) as caught:
        proof_of(readings(told, CLEAN[:4]), told)
    assert caught.value.right == "Next: locked, reading 5 of 21."


def test_readings_are_taken_in_their_order() -> None:
    told, later = adjuster(), adjuster(kind="direct", line=None, step="0.001 mm", lines_per_turn=None)
    with pytest.raises(EntryError) as caught:
        check_shown(readings(told, CLEAN), later)
    assert caught.value.right == "A proof has 16 readings."
    assert len(places(told)) == len(CLEAN)


def kept(proof: Proof, told: Any) -> dict[str, object]:  # noqa: ANN401  # the readings as a payload
    return proved_entry(proof, payload_plain(told))


TURN = {"kind": "dial", "line": "0.002 mm", "on": "diameter", "lines_per_turn": 250}


def test_what_is_kept_becomes_what_is_believed_of_the_tool() -> None:
    told = adjuster()
    shown = readings(told, CLEAN)
    proof = proof_of(shown, told)
    of = bore(kept(proof, shown), *setting(39.75), adjuster=TURN)
    now = of.belief.now
    assert proof.backlash is not None
    assert now.at(State.GAIN) == pytest.approx(proof.line.value / 0.002 - 1.0, abs=1e-6)
    assert now.sd(State.GAIN) == pytest.approx(proof.line.sd / 0.002, rel=1e-3)
    assert now.at(State.BACKLASH) == pytest.approx(proof.backlash.value, abs=1e-7)
    assert now.sd(State.BACKLASH) == pytest.approx(proof.backlash.sd, abs=1e-7)
    before = of.model.priors.lock_scatter.width
    assert of.belief.lock_scatter_mm == pytest.approx(
        math.sqrt(0.5 * (before**2 + proof.lock_scatter.value**2)), abs=1e-7
    )
    assert now.sd(State.LOCK_MEAN) < proof.lock.sd
    fresh = bore(*setting(39.75), adjuster=TURN).belief
    assert of.belief.tool_sd_mm == pytest.approx(fresh.tool_sd_mm, rel=0.01)


def test_what_the_readings_do_not_give_is_not_kept() -> None:
    told = adjuster()
    shown = readings(told, CLEAN)
    entry = kept(proof_of(shown, told), shown)
    with pytest.raises(EntryError) as caught:
        bore({**entry, "backlash": "0.020 mm"}, adjuster=TURN)
    assert (caught.value.where, caught.value.wrong[:18]) == ("backlash", "The readings give ")
    other = prove("middle head, carbon steel", 3, worth=2.0)
    doubled = kept(proof_of(other.readings, other.adjuster), other.readings)
    with pytest.raises(EntryError) as twice:
        bore(doubled, adjuster={**TURN, "line": "0.001 mm"})
    assert "times what is told of it" in twice.value.wrong
    assert "describe the adjuster anew" in twice.value.right
