"""Whether a gauge can show a bore to be in at all: told from callout, gauge and rule alone, before anything is cut."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from borewright.callout import parse_callout
from borewright.gauging.conformity import Rule
from borewright.gauging.settling import capable, least_tolerance
from borewright.quantity.length import Unit
from borewright.sizing.belief import Belief, opened
from borewright.sizing.model import Model
from borewright.sizing.opening import read_start, unit_of
from borewright.sizing.priors import priors_of
from borewright.sizing.proving import MOST_SETTINGS, best_u

ANY: Final[Mapping[str, object]] = {
    "adjuster": {"kind": "offset", "on": "diameter", "step": "0.001 mm"},
    "push_off": "0.01 mm",
}
"""A tool that a start asks for and a gauge's reach does not depend on."""

COUNTS: Final = ("callout", "unit", "gauge", "material", "temperature", "ovality")
"""What of a start it depends on."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How well a gauge can know the size of a bore, at best.

    Args:
        u_mm: standard uncertainty of a size, form and all, mm.
        tolerance_mm: what the limits leave once form is taken off, mm.
        rule: the rule.
    """

    u_mm: float
    tolerance_mm: float
    rule: Rule

    @property
    def can_show(self) -> bool:
        """Whether any size could be judged in."""
        return self.rule.can_show(self.u_mm, self.tolerance_mm)

    def said(self, unit: Unit) -> str:
        """Say that the tolerance is too narrow for the gauge.

        Args:
            unit: unit to show lengths in.

        Returns:
            A sentence; empty where it is not.
        """
        return capable(self.u_mm, 0.0, self.tolerance_mm, self.rule, unit)


def reach_of(belief: Belief, model: Model, rule: Rule) -> Reach:
    """Return how well the gauge can know the size of a bore: with three settings of two readings, and its temperature.

    Args:
        belief: what is believed.
        model: the bore's constants.
        rule: the rule by which it is judged.

    Returns:
        Its reach.
    """
    form = model.form_mm
    u = math.hypot(best_u(belief, model, MOST_SETTINGS), form)
    return Reach(u, model.upper_mm - model.lower_mm - 2.0 * form, rule)


def gauge_reach(given: Mapping[str, object], rule: Rule) -> Reach:
    """Return how well a gauge can know the size of a bore that is not opened yet.

    Args:
        given: ``callout``, ``unit`` and ``gauge`` as a bore is started with; ``material``, ``temperature`` and
            ``ovality`` where they are known. What else a start asks for is not needed.
        rule: the rule by which it would be judged.

    Returns:
        Its reach.

    Raises:
        EntryError: one of them cannot be understood.
        NotHeldError: the callout asks for a class that is not held.
    """
    kept = {name: given[name] for name in COUNTS if given.get(name) is not None}
    unit = unit_of(kept.get("unit"))
    hole = parse_callout(str(kept.get("callout", "")), unit).lower.text
    start, limits = read_start({**ANY, **kept, "hole": hole})
    model = Model(priors_of(start), start.adjuster, limits.lower.mm, limits.upper.mm)
    return reach_of(opened(model), model, rule)


def wanted_mm(tolerance_mm: float, rule: Rule) -> float:
    """Return how well a size must be known so that any could be shown in: the largest expanded uncertainty.

    Args:
        tolerance_mm: upper limit minus lower, mm.
        rule: the rule.

    Returns:
        ``2 T / c`` with ``c`` the least tolerance in standard uncertainties, mm.
    """
    return 2.0 * tolerance_mm / least_tolerance(rule)
