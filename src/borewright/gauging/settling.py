"""What would settle a verdict that is not shown either way, and what a gauge can show before a chip is cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from borewright.gauging.comparison import Comparison
from borewright.gauging.conformity import Rule, Verdict, normal_cdf
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length


@dataclass(frozen=True, slots=True)
class Way:
    """A way to know the size better.

    Args:
        name: what to do, in the trade's words.
        after: the comparison as it will then be, at the size as it is known now.
    """

    name: str
    after: Comparison


@dataclass(frozen=True, slots=True)
class Settled:
    """What a way would come to.

    Args:
        name: what to do.
        u_mm: standard uncertainty of the size then, mm.
        shown_in: probability that the verdict is then in.
        shown_out: probability that it is then out.
    """

    name: str
    u_mm: float
    shown_in: float
    shown_out: float

    @property
    def settles(self) -> float:
        """Probability that there is then a verdict."""
        return self.shown_in + self.shown_out


def ways_to_know_better(
    now: Comparison, *, certificate_u_mm: float | None = None, taken_u: float = 0.3, more: int = 4
) -> tuple[Way, ...]:
    """List what would make a size better known.

    Args:
        now: the comparison as it is.
        certificate_u_mm: standard uncertainty of a master that could be had, mm, or None.
        taken_u: standard uncertainty of a temperature taken with a thermometer, K.
        more: how many readings more, in the bore and on the master.

    Returns:
        The ways that make it any better; all of them together at the end where there are several.
    """
    steps = {f"read {more} times more": _read_more(now, more)}
    if certificate_u_mm is not None and certificate_u_mm < now.u_master_mm:
        steps["use a master with a better certificate"] = replace(now, u_master_mm=certificate_u_mm)
    if now.part.u_own > taken_u or now.master.u_own > taken_u:
        part = replace(now.part, u_own=min(now.part.u_own, taken_u))
        steps["take the temperature of part and master"] = replace(
            now, part=part, master=replace(now.master, u_own=min(now.master.u_own, taken_u))
        )
    if abs(now.part.above_20) > 1.0:
        steps["let part and master soak at 20 °C"] = _soaked(now)
    u = now.budget().u_mm
    ways = [Way(name, after) for name, after in steps.items() if after.budget().u_mm < u]
    if len(ways) > 1:
        ways.append(Way("all of these", _together(now, ways)))
    return tuple(ways)


def settled_by(now: Comparison, ways: Sequence[Way], rule: Rule, lower: float, upper: float) -> tuple[Settled, ...]:
    """Foresee what each way to know a size better comes to.

    A better estimate of a size that is known by u is spread about the one now by ``sqrt(u^2 - u'^2)``.

    Args:
        now: the comparison as it is.
        ways: ways to know better.
        rule: the rule of the verdict.
        lower: lower limit, mm.
        upper: upper limit, mm.

    Returns:
        One for each way, the likeliest to settle it first.

    Source: variance of a conditional mean, exact for normal beliefs; common practice, no source.
    """
    budget = now.budget()
    found = []
    for way in ways:
        after = way.after.budget()
        u = after.u_mm
        spread = math.sqrt(max(budget.u_mm**2 - u**2, 0.0))
        shown = _shown(budget.size_mm, spread, after.judged_u_mm, rule, (lower, upper))
        found.append(Settled(way.name, u, *shown))
    return tuple(sorted(found, key=lambda each: -each.settles))


def capable(u_mm: float, lower: float, upper: float, rule: Rule, unit: Unit = "mm") -> str:
    """Say before cutting where no reading could show a bore in.

    Args:
        u_mm: standard uncertainty that the gauge can come to, mm.
        lower: lower limit, mm.
        upper: upper limit, mm.
        rule: the rule.
        unit: unit to show lengths in.

    Returns:
        A sentence, or nothing where a size can be shown in.
    """
    tolerance = upper - lower
    if rule.can_show(u_mm, tolerance):
        return ""
    return (
        f"No reading of this gauge can show a bore in: the tolerance of {_said(tolerance, unit)} is "
        f"{tolerance / u_mm:.2g} standard uncertainties, and {rule.text} takes {least_tolerance(rule):.3g}. "
        "Find a better gauge or ring, or agree on another rule, before cutting."
    )


def _said(mm: float, unit: Unit) -> str:
    return f"{mm * 1000.0:.3g} µm" if unit == "mm" else show_length(mm, unit, decimals=5)


def least_tolerance(rule: Rule) -> float:
    """Return the narrowest tolerance in which a size can be shown in, in standard uncertainties.

    Args:
        rule: the rule.

    Returns:
        Tolerance over u: ``2 z((1+p)/2)`` for proof at p, ``4 N`` for simple acceptance at N:1, ``4 h`` for a guard of
        h expanded uncertainties on both sides.

    Source: [jcgm106] 7.4 solved for the limit.
    """
    low, high = 1e-6, 1e6
    for _ in range(200):
        middle = math.sqrt(low * high)
        low, high = (low, middle) if rule.can_show(1.0, middle) else (middle, high)
    return high


def _shown(mean: float, spread: float, u: float, rule: Rule, limits: tuple[float, float]) -> tuple[float, float]:
    """Return the probability of either verdict for an estimate that is yet to come."""
    steps = 400
    verdicts: dict[Verdict, float] = {"in": 0.0, "out": 0.0, "not shown": 0.0}
    if spread <= 0.0:
        verdicts[rule.judge(mean, u, *limits)[0]] = 1.0
        return verdicts["in"], verdicts["out"]
    edges = [-6.0 + 12.0 * step / steps for step in range(steps + 1)]
    for low, high in pairwise(edges):
        verdict = rule.judge(mean + spread * 0.5 * (low + high), u, *limits)[0]
        verdicts[verdict] += normal_cdf(high) - normal_cdf(low)
    return verdicts["in"], verdicts["out"]


def _read_more(now: Comparison, more: int) -> Comparison:
    on_master = now.master_readings + more if now.master_readings else 0
    return replace(now, readings=now.readings + more, master_readings=on_master)


def _soaked(now: Comparison) -> Comparison:
    part = replace(now.part, above_20=0.0, u_own=min(now.part.u_own, 0.2))
    master = replace(now.master, above_20=0.0, u_own=min(now.master.u_own, 0.2))
    size = now.budget().size_mm
    soaked = replace(now, part=part, master=master, gauge_warmer=0.0, u_gauge_warmer=min(now.u_gauge_warmer, 0.2))
    return replace(soaked, over_mm=soaked.over_mm + size - soaked.budget().size_mm)


def _together(now: Comparison, ways: Sequence[Way]) -> Comparison:
    """Take from each way whatever it makes better."""
    best = now
    names = {way.name: way.after for way in ways}
    for after in names.values():
        best = replace(
            best,
            readings=max(best.readings, after.readings),
            master_readings=max(best.master_readings, after.master_readings),
            u_master_mm=min(best.u_master_mm, after.u_master_mm),
            part=after.part if after.part.u_own <= best.part.u_own else best.part,
            master=after.master if after.master.u_own <= best.master.u_own else best.master,
            u_gauge_warmer=min(best.u_gauge_warmer, after.u_gauge_warmer),
        )
    size = now.budget().size_mm
    return replace(best, over_mm=best.over_mm + size - best.budget().size_mm)
