"""Which simulated machine stands behind a bore, told by the bore's name alone."""

from __future__ import annotations

import pytest

from borewright import Bore
from borewright.errors import EntryError, NotHeldError
from borewright.exchange.demo import DEMO_BORES, DemoBore
from borewright.exchange.rehearsals import MOST_SEED, begin, begun, next_seed, of_demo
from borewright.record.stream import StreamId
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", [1, 7, MOST_SEED])
def test_the_name_of_a_rehearsal_says_its_machine_again(kind: str, seed: int) -> None:
    stem, given = begin(kind, seed)
    name = f"{stem}.0f3a9c21"
    assert StreamId("bore", name).identity == name
    found = begun(name)
    assert found is not None
    assert (found.kind.name, found.seed, found.unit) == (kind, seed, "mm")
    bore = Bore.start(given, bore_id=name)
    told = Truth.draw(KINDS[kind], seed).told()
    assert bore.opening.limits.upper.mm == pytest.approx(told.upper_mm, abs=1e-4)
    assert bore.opening.given.hole.size.mm == pytest.approx(told.hole_mm, abs=1e-4)


@pytest.mark.parametrize("demo", DEMO_BORES, ids=lambda demo: demo.name)
def test_the_machine_behind_a_bore_of_the_demo_is_known(demo: DemoBore) -> None:
    found = of_demo(demo.bore().identity)
    assert found is not None
    assert (found.kind, found.seed, found.unit) == (demo.kind, demo.seed, demo.job().units)


@pytest.mark.parametrize(
    "name",
    [
        "upper-eye",
        "rehearsal",
        "rehearsal.titanium",
        "rehearsal.titanium.7",
        "rehearsal.titanium.seven.0f3a9c21",
        "rehearsal.tin.7.0f3a9c21",
        "repeat.titanium.7.0f3a9c21",
        "dome_drive_7.pinion_seat",
    ],
)
def test_any_other_name_is_none_of_a_rehearsal(name: str) -> None:
    assert begun(name) is None


def test_a_bore_that_the_demo_does_not_have_has_no_machine() -> None:
    assert of_demo("dome_drive_7.worm_seat") is None


@pytest.mark.parametrize("kind", ["a lathe", "", None, 3])
def test_a_kind_that_is_not_held_is_refused_with_those_that_are(kind: object) -> None:
    with pytest.raises(NotHeldError) as refused:
        begin(kind, 1)
    assert refused.value.where == "kind"
    assert "titanium" in refused.value.right


@pytest.mark.parametrize("seed", [0, -1, MOST_SEED + 1, "1", 1.5, True, None])
def test_what_is_no_seed_is_refused(seed: object) -> None:
    with pytest.raises(EntryError) as refused:
        begin("titanium", seed)
    assert refused.value.where == "seed"


def test_the_seed_that_is_offered_is_one_that_nobody_has_met() -> None:
    assert next_seed([]) == 1
    assert next_seed(["shop.front_eye", f"{begin('titanium', 4)[0]}.0f3a9c21", f"{begin('titanium', 2)[0]}.0f"]) == 5
    assert next_seed([f"{begin('titanium', MOST_SEED)[0]}.0f3a9c21"]) == MOST_SEED
