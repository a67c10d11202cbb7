"""Advice as plain values: the next action, what it rests on, and what would narrow it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict
from typing import Final, TypeAlias

from borewright.gauging.conformity import Rule
from borewright.gauging.evidence import Size
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.record.payloads.opened import Start
from borewright.record.payloads.shared import NOT_KNOWN
from borewright.sizing.ahead import foresee
from borewright.sizing.belief import Belief, in_force
from borewright.sizing.choice import Chosen, choose
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import Gaussian, State, Vector, unit_row
from borewright.sizing.judging import Judged
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import Model
from borewright.sizing.priors import NORMAL_95, Prior
from borewright.sizing.save_hole import ways_to_save
from borewright.sizing.save_words import ways_plain
from borewright.sizing.screw import shown_for
from borewright.sizing.settings_apart import ANEW
from borewright.sizing.supposing import between, parts
from borewright.sizing.waiting import WAIT_MINUTES
from borewright.sizing.words import (
    CLAMP,
    WHY,
    Turn,
    cautions_of,
    place_of,
    say_action,
    say_saving,
    say_width,
    steps_of,
    turn_of,
)
from borewright.sizing.worth import worth_finding_out

ASSUMED: Final = "assumed: neither order nor drawing said"
SAFE: Final = "assumed: nobody knows, and so no move opens too far"

BENCH_DECIMALS: Final[dict[Unit, int]] = {"mm": 3, "in": 4}
"""Decimals of a diameter to set: thousandths of a millimetre, or tenths of a thousandth of an inch."""

UNCERTAIN: Final[dict[Unit, int]] = {"mm": 5, "in": 6}
"""Decimals of a standard uncertainty: a hundredth of a micrometre, or its like in inches."""

BENCH_STEP_MM: Final[dict[Unit, float]] = {"mm": 0.001, "in": 0.00254}
"""The same as a step, mm."""

FACTS: Final[tuple[tuple[str, tuple[State, ...], str], ...]] = (
    ("the hole before the pass", (State.HOLE,), "measure the hole once more"),
    ("the setting bench", (State.BENCH,), "the bench compared with a bore that was cut"),
    ("where the tool stands", (State.UNLOCKED, State.LOCK), "a trial cut, or the tool measured in the spindle"),
    ("lock shift", (State.LOCK_MEAN,), "an indicator on the tip while locking"),
    ("the adjuster's figures", (State.GAIN,), "an indicator on the tip over a known move"),
    ("push-off", (State.PUSH_OFF,), "a measured pass"),
    ("how push-off grows with depth", (State.EXPONENT,), "a pass of another depth"),
    ("push-off of the edge alone", (State.EDGE,), "a thin pass"),
    ("the gauge's setting", (State.GAUGE,), "the gauge set again on its ring"),
    ("warmth of the part", (State.WARMTH,), "the part's temperature"),
)
"""What may be uncertain, the states it is about, and what would tell it."""


def advise(belief: Belief, model: Model, costs: Costs, rule: Rule, unit: Unit) -> dict[str, object]:
    """Choose the next action and say all that belongs to it.

    Args:
        belief: what is believed.
        model: the bore's constants.
        costs: what things cost.
        rule: the rule by which the bore is judged.
        unit: the unit of the bore.

    Returns:
        Plain values: lengths as text with their unit, odds as numbers from 0 to 1; all but the assumptions.
    """
    model = in_force(belief, model)
    chosen = choose(belief, model, costs, rule, BENCH_STEP_MM[unit])
    show = _Shown(unit)
    turn = _turn(chosen, belief, model, unit)
    set_diameter = _set_diameter(chosen, show)
    place = place_of(chosen, belief)
    shares = _shares(belief.now, chosen)
    advice: dict[str, object] = {
        "model": model.name,
        "unit": unit,
        "state": belief.stage,
        "action": chosen.action,
        "say": say_action(chosen, turn, model, set_diameter, place),
        "why": WHY["surprise" if place == "same" else chosen.ground],
        "steps": _clamped_first(belief, chosen, steps_of(chosen, turn, model, set_diameter, place)),
        "now": show.spread([(share, each.hole_mm, each.now.sd(State.HOLE)) for share, each in parts(belief)]),
        "expect": show.spread(chosen.spread or [(1.0, chosen.mean_mm, chosen.sd_mm)]),
        "odds": {name: round(value, 6) for name, value in asdict(chosen.odds).items()},
        "passes_left": len(chosen.plan.steps) if chosen.plan is not None else 0,
        "trials_left": sum(step.trial for step in chosen.plan.steps) if chosen.plan is not None else 0,
        "parts": _parts(shares, chosen, show),
        "would_help": _would_help(belief, chosen, shares, show),
        "questions": [asdict(doubt) for doubt in belief.doubts],
        "cautions": cautions_of(chosen, model),
        "arithmetic": _arithmetic(belief, chosen, model, show),
    }
    if belief.tool_set:
        advice["tool"] = show.interval(belief.tool_mm, belief.tool_sd_mm)
    if place is not None:
        advice["place"] = place
    if set_diameter:
        advice["set"] = {"diameter": set_diameter}
    if turn is not None:
        advice["move"] = {name: value for name, value in asdict(turn).items() if value not in (None, 0)}
    advice |= _cuts(chosen, show)
    if chosen.action == "measure":
        own = {"with": "own gauge"} if chosen.ground == "own probe" else {}
        own |= {"state": "free"} if chosen.ground == "in clamps" else {}
        advice["measure"] = {"setting": "anew" if chosen.ground in ANEW else "same", **own}
    if chosen.action == "wait":
        advice["wait"] = {"minutes": str(WAIT_MINUTES)}
    if ways := ways_to_save(belief, chosen):
        advice["save"] = ways_plain(ways, costs.pass_, unit)
    if chosen.judged is not None:
        advice["release"] = release_values(chosen.judged, unit)
    return advice


def _clamped_first(belief: Belief, chosen: Chosen, steps: list[str]) -> list[str]:
    """Begin a cut with the clamps, where they were let go."""
    return [CLAMP, *steps] if not belief.clamped and chosen.action in {"cut", "move_and_cut"} else steps


def _cuts(chosen: Chosen, show: _Shown) -> dict[str, object]:
    """Say which cuts are planned, and what the next one is."""
    said: dict[str, object] = {}
    if chosen.plan is not None:
        said["aims"] = [show.length(step.aim_mm) for step in chosen.plan.steps]
        said["plan"] = [show.interval(step.aim_mm, step.sd_mm) for step in chosen.plan.steps]
        said["cost"] = round(chosen.plan.cost, 4)
    if chosen.step is not None and chosen.action in {"cut", "move_and_cut"}:
        said["cut"] = {"depth": "trial" if chosen.step.trial else "full"}
    if chosen.step is not None and chosen.step.trial:
        said["land"] = show.interval(chosen.step.aim_mm, chosen.step.sd_mm)
    return said


def release_values(judged: Judged, unit: Unit) -> dict[str, object]:
    """Return what must be in view when a bore is released.

    Args:
        judged: the evidence, judged.
        unit: the unit of the bore.

    Returns:
        Verdict, probability, rule, size and expanded uncertainty, the readings and what was corrected in their mean,
        the odds of either limit, and the parts of the uncertainty.
    """
    show, size = _Shown(unit), judged.size
    freedom = dict(size.freedom)
    said: dict[str, object] = {
        "verdict": judged.verdict,
        "probability": round(judged.probability, 6),
        "rule": judged.rule.text,
        "size": show.length(judged.size.mm),
        "expanded": show.length(size.expanded_mm),
        "coverage": say_coverage(size),
        "u": show.length(size.u_mm, UNCERTAIN[unit]),
        "k": round(size.factor, 2),
        "readings": judged.size.readings,
        "as_read": [show.length(as_read) for as_read in judged.as_read_mm],
        "correction": show_length(_corrected(judged), unit, sign=True),
        "oversize": round(judged.over, 6),
        "undersize": round(max(0.0, 1.0 - judged.probability - judged.over), 6),
        "parts": [
            {
                "what": name,
                "width": show.length(width, UNCERTAIN[unit]),
                "share": round((width / size.u_mm) ** 2, 4),
                **({"dof": _whole(freedom[name])} if name in freedom else {}),
            }
            for name, width in size.parts_mm
        ],
    }
    if math.isfinite(size.dof):
        said["dof"] = _whole(size.dof)
    if judged.why:
        said["not_shown_for"] = judged.why
    if judged.held:
        said["held"] = judged.held
    return said


def say_coverage(size: Size) -> str:
    """Say what an expanded uncertainty covers.

    Args:
        size: the size.

    Returns:
        Such as ``k = 2, about 95 %`` or ``k = 2.26 for 95 %, 9 degrees of freedom``.
    """
    if size.factor == 2.0:
        return "k = 2, about 95 %"
    return f"k = {size.factor:.2f} for 95 %, {_whole(size.dof)} degrees of freedom"


def _whole(dof: float) -> int:
    """Cut degrees of freedom to a whole number, as Student's t is taken for them."""
    return max(1, math.floor(dof))


