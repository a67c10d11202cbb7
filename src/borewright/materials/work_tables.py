"""The work materials held: kc1.1 and mc by family, the rest by group.

Two families stand side by side and are never mixed in a row. The first is fitted here to specific cutting forces that
were read; the second is recalled, so it is wide and there to be overwritten. Each row is kc1.1 in N/mm² and mc.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from borewright.materials.value import Value
from borewright.materials.work import Group, Work

READ_FEEDS_MM: Final = (0.16, 0.25, 0.40, 0.63, 1.0, 1.6)
"""Feeds at which the read table gives the specific cutting force, mm a turn, at a tool cutting edge angle of 45°."""

READ_FAMILY: Final = "VDI 3106 procedure, fitted here with h = f sin 45°"
GROUP_FAMILY: Final = "by ISO 513 letter and VDI 3323 number, from memory"

READ_SPREAD: Final = 0.12
"""Relative standard deviation between such a table and metal: families differ by 20 % and more. From memory."""

GROUP_SPREAD: Final = 0.18
AUSTENITIC_SPREAD: Final = 0.25
"""Both families hold austenitic steel, as 1.4301 and as 304, and differ 1.6 times at 0.1 mm: half of that each way."""

EXPONENT_SD: Final = 0.04
"""Standard deviation of mc between families of one material: 0.14 to 0.26 for C45. From memory."""

# name; ISO 513 letter; condition; other names; kc at the feeds above, N/mm². Source: [vdi3106], table 2.
_READ: Final[tuple[tuple[str, Group, str, tuple[str, ...], tuple[int, ...]], ...]] = (
    ("S275", "P", "Rm 500 MPa", ("St 42", "S275JR"), (2600, 2400, 2200, 2050, 1900, 1800)),
    ("E295", "P", "Rm 520 MPa", ("St 50",), (3500, 3100, 2750, 2450, 2150, 1950)),
    ("E335", "P", "Rm 620 MPa", ("St 60",), (3050, 2800, 2600, 2400, 2200, 2050)),
    ("C45", "P", "Rm 670 MPa", ("1.0503", "1045", "Ck45", "C45E"), (3050, 2800, 2600, 2400, 2200, 2050)),
    ("C60", "P", "Rm 770 MPa", ("1.0601", "1060"), (3050, 2800, 2600, 2400, 2200, 2050)),
    ("E360", "P", "Rm 720 MPa", ("St 70",), (4350, 3800, 3300, 2900, 2500, 2200)),
    ("18CrNi8", "P", "Rm 630 MPa", ("1.5920",), (4350, 3800, 3300, 2900, 2500, 2200)),
    ("42CrMo4", "P", "Rm 730 MPa", ("1.7225", "4140", "42CrMo"), (4350, 3900, 3450, 3100, 2750, 2450)),
    ("16MnCr5", "P", "Rm 770 MPa", ("1.7131", "5115"), (3750, 3300, 2950, 2600, 2300, 2050)),
    ("Mn and CrNi steel", "P", "Rm 850 to 1000 MPa", ("34CrNiMo6", "CrNi steel"), (3700, 3400, 3100, 2800, 2550, 2350)),
    ("austenitic steel", "M", "", ("X5CrNi18-10", "1.4301"), (5400, 4900, 4400, 4000, 3600, 3300)),
    ("GE240", "P", "cast, Rm 300 to 500 MPa", ("GS-45", "cast steel"), (2300, 2100, 1950, 1800, 1700, 1600)),
    ("GE260", "P", "cast, Rm 500 to 700 MPa", ("GS-52",), (2550, 2350, 2200, 2050, 1900, 1800)),
    ("EN-GJL-150", "K", "up to 200 HB", ("GG 15", "GJL-150"), (1500, 1350, 1200, 1100, 1000, 900)),
    ("EN-GJL-250", "K", "200 to 250 HB", ("GG 25", "GJL-250"), (2050, 1800, 1600, 1450, 1300, 1150)),
)

# name; ISO 513 letter; condition; other names; kc1.1 in N/mm²; mc. From memory.
_RECALLED: Final[tuple[tuple[str, Group, str, tuple[str, ...], float, float], ...]] = (
    ("C15", "P", "annealed", ("1.0401", "1015", "1018", "low carbon steel"), 1350, 0.21),
    ("C45 annealed", "P", "", ("1045 annealed",), 1500, 0.22),
    ("C45 quenched and tempered", "P", "", ("C45 QT", "C45+QT", "1045 QT"), 1675, 0.24),
    ("C60 annealed", "P", "", ("1060 annealed",), 1700, 0.24),
    ("C75 quenched and tempered", "P", "", ("C75 QT", "1075 QT"), 1900, 0.24),
    ("16MnCr5 annealed", "P", "", ("case-hardening steel",), 1775, 0.24),
    ("42CrMo4 annealed", "P", "", ("4140 annealed",), 1775, 0.24),
    ("42CrMo4 275 HB", "P", "quenched and tempered", ("4140 275 HB",), 1675, 0.24),
    ("42CrMo4 300 HB", "P", "quenched and tempered", ("4140 300 HB", "42CrMo4 QT", "4140 QT"), 1725, 0.24),
    ("42CrMo4 350 HB", "P", "quenched and tempered", ("4140 350 HB",), 1800, 0.24),
    ("4340 350 HB", "P", "quenched and tempered", ("4340", "34CrNiMo6 QT"), 1800, 0.24),
    ("H13", "P", "annealed", ("X40CrMoV5-1", "1.2344"), 2450, 0.23),
    ("D2", "P", "annealed", ("X153CrMoV12", "1.2379"), 2500, 0.23),
    ("430", "M", "ferritic", ("X6Cr17", "1.4016"), 1875, 0.21),
    ("420", "M", "martensitic", ("X20Cr13", "1.4021"), 1875, 0.21),
    ("17-4PH", "M", "", ("X5CrNiCuNb16-4", "1.4542", "630"), 1875, 0.21),
    ("304", "M", "austenitic", ("304L", "1.4307"), 2150, 0.20),
    ("316", "M", "austenitic", ("316L", "1.4404", "X2CrNiMo17-12-2"), 2150, 0.20),
    ("EN-GJL-300", "K", "", ("GG 30", "GJL-300"), 1350, 0.28),
    ("EN-GJS-400-15", "K", "ferritic", ("GGG 40", "GJS-400", "65-45-12"), 1225, 0.25),
    ("EN-GJS-500-7", "K", "", ("GGG 50", "GJS-500", "80-55-06"), 1350, 0.28),
    ("EN-GJS-700-2", "K", "pearlitic", ("GGG 70", "GJS-700", "100-70-03"), 1350, 0.28),
    ("EN-GJMB-350", "K", "malleable, ferritic", ("GTS-35",), 1225, 0.25),
    ("EN-GJMB-550", "K", "malleable, pearlitic", ("GTS-55",), 1420, 0.30),
    ("wrought aluminium", "N", "not age-hardened", ("5083", "3003"), 700, 0.25),
    ("6061-T6", "N", "", ("6061", "6082"), 800, 0.25),
    ("7075-T6", "N", "", ("7075", "7075-T651", "2024-T4"), 800, 0.25),
    ("cast aluminium", "N", "up to 12 % Si", ("A356", "AlSi7Mg", "AlSi10Mg"), 700, 0.25),
    ("high-silicon aluminium", "N", "over 12 % Si", ("A390", "AlSi17Cu4Mg"), 750, 0.25),
    ("brass", "N", "", ("CuZn39Pb3", "C360"), 700, 0.27),
    ("bronze", "N", "", ("CuSn8", "CuSn12", "C932"), 700, 0.27),
    ("copper", "N", "", ("Cu-ETP", "C110"), 700, 0.27),
    ("A286", "S", "iron base, annealed", ("1.4980",), 2600, 0.24),
    ("Incoloy 909", "S", "iron base, aged", (), 3100, 0.24),
    ("Inconel 718", "S", "aged", ("2.4668", "718"), 3300, 0.24),
    ("titanium grade 2", "S", "commercially pure", ("3.7035", "CP titanium"), 1700, 0.23),
    ("Ti-6Al-4V", "S", "", ("titanium grade 5", "3.7164", "TiAl6V4"), 2110, 0.22),
    ("hardened steel 55 HRC", "H", "", ("100Cr6 hardened", "52100 hardened"), 4600, 0.25),
    ("hardened steel 60 HRC", "H", "", (), 4700, 0.25),
)  # fmt: skip

_AUSTENITIC: Final = frozenset({"austenitic steel", "304", "316"})

# By group: normal over cutting force, its width; edge force N/mm; neutral rake; heat capacity J/(mm³ K). From memory.
_GROUP: Final[dict[Group, tuple[float, float, float, float, float]]] = {
    "P": (0.60, 0.12, 12.0, 6.0, 3.7e-3),
    "M": (0.65, 0.13, 15.0, 6.0, 4.0e-3),
    "K": (0.60, 0.15, 10.0, 2.0, 3.6e-3),
    "N": (0.50, 0.12, 5.0, 0.0, 2.45e-3),
    "S": (0.90, 0.18, 18.0, 6.0, 3.0e-3),
    "H": (1.30, 0.30, 30.0, 0.0, 3.7e-3),
}
_MEMORY: Final = "from memory, by group"
_EDGE_SHARE: Final = 0.6
"""Relative standard deviation of the edge force: its order of magnitude is known and no more. From memory."""

_LOW_CONFIDENCE: Final = 0.25
"""Relative standard deviation for hardened steel, where tables hardly agree. From memory."""

_HEAT_SHARE: Final = 0.06
"""Relative standard deviation of density times specific heat within a group. From memory."""

_COPPER_HEAT: Final = 3.3e-3
"""Density times specific heat of copper and its alloys, J/(mm³ K). From memory."""


def fitted(forces: Sequence[float], feeds_mm: Sequence[float] = READ_FEEDS_MM) -> tuple[float, float, float]:
    """Fit ``kc = kc1.1 h^-mc`` to forces read at feeds, with ``h = f sin 45°``, by least squares of the logarithms.

    Args:
        forces: specific cutting forces, N/mm^2, shape (n,), at least three.
        feeds_mm: the feeds, mm, shape (n,).

    Returns:
        kc1.1 in N/mm^2, mc, and the root mean square of the relative residuals.
    """
    logs = [math.log(feed * math.sin(math.pi / 4.0)) for feed in feeds_mm]
    values = [math.log(force) for force in forces]
    mean, height = sum(logs) / len(logs), sum(values) / len(values)
    squares = sum((log - mean) ** 2 for log in logs)
    slope = sum((log - mean) * (value - height) for log, value in zip(logs, values, strict=True)) / squares
    residuals = [value - height - slope * (log - mean) for log, value in zip(logs, values, strict=True)]
    return math.exp(height - slope * mean), -slope, math.sqrt(sum(each**2 for each in residuals) / len(residuals))


def _work(name: str, group: Group, condition: str, also: tuple[str, ...], family: str, kc: Value, mc: Value) -> Work:
    thrust, thrust_sd, edge, rake, heat = _GROUP[group]
    if name in {"brass", "bronze", "copper"}:
        heat = _COPPER_HEAT
    return Work(
        name=name,
        group=group,
        condition=condition,
        also=also,
        family=family,
        kc=kc,
        exponent=mc,
        thrust=Value(thrust, thrust_sd, "memory", _MEMORY),
        edge=Value(edge, _EDGE_SHARE * edge, "memory", _MEMORY),
        neutral_rake_deg=rake,
        heat=Value(heat, _HEAT_SHARE * heat, "memory", _MEMORY),
    )


def _from_read() -> tuple[Work, ...]:
    rows = []
    for name, group, condition, also, forces in _READ:
        kc, exponent, _ = fitted(forces)
        spread = AUSTENITIC_SPREAD if name in _AUSTENITIC else READ_SPREAD
        rows.append(
            _work(
                name,
                group,
                condition,
                also,
                READ_FAMILY,
                Value(kc, spread * kc, "fitted", f"{READ_FAMILY}; width from memory"),
                Value(exponent, EXPONENT_SD, "fitted", f"{READ_FAMILY}; width from memory"),
            )
        )
    return tuple(rows)


def _from_memory() -> tuple[Work, ...]:
    rows = []
    for name, group, condition, also, kc, exponent in _RECALLED:
        spread = AUSTENITIC_SPREAD if name in _AUSTENITIC else _LOW_CONFIDENCE if group == "H" else GROUP_SPREAD
        rows.append(
            _work(
                name,
                group,
                condition,
                also,
                GROUP_FAMILY,
                Value(kc, spread * kc, "memory", GROUP_FAMILY),
                Value(exponent, EXPONENT_SD, "memory", GROUP_FAMILY),
            )
        )
    return tuple(rows)


WORK: Final = (*_from_read(), *_from_memory())
"""The work materials held, those read before those recalled."""
