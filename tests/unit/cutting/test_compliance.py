"""How the tool gives way, from a push, from several, from two overhangs, and of a plain bar."""

from __future__ import annotations

import math

import pytest

from borewright.cutting.compliance import Joint, joint_from_two, joint_of, plain_bar, push_test, typed_compliance
from borewright.materials.bar import bar_of

STEEL = bar_of("steel")
RIGID = Joint("rigid", 1e12, 1e18)


def test_plain_bar_against_the_cantilever() -> None:
    made = plain_bar(STEEL, 20.0, 80.0, 15.0, RIGID)
    by_hand = 80.0**3 / (3.0 * 208e3 * math.pi * 20.0**4 / 64.0)
    assert made.radial == pytest.approx(by_hand, rel=1e-6)
    # 100 N on 206 GPa give 10.549 µm.
    assert 100.0 * made.radial * 208.0 / 206.0 * 1e3 == pytest.approx(10.549, abs=5e-4)
    assert made.outward / made.radial == pytest.approx(1.5 * 15.0 / 80.0, rel=1e-6)


def test_joint_of_fifty_newtons_a_micrometre() -> None:
    made = plain_bar(STEEL, 20.0, 80.0, 10.0, Joint("typed", 50e3, 1e8))
    bending = 80.0**3 / (3.0 * 206e3 * math.pi * 20.0**4 / 64.0)
    assert 1e5 * (bending + 1.0 / 50e3 + 6400.0 / 1e8) == pytest.approx(18.9485, abs=5e-4)
    assert made.radial > plain_bar(STEEL, 20.0, 80.0, 10.0, RIGID).radial


def test_two_overhangs_give_the_joint_back() -> None:
    bending = STEEL.modulus.value * math.pi * 32.0**4 / 64.0
    joint = joint_of("hollow 63")
    gives = tuple(plain_bar(STEEL, 32.0, length, 20.0, joint).radial for length in (80.0, 160.0))
    found = joint_from_two((80.0, 160.0), (gives[0], gives[1]), bending)
    assert found.shift == pytest.approx(joint.shift, rel=1e-6)
    assert found.tilt == pytest.approx(joint.tilt, rel=1e-6)


def test_a_zero_error_drops_out_and_scatter_widens() -> None:
    clean = push_test([50.0, 100.0, 200.0], [0.007, 0.012, 0.022], 20.0, 100.0)
    assert clean.radial == pytest.approx(1e-4)
    rough = push_test([50.0, 100.0, 200.0], [0.004, 0.016, 0.022], 20.0, 100.0)
    assert rough.log_sd > clean.log_sd


def test_unknown_overhang_is_wider() -> None:
    known, unknown = (typed_compliance(100.0, 0.01, 20.0, reach) for reach in (80.0, None))
    assert unknown.outward_sd > known.outward_sd
    assert known.radial == unknown.radial == pytest.approx(1e-4)


def test_the_joints_doubt_counts_by_its_share() -> None:
    slender = plain_bar(STEEL, 12.0, 80.0, 8.0, joint_of("steep 40"))
    stout = plain_bar(STEEL, 50.0, 80.0, 30.0, joint_of("steep 40"))
    assert slender.log_sd < stout.log_sd < 0.6
