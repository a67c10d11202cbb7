"""The physics of the passes as one plain mapping: how a bore is cut, what could lose it, and what each pass gives."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from borewright.callout import parse_callout
from borewright.callout.callout import Callout
from borewright.cutting.concerns import SAID, Concern, concerns_of
from borewright.cutting.finish import finish_of
from borewright.cutting.outlook import MOST_PASSES, PassOutlook, Setup, outlook
from borewright.cutting.power import Spindle
from borewright.cutting.prior import PushOffPrior
from borewright.errors import BorewrightError, EntryError
from borewright.materials.bar import bar_of
from borewright.materials.expansion import expansion_of
from borewright.materials.value import SAID as CERTAINTY
from borewright.quantity.length import UNITS, Unit
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.quantity.speed import show_speed, speed_unit
from borewright.record.fields import Payload, choice, group, read_payload, text
from borewright.record.forms import choice_form
from borewright.record.payloads.cut import CutFacts, MeasuredFinish
from borewright.record.payloads.opened import Hole
from borewright.sizing.cut_prior import USUAL_BAR, USUAL_CLEARANCE_DEG, cut_of
from borewright.sizing.own_force import pair_said
from borewright.sizing.pushoff import SIGN_SCALE_MM

FEWEST: Final = 2
"""Common practice takes at least two like finish passes, so that the first teaches the second."""

FIELDS: Final = ("callout", "unit", "hole", "material", "cut")
"""The fields of a start that physics asks for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutQuestion(Payload):
    """What physics must know of a bore: callout, hole, material and how it is cut."""

    callout: str = text("size and tolerance as the drawing writes them.")
    unit: str | None = choice("unit of every length given without one.", "mm", "in", optional=True)
    hole: Hole = group("the hole as it is.", Hole, short="size")
    material: str = text("what the part is made of, such as 42CrMo4 or grey iron.")
    cut: CutFacts = group("how it is cut.", CutFacts)


