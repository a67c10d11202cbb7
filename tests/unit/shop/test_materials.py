"""The shop's own cutting forces: kept once, with who and when, and in every bore that is opened after."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.shop import acts, bores
from borewright.shop.materials import force_history, forget_force, keep_force, own_forces
from borewright.shop.store import Store
from tests.unit.shop.test_acts import GIVEN

AT = "2027-03-01T06:00:00Z"
PAIR = {"kc": "2400", "exponent": "0.24", "source": "dynamometer, May", "certainty": "measured"}
CUT = {
    **GIVEN,
    "material": "42CrMo4",
    "push_off": None,
    "cut": {"feed": "0.08", "nose": "0.4", "push_test": [{"load": "100", "gives": "0.012"}]},
}


def origin(store: Store, bore: object) -> str:
    return next(one.origin for one in bores.view(store, str(bore)).opening.frozen if one.what == "push_off")


def test_the_latest_holds_and_each_stays_on_record(store: Store) -> None:
    assert own_forces(store) == ()
    keep_force(store, "42CrMo4", PAIR, by="I. Thorne", at=AT)
    keep_force(store, "4140", {**PAIR, "kc": "2300", "within": "0.05"}, by="R. Amberley", at="2027-04-01T06:00:00Z")
    keep_force(store, "C45", PAIR, by="I. Thorne", at=AT)
    first, second = own_forces(store)
    assert (first.material, str(first.kc), first.by, first.on) == ("42CrMo4", "2300", "R. Amberley", "2027-04-01")
    assert second.material == "C45"
    assert [material for material, _ in force_history(store)] == ["42CrMo4", "42CrMo4", "C45"]
    assert forget_force(store, "42crmo4", by="I. Thorne", at=AT).kc == 2300
    assert [force.material for force in own_forces(store)] == ["C45"]
    assert len(force_history(store)) == 4


def test_a_bore_is_opened_with_it_and_keeps_it_whatever_is_decided_later(store: Store) -> None:
    before = acts.open_bore(store, CUT)["bore"]
    keep_force(store, "42CrMo4", PAIR, by="I. Thorne", at=AT)
    after = acts.open_bore(store, CUT, bore="after")["bore"]
    other = acts.open_bore(store, {**CUT, "material": "C45"}, bore="other")["bore"]
    forget_force(store, "42CrMo4", by="I. Thorne")
    assert "the shop's own" not in origin(store, before)
    assert "the shop's own" not in origin(store, other)
    entered = "the shop's own: dynamometer, May; measured on metal; entered by I. Thorne 2027-03-01"
    assert entered in origin(store, after)
    frozen = bores.view(store, str(after)).opening.given.cut
    assert frozen is not None
    assert frozen.force is not None
    assert (frozen.force.by, frozen.force.on, frozen.force.certainty) == ("I. Thorne", "2027-03-01", "measured")


def test_an_opening_sent_again_after_it_is_the_same(store: Store) -> None:
    first = acts.open_bore(store, CUT, key="k", at=AT)
    keep_force(store, "42CrMo4", PAIR, by="I. Thorne")
    assert acts.open_bore(store, CUT, key="k", at=AT) == first


@pytest.mark.parametrize(
    ("material", "given", "by", "where"),
    [
        ("42CrMo4", {"kc": "2400", "source": "x", "certainty": "read"}, "I. Thorne", "exponent"),
        ("42CrMo4", {"exponent": "0.24", "source": "x", "certainty": "read"}, "I. Thorne", "kc"),
        ("42CrMo4", {**PAIR, "source": None}, "I. Thorne", "source"),
        ("42CrMo4", {**PAIR, "certainty": None}, "I. Thorne", "certainty"),
        ("42CrMo4", {**PAIR, "within": "2"}, "I. Thorne", "within"),
        ("42CrMo4", {**PAIR, "by": "me"}, "I. Thorne", "by"),
        ("42CrMo4", PAIR, None, "by"),
        ("42CrMo4", PAIR, "n" * 81, "by"),
        ("", PAIR, "I. Thorne", "material"),
        ("steel", PAIR, "I. Thorne", "material"),
        ("oak", PAIR, "I. Thorne", "material"),
    ],
)
def test_what_cannot_be_kept_is_refused_where_it_is_wrong(
    store: Store, material: str, given: dict[str, Any], by: str | None, where: str
) -> None:
    with pytest.raises(BorewrightError) as caught:
        keep_force(store, material, given, by=by)
    assert caught.value.where == where
    assert own_forces(store) == ()


def test_nothing_is_forgotten_that_is_not_kept(store: Store) -> None:
    with pytest.raises(NotHeldError, match="keeps no cutting force"):
        forget_force(store, "42CrMo4", by="I. Thorne")
    keep_force(store, "42CrMo4", PAIR, by="I. Thorne")
    with pytest.raises(EntryError, match="Nobody stands"):
        forget_force(store, "42CrMo4", by=None)
    assert len(own_forces(store)) == 1