def _corrected(judged: Judged) -> float:
    """Return what was added to the mean of the readings, mm: for the part's warmth and the master's."""
    return judged.size.mm - math.fsum(judged.as_read_mm) / len(judged.as_read_mm)


def unsaid(given: Start, rule: Rule, costs: Costs) -> list[dict[str, str]]:
    """List the rule, the costs and what the adjuster speaks of among the assumptions, where nobody named them.

    Args:
        given: what was typed.
        rule: the rule by which the bore is judged.
        costs: what things cost.

    Returns:
        Assumptions in the form of the others.
    """
    said = []
    if given.adjuster.on == NOT_KNOWN:
        speaks = "the radius; where it is the diameter, a move goes half as far"
        said.append(
            {"name": "on", "what": "what the adjuster's figures speak of", "value": speaks, "width": "", "origin": SAFE}
        )
    if given.rule is None:
        said.append(
            {"name": "rule", "what": "the rule of the verdict", "value": rule.text, "width": "", "origin": ASSUMED}
        )
    if given.costs is None:
        weighed = f"scrap {costs.scrap:g}, escape {costs.escape:g}, measurement {costs.measurement:g} passes"
        said.append({"name": "costs", "what": "what things cost", "value": weighed, "width": "", "origin": ASSUMED})
    return said