@dataclass(frozen=True, slots=True)
class CutOutlook:
    """A bore looked at by physics.

    Args:
        callout: what the drawing asks.
        unit: unit that it is shown in.
        setup: the cut and what stands around it.
        passes: what each pass gives.
        concerns: what could go wrong in each, the worst first.
        facts: how it is cut, as it was typed.
        before: passes that were cut before the first of these.
        planned: what the plan has of each pass, in words, where they are those of a plan.
    """

    callout: Callout
    unit: Unit
    setup: Setup
    passes: tuple[PassOutlook, ...]
    concerns: tuple[tuple[Concern, ...], ...]
    facts: CutFacts
    before: int = 0
    planned: tuple[str, ...] = ()

    def plain(self) -> dict[str, object]:
        """Return it as plain values for JSON: lengths as text with their unit, the rest as numbers that name theirs.

        Returns:
            The mapping; first of all what could lose the hole.
        """
        setup, unit = self.setup, self.unit
        work = setup.cut.work
        return {
            "callout": self.callout.written,
            "unit": unit,
            "first": [self._concern(number, concern) for number, concern in self.worst()],
            "narrows": narrows_most(self.passes[0].prior),
            "passes": [self._pass(one, concerns) for one, concerns in zip(self.passes, self.concerns, strict=True)],
            "push_off": _prior(self.passes[0].prior, unit),
            "speed": {"m_min": setup.speed, "rpm": round(setup.rpm, 1)},
            "material": {
                "name": work.said,
                "group": work.group,
                "family": work.family,
                "kc_n_mm2": round(work.kc.value, 1),
                "kc_within": round(work.kc.relative, 3),
                "exponent": round(work.exponent.value, 3),
                "certainty": CERTAINTY[work.kc.certainty],
                "source": work.kc.source,
                **_entered(self.facts),
            },
            "compliance": {
                "um_per_n": round(1e3 * setup.cut.compliance.radial, 5),
                "outward_um_per_n": round(1e3 * setup.cut.compliance.outward, 5),
                "within": round(setup.cut.compliance.log_sd, 3),
                "origin": setup.cut.compliance.origin,
            },
            "starting": _starting(setup, unit),
            "assumptions": assumed(self.facts, setup, unit),
        }

    def worst(self) -> list[tuple[int, Concern]]:
        """Return what could go wrong in all passes, the worst first and each once.

        Returns:
            The number of the pass it is worst in, and the concern.
        """
        every = [
            (self.before + one.number, concern)
            for one, concerns in zip(self.passes, self.concerns, strict=True)
            for concern in concerns
        ]
        every.sort(key=lambda each: (each[1].rank, -each[1].odds, each[0]))
        told: dict[str, tuple[int, Concern]] = {}
        for number, concern in every:
            told.setdefault(concern.would, (number, concern))
        return list(told.values())

    def in_pass(self, number: int, concern: Concern) -> str:
        """Say which pass a concern is of.

        Args:
            number: the pass that it is worst in.
            concern: the concern.

        Returns:
            Such as ``pass 2``; empty where there is one pass only, or it holds for all alike.
        """
        alike = all(any(each.what == concern.what for each in concerns) for concerns in self.concerns)
        return "" if alike else f"pass {number}"

    @staticmethod
    def _concern(number: int, concern: Concern) -> dict[str, object]:
        return {"pass": number, "how_bad": SAID[concern.rank], "what": concern.what, "would": concern.would}

    def _pass(self, one: PassOutlook, concerns: Sequence[Concern]) -> dict[str, object]:
        unit, setup = self.unit, self.setup
        plain: dict[str, object] = {
            "number": self.before + one.number,
            "could_go_wrong": [self._concern(self.before + one.number, concern) for concern in concerns],
            "hole": show_length(one.hole, unit),
            "aim": show_length(one.aim, unit),
            "set": show_length(one.set_diameter, unit),
            "depth": show_length(one.depth, unit),
            "push_off": {
                "expected": show_length(one.push_off, unit),
                "low": show_length(one.low, unit),
                "high": show_length(one.high, unit),
            },
            "oversize": one.oversize,
            "force": {
                "cutting_n": round(float(one.force.cutting), 1),
                "radial_n": round(float(one.force.radial), 1),
                "feed_n": round(float(one.force.feed), 1),
                "within": round(one.force_log_sd, 3),
                "edge_share": round(float(one.force.edge_share), 3),
            },
            "chip": {
                "thickest": show_length(float(one.chip.thickest), unit, decimals=5),
                "least": show_length(setup.least_chip, unit, decimals=5),
                "area_mm2": round(float(one.chip.area), 6),
                "edge": show_length(float(one.chip.length), unit),
            },
            "power_kw": round(one.power_kw, 4),
            "torque_nm": round(one.torque, 3),
            "finish": {
                "ra": show_length(one.finish.ra_mm, unit, decimals=6),
                "geometric": show_length(one.finish.geometric_mm, unit, decimals=6),
                "within": round(one.finish.log_sd, 3),
                "measured": one.finish.measured,
            },
        }
        if setup.ra is not None:
            plain["rougher"] = one.finish.odds_above(setup.ra)
        if one.minutes is not None:
            plain["minutes"] = round(one.minutes, 2)
        if one.wear is not None:
            plain["edge"] = {
                "life_min": round(one.wear.life_min, 1),
                "passes": round(one.wear.passes, 1),
                "shrinks": show_length(one.wear.shrinks_mm, unit, decimals=5),
                "within_factor": round(math.exp(one.wear.log_sd), 2),
            }
        if one.warming is not None:
            plain["warmth"] = {
                "warmer_k": round(one.warming.warmer_k, 2),
                "larger": show_length(one.warming.larger_mm, unit, decimals=5),
            }
        return plain


