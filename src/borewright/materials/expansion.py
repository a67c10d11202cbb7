"""How much a material grows with warmth."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Expansion:
    """A coefficient of thermal expansion.

    Args:
        material: the material it is for, as it is called here.
        per_kelvin: the coefficient, 1/K.
        sd_per_kelvin: its standard deviation, 1/K.
        source: where it comes from.
    """

    material: str
    per_kelvin: float
    sd_per_kelvin: float
    source: str


_HANDBOOK = "handbook value, from memory, within 10 %"
_NIST = "Swyt, J. Res. NIST 99 (1994) 31"


def _from_memory(material: str, um_per_m_kelvin: float) -> Expansion:
    """Take 10 % as the half width of a uniform distribution."""
    per_kelvin = um_per_m_kelvin * 1e-6
    return Expansion(material, per_kelvin, 0.1 * per_kelvin / 3**0.5, _HANDBOOK)


ASSUMED: Final = Expansion("steel", 11.5e-6, 1.5e-6, "assumed: steel, since nothing was said or known of the material")

_KNOWN: Final = (
    (r"stainless|\b30[34]\b", _from_memory("austenitic stainless steel", 17.3)),
    (r"\b316\b", _from_memory("316 stainless steel", 16.0)),
    (r"17-4", _from_memory("17-4PH stainless steel", 10.8)),
    (r"\b6061\b", _from_memory("aluminium 6061", 23.6)),
    (r"\b7075\b", _from_memory("aluminium 7075", 23.4)),
    (r"alumini?um", Expansion("aluminium", 23.1e-6, 0.8e-6, f"{_NIST}; width assumed")),
    (r"titanium|ti-6al-4v", _from_memory("titanium Ti-6Al-4V", 8.6)),
    (r"inconel|nickel", _from_memory("nickel alloy 718", 13.0)),
    (r"ductile|nodular", _from_memory("ductile iron", 12.0)),
    (r"iron", _from_memory("grey iron", 10.8)),
    (r"bronze", _from_memory("bronze", 18.0)),
    (r"brass", _from_memory("brass", 20.5)),
    (r"carbide", _from_memory("carbide", 5.0)),
    (r"steel", Expansion("steel", 11.5e-6, 0.4e-6, f"{_NIST}; width assumed")),
)


def expansion_of(material: str | None) -> Expansion:
    """Return the coefficient of a material named in plain words.

    Args:
        material: such as ``grey iron`` or ``aluminium 6061``; None where nothing was said.

    Returns:
        The coefficient; that of steel, with a wide standard deviation, where the words are not known.

    Source: [swyt1994] for steel and aluminium; the others are handbook values from memory.
    """
    words = (material or "").lower()
    for pattern, expansion in _KNOWN:
        if re.search(pattern, words):
            return expansion
    return ASSUMED