class _Shown:
    """Shows lengths in the bore's unit."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def length(self, mm: float, decimals: int | None = None) -> str:
        """Show a length with its unit."""
        return show_length(mm, self.unit, decimals=decimals)

    def interval(self, mm: float, sd_mm: float) -> dict[str, str]:
        """Show a size with the interval that holds it 95 times in 100."""
        half = NORMAL_95 * sd_mm
        return {"size": self.length(mm), "low": self.length(mm - half), "high": self.length(mm + half)}

    def spread(self, spread: Sequence[tuple[float, float, float]]) -> dict[str, str]:
        """Show the likeliest size under several suppositions, with the interval that holds it under all, 95 in 100."""
        _, mm, sd_mm = spread[0]
        if len(spread) == 1:
            return self.interval(mm, sd_mm)
        low, high = (between(spread, share) for share in (0.025, 0.975))
        return {"size": self.length(mm), "low": self.length(min(low, mm)), "high": self.length(max(high, mm))}


def _set_diameter(chosen: Chosen, show: _Shown) -> str:
    if chosen.action != "set" or chosen.step is None:
        return ""
    return show.length(chosen.step.change_mm, BENCH_DECIMALS[show.unit])


def _turn(chosen: Chosen, belief: Belief, model: Model, unit: Unit) -> Turn | None:
    if chosen.action != "move_and_cut":
        return None
    backlash = belief.now.at(State.BACKLASH) + 3.0 * belief.now.sd(State.BACKLASH)
    unlocking = shown_for(belief.now, model, 0.0)
    return turn_of(chosen, model, unit, belief.now.at(State.LOCK_MEAN), backlash, unlocking)


_Share: TypeAlias = tuple[str, str, float]


def _shares(belief: Gaussian, chosen: Chosen) -> list[_Share]:
    """Return by how much the result would be narrower if one thing were known: name, what tells it, mm."""
    cut = chosen.step is not None and not chosen.step.trial
    foreseen = None if chosen.step is None or not cut else foresee(belief, chosen.outlook, chosen.step.change_mm)
    shared = belief.covariance[State.HOLE] if foreseen is None else foreseen.shared
    shares = [(name, tells, _told_by(belief, states, shared)) for name, states, tells in FACTS]
    chances = {} if foreseen is None else foreseen.chances
    shares += [(name, "", math.sqrt(variance)) for name, variance in chances.items()]
    shares.sort(key=lambda share: -share[2])
    return shares


def _told_by(belief: Gaussian, states: tuple[State, ...], shared: Vector) -> float:
    """Return what of a standard deviation goes if a combination of states becomes known.

    Args:
        belief: the joint belief.
        states: those that are added up.
        shared: covariance of what is uncertain with each state, shape (22,).
    """
    row = unit_row(*states)
    own = float(row.dot(belief.covariance).dot(row))
    return abs(float(row.dot(shared))) / math.sqrt(own) if own > 0.0 else 0.0


def _parts(shares: list[_Share], chosen: Chosen, show: _Shown) -> list[dict[str, str]]:
    floor = 0.05 * chosen.sd_mm
    return [
        {"what": name, "width": show.length(width), "said": say_width(width, show.unit)}
        for name, _, width in shares
        if width > floor
    ]


def _would_help(belief: Belief, chosen: Chosen, shares: list[_Share], show: _Shown) -> list[dict[str, object]]:
    """Say what it would save to find something out before a cut; before a reading, what would narrow it most."""
    if chosen.action in {"none", "release", "quarantine"}:
        return []
    if chosen.action == "measure":
        return _would_narrow(shares, chosen, show)
    pass_, sd = chosen.outlook.costs.pass_, chosen.sd_mm if chosen.step is None else chosen.step.sd_mm
    return [
        {
            "what": worth.what,
            "about": worth.about,
            "narrows": f"{show.length(sd)} to {show.length(min(worth.sd_mm, sd))}",
            "saves": round(worth.saves, 4),
            "takes": round(worth.takes, 4),
            "said": say_saving(worth.saves, worth.takes, pass_),
        }
        for worth in worth_finding_out(belief, chosen)[:3]
    ]


def _would_narrow(shares: list[_Share], chosen: Chosen, show: _Shown) -> list[dict[str, object]]:
    helpful: list[dict[str, object]] = []
    for name, tells, width in shares:
        left = math.sqrt(max(chosen.sd_mm**2 - width**2, 0.0))
        if tells and left < 0.97 * chosen.sd_mm:
            narrows = f"{show.length(chosen.sd_mm)} to {show.length(left)}"
            helpful.append({"what": tells, "about": name, "narrows": narrows, "said": f"narrows it from {narrows}"})
    return helpful[:3]


def assumptions(model: Model, unit: Unit) -> list[dict[str, str]]:
    """List what nobody typed, be it learned or assumed, in the bore's own unit.

    What says nothing, or what the adjuster does not have, is left out.

    Args:
        model: the bore's constants.
        unit: the unit of the bore.

    Returns:
        For each its name in the model, what it is, its value and width, and where it comes from.
    """
    show = _Shown(unit)
    unneeded = {"backlash"} if model.adjuster.kind == "direct" else set()
    return [
        {
            "name": name,
            "what": prior.about,
            "value": _said(prior.value, prior, show),
            "width": _said(prior.width, prior, show),
            "origin": prior.origin,
        }
        for name, prior in model.priors.named()
        if ("assumed" in prior.origin or prior.learned) and (prior.value or prior.width) and name not in unneeded
    ]


def _said(value: float, prior: Prior, show: _Shown) -> str:
    if prior.unit == "mm":
        return show.length(value)
    if prior.unit == "1/K":
        return f"{value * 1e6:.1f} µm/(m·K)"
    return f"{value:.2g} {prior.unit}".removesuffix(" 1")


def _arithmetic(belief: Belief, chosen: Chosen, model: Model, show: _Shown) -> list[str]:
    hole = belief.now.at(State.HOLE)
    lines = [
        f"Limits {show.length(model.lower_mm)} to {show.length(model.upper_mm)}.",
        f"Hole now {show.length(hole)}, standard deviation {show.length(belief.now.sd(State.HOLE))}.",
    ]
    if belief.readings:
        row = reading_row(model, trial=belief.after_trial)
        shift = float(row @ belief.now.mean) - belief.now.at(State.TRIAL if belief.after_trial else State.HOLE)
        mean = math.fsum(r.as_read_mm for r in belief.readings) / len(belief.readings)
        lines.append(
            f"{len(belief.readings)} readings, mean {show.length(mean)}; gauge and warmth are thought to add "
            f"{show.length(shift)}."
        )
    step = chosen.step
    if step is not None:
        lines += [
            f"Depth set {show.length(step.depth_mm)}; push-off at that depth {show.length(step.push_off_mm)}.",
            f"Hole after the pass {show.length(step.aim_mm)} = tool {show.length(step.tool_mm)} - push-off - warmth.",
            f"Standard deviation of the hole after it {show.length(step.sd_mm)}.",
        ]
        if chosen.plan is not None and chosen.action in {"move_and_cut", "set"}:
            wanted = chosen.plan.steps[0].change_mm
            lines.append(f"Wanted {show.length(wanted)}; rounded by the odds to {show.length(step.change_mm)}.")
    return lines
