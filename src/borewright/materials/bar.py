"""What bars, heads and setting rings are made of: how stiff, how heavy, how they grow."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Final

from borewright.errors import NotHeldError
from borewright.materials.value import Value

_MEMORY: Final = "handbook value, from memory"


@dataclass(frozen=True, slots=True)
class Bar:
    """A material of bars or rings.

    Args:
        name: what it is called.
        modulus: Young's modulus, MPa.
        poisson: Poisson's ratio.
        density: kg/mm^3.
        expansion: coefficient of thermal expansion, 1/K.
        ratio_limit: overhang over diameter up to which a plain bar of it is used; 0 for a ring. Common practice.
    """

    name: str
    modulus: Value
    poisson: float
    density: Value
    expansion: Value
    ratio_limit: float


def _bar(
    name: str,
    modulus: tuple[float, float],
    density: tuple[float, float],
    expansion_um: tuple[float, float],
    poisson: float,
    limit: float,
) -> Bar:
    return Bar(
        name,
        Value(modulus[0] * 1e3, modulus[1] * 1e3, "memory", _MEMORY),
        poisson,
        Value(density[0] * 1e-9, density[1] * 1e-9, "memory", _MEMORY),
        Value(expansion_um[0] * 1e-6, expansion_um[1] * 1e-6, "memory", _MEMORY),
        limit,
    )


# modulus GPa, density kg/m³, growth µm/(m K), each with one standard deviation; Poisson's ratio; overhang limit. From
# memory (handbooks); the limits are common practice.
BARS: Final = (
    _bar("steel", (208.0, 2.0), (7850.0, 30.0), (11.5, 0.6), 0.29, 4.0),
    _bar("tungsten alloy", (320.0, 25.0), (17500.0, 500.0), (5.5, 0.6), 0.28, 6.0),
    _bar("carbide", (600.0, 20.0), (14700.0, 150.0), (5.0, 0.5), 0.22, 8.0),
    _bar("aluminium", (71.7, 1.0), (2810.0, 30.0), (23.4, 0.8), 0.33, 2.0),
    _bar("ring steel", (208.0, 2.0), (7830.0, 30.0), (11.5, 0.4), 0.29, 0.0),
    _bar("ring carbide", (600.0, 20.0), (14700.0, 150.0), (5.0, 0.5), 0.22, 0.0),
    _bar("ceramic block", (205.0, 5.0), (6000.0, 60.0), (9.3, 0.6), 0.30, 0.0),
)
"""The bar and ring materials held."""


def bar_of(words: str) -> Bar:
    """Find a bar or ring material by its name.

    Args:
        words: such as ``steel`` or ``carbide``.

    Returns:
        The material.

    Raises:
        NotHeldError: nothing is held for these words.
    """
    wanted = " ".join(words.lower().replace("aluminum", "aluminium").replace("heavy metal", "tungsten alloy").split())
    for bar in BARS:
        if bar.name == wanted:
            return bar
    names = [bar.name for bar in BARS]
    near = difflib.get_close_matches(wanted, names, n=1)
    raise NotHeldError(
        "Nothing is held of a bar or ring of this material.",
        given=words,
        right=f"Did you mean {near[0]}?" if near else f"Held here: {', '.join(names)}.",
        where="bar",
    )
