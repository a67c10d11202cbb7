"""Form from readings by place: departures put in come out, with the uncertainty that scatter gives them."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.gauging.form import Placed, form_of

DEPTHS = (2.0, 15.0, 30.0, 45.0)
ROUND = (0.0, 60.0, 120.0)


def bore(
    size: Callable[[float, float], float], depths: tuple[float, ...] = DEPTHS, directions: tuple[float, ...] = ROUND
) -> list[Placed]:
    """Read a bore whose diameter is a function of depth and direction at every place."""
    return [Placed(size(z, a), z, a) for z in depths for a in directions]


def oval(z: float, a: float) -> float:
    """A bore of 50 mm, 6 µm oval along 25 degrees, 8 µm larger at the bottom than at the mouth."""
    return 50.0 + 0.003 * math.cos(2.0 * math.radians(a - 25.0)) + 0.008 * (z - 2.0) / 43.0


def test_ovality_and_taper_come_out() -> None:
    form = form_of(bore(oval), 0.001)
    found = {each.name: each.mm for each in form.departures}
    assert found["ovality"] == pytest.approx(0.006)
    assert found["taper"] == pytest.approx(0.008)
    assert found["bell mouth"] == pytest.approx(0.0, abs=1e-12)
    assert found["barrel"] == pytest.approx(0.0, abs=1e-12)
    assert form.largest_mm - form.smallest_mm == pytest.approx(
        max(f := [oval(z, a) for z in DEPTHS for a in ROUND]) - min(f)
    )
    assert not form.missing


def test_bell_mouth_and_barrel_come_out() -> None:
    flared = form_of(bore(lambda z, _: 50.0 + (0.010 if z < 5.0 else 0.0)), 0.001).departure("bell mouth")
    assert flared is not None
    assert flared.mm == pytest.approx(0.010)
    barrel = form_of(bore(lambda z, _: 50.0 + 0.005 * (1.0 - ((z - 23.5) / 21.5) ** 2)), 0.001).departure("barrel")
    assert barrel is not None
    assert barrel.mm == pytest.approx(0.005)
    assert barrel.shown


@pytest.mark.parametrize("name", ["taper", "bell mouth", "barrel", "ovality"])
def test_stated_uncertainty_is_the_scatter_of_what_comes_out(name: str) -> None:
    rng = np.random.default_rng(11)
    found = []
    for _ in range(600):
        places = [Placed(p.mm + rng.normal(0.0, 0.0005), p.depth_mm, p.direction_deg) for p in bore(oval)]
        departure = form_of(places, 0.0005).departure(name)
        assert departure is not None
        found.append((departure.mm, departure.u_mm))
    values, stated = np.array(found).T
    assert float(values.std()) == pytest.approx(float(stated.mean()), rel=0.12)


def test_two_directions_are_told_to_be_no_more_than_that() -> None:
    right = form_of(bore(oval, directions=(25.0, 115.0)), 0.001).departure("ovality")
    wrong = form_of(bore(oval, directions=(70.0, 160.0)), 0.001).departure("ovality")
    assert right is not None
    assert wrong is not None
    assert right.mm == pytest.approx(0.006)
    assert wrong.mm == pytest.approx(0.0, abs=1e-12)
    assert "third" in wrong.caution


def test_what_was_not_read_is_asked_for() -> None:
    form = form_of([Placed(50.0, 10.0, 0.0), Placed(50.001, 10.2, 0.0)], 0.001)
    assert form.departures == ()
    assert len(form.missing) == 4
    assert form.u_mm == pytest.approx(0.001 / math.sqrt(2.0))


def test_three_depths_cannot_tell_bell_mouth_from_barrel() -> None:
    form = form_of(bore(oval, depths=(2.0, 20.0, 45.0)), 0.001)
    mouth = form.departure("bell mouth")
    assert mouth is not None
    assert "barrel" in mouth.caution
    two = form_of(bore(oval, depths=(2.0, 45.0)), 0.001).departure("taper")
    assert two is not None
    assert "bell mouth" in two.caution


def test_few_readings_behind_the_scatter_widen_what_counts_as_shown() -> None:
    known, guessed = (form_of(bore(oval), 0.002, dof).departure("taper") for dof in (math.inf, 2.0))
    assert known is not None
    assert guessed is not None
    assert guessed.half_width_mm > known.half_width_mm


def test_an_impossible_form_is_refused() -> None:
    with pytest.raises(EntryError, match="do not differ by so much"):
        form_of([Placed(50.0, 1.0, 0.0), Placed(60.0, 1.0, 90.0)], 0.001)
    with pytest.raises(EntryError, match="mouth down"):
        form_of([Placed(50.0, -1.0, 0.0)], 0.001)
    with pytest.raises(EntryError, match="no reading"):
        form_of([], 0.001)
