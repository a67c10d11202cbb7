"""How much a material grows, from the words a shop calls it by."""

from __future__ import annotations

import pytest

from borewright.materials.expansion import ASSUMED, expansion_of


@pytest.mark.parametrize(
    ("words", "per_kelvin"),
    [
        ("steel", 11.5e-6),
        ("Carbon steel C45", 11.5e-6),
        ("stainless steel", 17.3e-6),
        ("304", 17.3e-6),
        ("316 bar", 16.0e-6),
        ("17-4PH", 10.8e-6),
        ("6061 plate", 23.6e-6),
        ("Aluminum 7075-T6", 23.4e-6),
        ("aluminium", 23.1e-6),
        ("aluminum", 23.1e-6),
        ("Ti-6Al-4V", 8.6e-6),
        ("grey iron", 10.8e-6),
        ("ductile iron", 12.0e-6),
        ("brass", 20.5e-6),
        ("bronze bush", 18.0e-6),
        ("Inconel 718", 13.0e-6),
        ("carbide", 5.0e-6),
    ],
)
def test_words_of_the_shop_are_known(words: str, per_kelvin: float) -> None:
    expansion = expansion_of(words)
    assert expansion.per_kelvin == pytest.approx(per_kelvin, rel=1e-12)
    assert expansion is not ASSUMED
    assert 0.0 < expansion.sd_per_kelvin < 0.1 * per_kelvin


@pytest.mark.parametrize("words", [None, "", "unobtainium", "part 3041"])
def test_what_is_not_known_is_taken_for_steel_widely(words: str | None) -> None:
    assert expansion_of(words) is ASSUMED
    assert ASSUMED.per_kelvin == 11.5e-6
    assert ASSUMED.sd_per_kelvin > 3.0 * expansion_of("steel").sd_per_kelvin
    assert "assumed" in ASSUMED.source


def test_what_is_from_memory_says_so() -> None:
    assert "from memory" in expansion_of("brass").source
    assert "Swyt" in expansion_of("steel").source