def look_at_cut(
    mapping: Mapping[str, object], passes: int | None = None, *, shown_in: Unit | None = None
) -> CutOutlook:
    """Look at a bore by physics, before anything is cut.

    Args:
        mapping: as for ``Bore.start``; callout, unit, hole, material and cut are read, the rest is passed over.
        passes: how many equal passes; the fewest of usual depth where None, and two at least.
        shown_in: the unit that it is shown in; the bore's own where None.

    Returns:
        The outlook.

    Raises:
        EntryError: something of it cannot be understood, or makes no cut.
        NotHeldError: callout, material, edge, bar or taper is not held.
    """
    given = {name: mapping[name] for name in FIELDS if mapping.get(name) is not None}
    unit = _unit(given.get("unit"))
    written = given.get("callout")
    if not isinstance(written, str):
        raise EntryError(
            "The callout is missing.", given=written, right='Give size and tolerance, such as "62 H6".', where="callout"
        )
    callout = _callout(written, unit)
    shown = unit or callout.unit
    asked = read_payload(CutQuestion, given, shown)
    if not asked.hole.size.mm < 0.5 * (callout.lower.mm + callout.upper.mm):
        raise EntryError(
            "No stock is left to mid size: nothing is to be cut.",
            given=asked.hole.size.text,
            right="Give the hole before its first pass.",
            where="hole",
        )
    setup = setup_of(asked.cut, asked.material, asked.hole.size.mm, (callout.lower.mm, callout.upper.mm))
    shown = shown_in or shown
    looked = outlook(setup, _usual_passes(setup) if passes is None else passes)
    return CutOutlook(callout, shown, setup, looked, tuple(concerns_of(setup, one, shown) for one in looked), asked.cut)


def setup_of(facts: CutFacts, material: str | None, hole_mm: float, limits_mm: tuple[float, float]) -> Setup:
    """Put the cut and what stands around it together.

    Args:
        facts: how it is cut.
        material: what the part is made of.
        hole_mm: the hole as it is, mm.
        limits_mm: smallest and largest size allowed, mm.

    Returns:
        The setup.

    Raises:
        EntryError: it makes no cut.
        NotHeldError: something of it is not held.
    """
    lower, upper = limits_mm
    cut = cut_of(facts, material, 0.5 * (lower + upper))
    setup = Setup(
        cut=cut,
        speed=0.0,
        clearance_deg=USUAL_CLEARANCE_DEG if facts.clearance is None else float(facts.clearance),
        expansion=expansion_of(material).per_kelvin,
        lower=lower,
        upper=upper,
        hole=hole_mm,
        scale=SIGN_SCALE_MM,
    )
    slow, fast = setup.starting.speed
    return replace(
        setup,
        speed=0.5 * (slow + fast) if facts.speed is None else facts.speed.m_min,
        length=None if facts.depth_of_bore is None else facts.depth_of_bore.mm,
        wall=None if facts.wall is None else facts.wall.mm,
        ra=None if facts.finish is None else facts.finish.mm,
        ratios=tuple(_ratio(each, setup.least_chip, cut.wiper) for each in facts.measured or ()),
        spindle=_spindle(facts),
        rated_rpm=None if facts.rated_rpm is None else float(facts.rated_rpm),
        slender=None if facts.bar is None or facts.overhang is None else facts.overhang.mm / facts.bar.diameter.mm,
        slender_to=bar_of((facts.bar.material if facts.bar else None) or USUAL_BAR).ratio_limit,
    )


def narrows_most(prior: PushOffPrior) -> str:
    """Say what would narrow push-off most.

    Args:
        prior: push-off by physics.

    Returns:
        A sentence.
    """
    first = next((each for each in prior.shares if not each.narrows.startswith("nothing")), prior.shares[0])
    return (
        f"Push-off is known to a factor of {math.exp(prior.width):.2f}; {100.0 * first.share:.0f} % of that doubt is"
        f" {first.what}: {first.narrows} would narrow it most."
    )


