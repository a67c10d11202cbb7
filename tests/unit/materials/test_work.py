"""Which work material a name means, and what a shop may overwrite."""

from __future__ import annotations

import math

import pytest

from borewright.errors import EntryError, NotHeldError
from borewright.materials.bar import BARS, bar_of
from borewright.materials.value import Value
from borewright.materials.work import GROUPS, find_work, overwritten
from borewright.materials.work_tables import GROUP_FAMILY, READ_FAMILY, WORK


def test_forty_and_more_over_all_six_groups() -> None:
    assert len(WORK) >= 40
    assert {row.group for row in WORK} == set(GROUPS)
    names = [row.name.lower() for row in WORK]
    assert len(names) == len(set(names))


def test_no_two_tables_in_a_row() -> None:
    for row in WORK:
        assert row.family in {READ_FAMILY, GROUP_FAMILY}
        assert row.kc.certainty == row.exponent.certainty
        assert row.family in row.kc.source
        assert row.family in row.exponent.source


def test_every_value_says_its_source_and_has_a_width() -> None:
    for row in WORK:
        for value in (row.kc, row.exponent, row.thrust, row.edge, row.heat):
            assert value.source
            assert 0.0 < value.relative < 1.0
            assert value.certainty == "fitted" or "memory" in value.source
    for bar in BARS:
        assert all(value.source and value.sd > 0.0 for value in (bar.modulus, bar.density, bar.expansion))


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("42CrMo4", "42CrMo4"),
        ("42crmo4", "42CrMo4"),
        ("4140", "42CrMo4"),
        ("bar of 42CrMo4, as rolled", "42CrMo4"),
        ("4140 300 HB", "42CrMo4 300 HB"),
        ("Ti-6Al-4V", "Ti-6Al-4V"),
        ("Ti6Al4V", "Ti-6Al-4V"),
        ("grey iron", "EN-GJL-250"),
        ("alloy steel", "42CrMo4"),
        ("Aluminum", "6061-T6"),
        ("thin stainless steel", "304"),
        ("316L", "316"),
        ("17-4PH", "17-4PH"),
        ("steel", "C45"),
        ("hardened steel", "hardened steel 55 HRC"),
        ("pre-hardened mould steel", "42CrMo4 300 HB"),
        ("unhardened carbon steel", "C45"),
        ("case-hardening steel", "16MnCr5 annealed"),
    ],
)
def test_found_by_name(words: str, name: str) -> None:
    assert find_work(words, WORK).name == name


@pytest.mark.parametrize(
    ("name", "kc", "exponent"),
    [
        ("S275", 1811, 0.162),
        ("E295", 1991, 0.257),
        ("C45", 2085, 0.173),
        ("18CrNi8", 2272, 0.297),
        ("42CrMo4", 2526, 0.250),
        ("16MnCr5", 2109, 0.262),
        ("Mn and CrNi steel", 2394, 0.201),
        ("austenitic steel", 3364, 0.216),
        ("GE240", 1610, 0.157),
        ("GE260", 1817, 0.152),
        ("EN-GJL-150", 922, 0.220),
        ("EN-GJL-250", 1186, 0.246),
    ],
)
def test_pairs_fitted_to_what_was_read(name: str, kc: float, exponent: float) -> None:
    # Worked out by hand from the same rows: least squares of the logarithms.
    row = find_work(name, WORK)
    assert row.kc.value == pytest.approx(kc, abs=0.6)
    assert row.exponent.value == pytest.approx(exponent, abs=6e-4)


def test_a_mere_kind_is_wider_and_says_so() -> None:
    named, kind = find_work("C45", WORK), find_work("steel", WORK)
    assert kind.kc.value == named.kc.value
    assert kind.kc.sd > 1.5 * named.kc.sd
    assert "only “steel” was said" in kind.kc.source


def test_a_designation_inside_another_is_not_it() -> None:
    with pytest.raises(NotHeldError, match="Held nearest"):
        find_work("2304", WORK)


@pytest.mark.parametrize("words", [None, "", "  "])
def test_nothing_said(words: str | None) -> None:
    with pytest.raises(EntryError, match="material is missing"):
        find_work(words, WORK)


def test_no_data() -> None:
    with pytest.raises(NotHeldError, match=r"No cutting force is held.*give kc and its exponent"):
        find_work("oak", WORK)


def test_the_shop_overwrites_both_and_it_is_told() -> None:
    row = find_work("42CrMo4", WORK)
    kc = Value(1810.0, 90.0, "shop", "cutting test, dynamometer, two feeds")
    mine = overwritten(row, kc, Value(0.22, 0.02, "shop", "the same test"))
    assert mine.kc.value == 1810.0
    assert "cutting test" in mine.family
    assert mine.thrust == row.thrust


@pytest.mark.parametrize(("kc", "exponent", "says"), [(25.0, 0.2, "specific force"), (1800.0, 1.2, "exponent")])
def test_the_shop_cannot_overwrite_with_nonsense(kc: float, exponent: float, says: str) -> None:
    with pytest.raises(EntryError, match=says):
        overwritten(WORK[0], Value(kc, 1.0, "shop", "x"), Value(exponent, 0.02, "shop", "x"))


def test_a_width_is_not_negative() -> None:
    with pytest.raises(EntryError, match="width of zero or more"):
        Value(1.0, -0.1, "shop", "x")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("C45", "C45 quenched and tempered"),
        ("42CrMo4", "42CrMo4 275 HB"),
        ("16MnCr5", "16MnCr5 annealed"),
    ],
)
def test_families_agree_within_their_stated_widths(one: str, other: str) -> None:
    first, second = find_work(one, WORK), find_work(other, WORK)
    for thickness in (0.1, 0.3, 0.6):
        logs = [math.log(row.kc.value * thickness**-row.exponent.value) for row in (first, second)]
        width = math.hypot(first.kc.relative, second.kc.relative)
        assert abs(logs[0] - logs[1]) < 2.5 * width


def test_one_steel_under_two_names_is_as_wide_as_its_tables_differ() -> None:
    named = [find_work(name, WORK) for name in ("1.4301", "304")]
    logs = [math.log(row.kc.value * 0.1**-row.exponent.value) for row in named]
    assert abs(logs[0] - logs[1]) < 1.4 * math.hypot(*(row.kc.relative for row in named))


def test_handbook_unit_power_lies_within_the_stated_widths() -> None:
    # Unit power for sharp tools, kW s/cm³, for a feed of about 0.3 mm: a third family, as an independent check.
    for name, printed in (("C45", 2.24), ("42CrMo4 300 HB", 2.38), ("42CrMo4 annealed", 1.97)):
        row = find_work(name, WORK)
        force = row.kc.value * 0.3**-row.exponent.value
        assert abs(math.log(force / (printed * 1000.0))) < 2.0 * row.kc.relative


def test_bars() -> None:
    assert bar_of("Carbide").modulus.value == 600e3
    assert bar_of("heavy metal").name == "tungsten alloy"
    with pytest.raises(NotHeldError, match="Did you mean steel"):
        bar_of("stel")
