"""Plugs: larger than one, smaller than another."""

from __future__ import annotations

import math

import pytest

from borewright.errors import EntryError
from borewright.gauging.plugs import Plug, tried


def test_one_plug_halves_a_belief_about_its_own_size() -> None:
    left = tried(50.0, 0.01, (Plug(50.0, 1e-6, entered=True),))
    assert left.surprise == pytest.approx(0.5, abs=1e-3)
    assert left.mean_mm == pytest.approx(50.0 + 0.01 * math.sqrt(2.0 / math.pi), abs=2e-5)
    assert left.sd_mm == pytest.approx(0.01 * math.sqrt(1.0 - 2.0 / math.pi), rel=5e-3)


def test_two_plugs_leave_an_interval() -> None:
    left = tried(50.0, 0.1, (Plug(50.0, 0.0005, entered=True), Plug(50.012, 0.0005, entered=False)))
    assert left.mean_mm == pytest.approx(50.006, abs=1e-4)
    assert left.sd_mm == pytest.approx(0.012 / math.sqrt(12.0), rel=0.03)


def test_what_is_known_already_is_not_moved() -> None:
    left = tried(50.006, 0.001, (Plug(50.0, 0.0005, entered=True),))
    assert left.mean_mm == pytest.approx(50.006, abs=1e-6)
    assert left.surprise == pytest.approx(1.0, abs=1e-6)


def test_the_impossible_is_refused() -> None:
    with pytest.raises(EntryError, match="entered") as caught:
        tried(50.0, 0.01, (Plug(50.01, 0.0005, entered=True), Plug(50.0, 0.0005, entered=False)))
    assert "chip" in caught.value.right
    with pytest.raises(EntryError, match="does not fit"):
        tried(50.0, 0.001, (Plug(50.02, 0.0005, entered=True),))
    with pytest.raises(EntryError, match="which plug"):
        tried(50.0, 0.001, ())
    with pytest.raises(EntryError, match="larger than 0"):
        Plug(50.0, 0.0, entered=True)