def assumed(facts: CutFacts, setup: Setup, unit: Unit) -> list[dict[str, str]]:
    """List what nobody said and is taken for granted.

    Args:
        facts: how it is cut, as typed.
        setup: the same, made whole.
        unit: the unit of the shop.

    Returns:
        Name, value and ground of each.
    """
    cut, work = setup.cut, setup.cut.work
    common = "assumed: common practice, no source"
    found = [
        ("edge angle", f"{cut.edge_angle_deg:g}°", common, facts.edge_angle),
        ("rake", f"{cut.rake_deg:g}°", common, facts.rake),
        ("clearance", f"{setup.clearance_deg:g}°", common, facts.clearance),
        (
            "kind of edge",
            f"{cut.edge.name}, rounded {say_length(cut.edge.radius_mm, unit)}",
            setup.starting.source,
            facts.edge,
        ),
        ("cutting speed", show_speed(setup.speed, speed_unit(unit)), setup.starting.source, facts.speed),
        (
            "specific cutting force",
            pair_said(work),
            work.kc.source,
            facts.force,
        ),
        (
            "force normal to the edge",
            f"{work.thrust.value:g} of the cutting force",
            work.thrust.source,
            None if facts.force is None else facts.force.thrust,
        ),
        ("force of the edge itself", f"{work.edge.value:g} N/mm", work.edge.source, None),
    ]
    return [{"what": what, "value": value, "origin": origin} for what, value, origin, said in found if said is None]


def _entered(facts: CutFacts) -> dict[str, str]:
    """Say who entered a shop's own force, and when."""
    own = facts.force
    named = {} if own is None else {"entered_by": own.by, "entered_on": own.on}
    return {name: value for name, value in named.items() if value is not None}


def _prior(prior: PushOffPrior, unit: Unit) -> dict[str, object]:
    low, high = prior.interval()
    return {
        "where_comes_off": show_length(prior.at_removed, unit),
        "expected": show_length(prior.reference, unit),
        "low": show_length(low, unit),
        "high": show_length(high, unit),
        "factor": round(math.exp(prior.width), 3),
        "exponent": round(prior.exponent, 3),
        "exponent_sd": round(prior.exponent_sd, 3),
        "edge_share": round(prior.edge, 3),
        "edge_share_sd": round(prior.edge_sd, 3),
        "sign_sure": prior.steady,
        "parts": [
            {"what": each.what, "share": round(each.share, 4), "factor": round(each.factor, 3), "narrows": each.narrows}
            for each in prior.shares
        ],
    }


def _starting(setup: Setup, unit: Unit) -> dict[str, object]:
    starting = setup.starting
    return {
        "for": starting.kind,
        "speed_m_min": list(starting.speed),
        "feed": [show_length(each, unit) for each in starting.feed],
        "radial_depth": [show_length(each, unit) for each in starting.depth],
        "edge": starting.edge,
        "source": starting.source,
    }


def _unit(given: object) -> Unit | None:
    if given is None:
        return None
    return "in" if choice_form(UNITS).read(given, None, "unit") == "in" else "mm"


def _callout(written: str, unit: Unit | None) -> Callout:
    try:
        return parse_callout(written, unit)
    except BorewrightError as error:
        raise (error if error.where else error.at("callout")) from None


def _usual_passes(setup: Setup) -> int:
    stock = 0.5 * (setup.lower + setup.upper) - setup.hole
    return min(max(FEWEST, math.ceil(stock / (2.0 * setup.starting.depth[1]) - 1e-9)), MOST_PASSES)


def _ratio(measured: MeasuredFinish, least_chip: float, wiper: float) -> float:
    feed, nose = measured.feed.mm, measured.nose.mm
    ratio = measured.ra.mm / finish_of(feed, nose, least_chip, wiper=wiper).with_least_chip_mm
    try:
        finish_of(feed, nose, least_chip, [ratio])
    except EntryError as error:
        error.given = f"Ra {measured.ra.text} at {measured.feed.text} a turn"
        raise error.at("cut") from None
    return ratio


def _spindle(facts: CutFacts) -> Spindle | None:
    if not facts.spindle:
        return None
    try:
        return Spindle(tuple((float(point.rpm), float(point.kw)) for point in facts.spindle))
    except EntryError as error:
        raise error.at("cut") from None
