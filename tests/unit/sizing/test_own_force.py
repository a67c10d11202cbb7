"""The shop's own cutting force: both numbers of one source, found again by the material, with where it comes from."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.errors import EntryError, NotHeldError
from borewright.materials.work import find_work
from borewright.materials.work_tables import WORK
from borewright.record.fields import read_payload
from borewright.record.payloads.cut import OwnForce
from borewright.sizing.own_force import SHARES, far_from_table, keepable, own_work, provenance, with_own_force

PAIR: dict[str, object] = {"kc": "2400", "exponent": "0.24", "source": "dynamometer, May", "certainty": "measured"}


def force(**fields: object) -> OwnForce:
    return read_payload(OwnForce, {**PAIR, **fields}, None)


def cut_with(material: str, *kept: OwnForce, **cut: object) -> Any:  # noqa: ANN401  # plain values
    found = with_own_force({"material": material, "cut": {"feed": "0.08", **cut}}, kept)["cut"]
    assert isinstance(found, dict)
    return found.get("force")


def test_both_numbers_go_in_the_place_of_the_tables_and_nothing_else_does() -> None:
    table, own = find_work("42CrMo4", WORK), own_work(force(), "42CrMo4")
    assert (own.kc.value, own.exponent.value) == (2400.0, 0.24)
    assert own.kc.certainty == own.exponent.certainty == "shop"
    assert (own.thrust, own.edge, own.heat) == (table.thrust, table.edge, table.heat)
    assert own_work(force(thrust="0.7"), "42CrMo4").thrust.value == 0.7


@pytest.mark.parametrize("certainty", sorted(SHARES))
def test_a_width_that_was_not_given_goes_by_how_sure_the_source_is(certainty: str) -> None:
    assert own_work(force(certainty=certainty), "42CrMo4").kc.relative == pytest.approx(SHARES[certainty])
    assert own_work(force(certainty=certainty, within="0.03"), "42CrMo4").kc.relative == pytest.approx(0.03)
    assert SHARES["measured"] < SHARES["read"] < SHARES["estimated"]


def test_where_it_comes_from_is_said_with_who_and_when() -> None:
    said = provenance(force(by="I. Thorne", on="2027-03-01"))
    assert said == "dynamometer, May; measured on metal; entered by I. Thorne 2027-03-01"
    assert own_work(force(by="I. Thorne"), "42CrMo4").family.startswith("the shop's own: dynamometer, May")


def test_it_is_found_by_every_name_of_the_material_and_by_no_other() -> None:
    kept = keepable(force(), "4140")
    assert kept.material == "42CrMo4"
    for words in ("42CrMo4", "1.7225", "forging of 42CrMo4"):
        assert cut_with(words, kept)["kc"] == "2400"
        assert cut_with(words, kept)["source"] == "dynamometer, May"
    for words in ("42CrMo4 300 HB", "C45", "oak"):
        assert cut_with(words, kept) is None
    assert cut_with("42CrMo4") is None


def test_where_only_a_kind_is_said_it_is_wider_and_says_so() -> None:
    filled = cut_with("alloy steel", keepable(force(within="0.05"), "42CrMo4"))
    assert float(filled["within"]) == pytest.approx((0.05**2 + 0.20**2) ** 0.5, abs=1e-4)
    assert "only “alloy steel” was said" in filled["source"]


def test_what_a_cut_itself_says_stands_before_it() -> None:
    kept, typed = keepable(force(), "42CrMo4"), {"kc": "2000", "exponent": "0.2", "source": "the order"}
    assert cut_with("42CrMo4", kept, force=typed) == typed


def test_a_material_that_is_not_held_goes_by_the_one_it_is_like_in_the_rest() -> None:
    with pytest.raises(NotHeldError, match="No cutting force is held") as caught:
        keepable(force(), "Orrin 70")
    assert "say which of those held it is like" in caught.value.right
    kept = keepable(force(like="Ti-6Al-4V"), "Orrin 70")
    own = own_work(kept, "Orrin 70 bar")
    assert (own.name, own.group, own.like) == ("Orrin 70", "S", "Ti-6Al-4V")
    assert cut_with("Orrin 70 bar", kept)["like"] == "Ti-6Al-4V"
    with pytest.raises(NotHeldError) as caught:
        keepable(force(like="oak"), "Orrin 70")
    assert caught.value.where == "like"


def test_what_cannot_be_kept_is_told() -> None:
    with pytest.raises(EntryError, match="names a kind"):
        keepable(force(), "alloy steel")
    with pytest.raises(EntryError, match="is held itself"):
        keepable(force(like="C45"), "42CrMo4")
    with pytest.raises(EntryError, match="above 10000"):
        force(kc="350000")


def test_a_force_far_from_the_table_is_told_of_and_kept() -> None:
    assert far_from_table(keepable(force(), "42CrMo4")) == ""
    assert "The table holds 2526 N/mm² for 42CrMo4" in far_from_table(keepable(force(kc="350"), "42CrMo4"))
