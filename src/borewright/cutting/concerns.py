"""What could go wrong in a pass, the worst first, and what would keep it from going wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from borewright.cutting.least_chip import SAFE_MULTIPLE
from borewright.cutting.outlook import PassOutlook, Setup
from borewright.cutting.starting import edge_suits
from borewright.quantity.length import Unit
from borewright.quantity.odds import say_odds
from borewright.quantity.say import say_length, say_roughness, say_two_digits
from borewright.quantity.show import show_length
from borewright.quantity.speed import show_speed, speed_unit

LOSES, CANNOT, SPOILS, WATCH = 0, 1, 2, 3
"""How bad: the hole is lost; it cannot be cut so; finish, form or size suffers; worth knowing."""

SAID: Final = {LOSES: "can lose the hole", CANNOT: "cannot be cut so", SPOILS: "spoils it", WATCH: "mind"}

OVERSIZE_WORTH_TELLING: Final = 0.001
DRIFT_WORTH_TELLING, WARMTH_WORTH_TELLING = 0.05, 0.1
"""Shares of the tolerance from which drift in a pass and growth by its heat are told. Chosen."""

POWER_SHARE: Final = 0.8
"""Of the spindle's power that a cut may take. Common practice, no source."""

SPRINGS_MUCH: Final = 0.4
"""Share of the depth set from which push-off rules what comes off. Chosen."""


@dataclass(frozen=True, slots=True)
class Concern:
    """One thing that could go wrong.

    Args:
        rank: how bad, 0 the worst.
        odds: how likely, for the order among equals; 1 where it is certain.
        what: what could go wrong, a sentence.
        would: what would keep it from going wrong, a sentence.
    """

    rank: int
    odds: float
    what: str
    would: str


def concerns_of(setup: Setup, one: PassOutlook, unit: Unit) -> tuple[Concern, ...]:
    """List what could go wrong in a pass.

    Args:
        setup: the cut and what stands around it.
        one: the pass.
        unit: the unit of the shop.

    Returns:
        The concerns, the worst first.
    """
    found = [
        *_size(setup, one, unit),
        *_chip(setup, one, unit),
        *_machine(setup, one, unit),
        *_finish(setup, one, unit),
        *_edge(setup, one, unit),
        *_range(setup, one, unit),
    ]
    return tuple(sorted(found, key=lambda each: (each.rank, -each.odds)))


def _size(setup: Setup, one: PassOutlook, unit: Unit) -> Iterator[Concern]:
    if one.oversize >= OVERSIZE_WORTH_TELLING:
        widest = one.prior.shares[0]
        yield Concern(
            LOSES,
            one.oversize,
            f"Set to {show_length(one.set_diameter, unit)} from physics alone, it leaves the hole over the upper limit"
            f" {say_odds(one.oversize)} of the time.",
            f"Cut and measure a pass before it: that shows the push-off. Before any, {widest.narrows} tells most"
            f" ({widest.what}).",
        )
    elif one.set_diameter > setup.upper:
        yield Concern(
            WATCH,
            one.oversize,
            f"Set to {show_length(one.set_diameter, unit)} the tool is larger than the upper limit: it counts on a"
            " push-off that nothing has shown.",
            "Cut and measure a pass before it.",
        )
    if not one.prior.steady:
        yield Concern(
            LOSES,
            one.oversize,
            "The feed force bends the tool outward nearly as much as the radial force bends it in: it may cut larger"
            " than it is set.",
            "Set no larger than the upper limit until a measured pass has shown the sign.",
        )
    elif one.push_off > SPRINGS_MUCH * one.depth:
        yield Concern(
            SPOILS,
            1.0,
            f"The tool springs away {say_length(one.push_off, unit)} of {show_length(one.depth, unit)} set: what was"
            " out of round before stays so.",
            "A stiffer or shorter tool, a smaller nose or less feed; or one pass more.",
        )


def _chip(setup: Setup, one: PassOutlook, unit: Unit) -> Iterator[Concern]:
    thickest, least = float(one.chip.thickest), setup.least_chip
    if thickest < SAFE_MULTIPLE * least:
        rubs = thickest < least
        yield Concern(
            CANNOT if rubs else SPOILS,
            1.0,
            f"The chip is {say_length(thickest, unit)} at its thickest and the edge, rounded to about"
            f" {say_length(setup.cut.edge.radius_mm, unit)}, "
            + ("rubs below " if rubs else "cuts badly below ")
            + f"{say_length(least if rubs else SAFE_MULTIPLE * least, unit)}.",
            f"Leave at least {show_length(setup.least_depth, unit)} on the diameter for it, or take a sharper edge or"
            " more feed.",
        )


def _machine(setup: Setup, one: PassOutlook, unit: Unit) -> Iterator[Concern]:
    rpm, said = setup.rpm, speed_unit(unit)
    if setup.slender is not None and setup.slender >= setup.slender_to:
        yield Concern(
            WATCH,
            1.0,
            f"Bar stands out {setup.slender:.1f} times its diameter: it may chatter; chatter is not checked here.",
            f"A shorter or thicker bar, under {setup.slender_to:g} times (common practice, no source); listen to the"
            " first pass.",
        )
    if setup.rated_rpm is None:
        yield Concern(
            WATCH,
            0.5,
            f"Rated speed of the tool not given: check it before {rpm:.0f} rpm.",
            "Give the fastest speed that the weakest part of the tool is rated for.",
        )
    if setup.rated_rpm is not None and rpm > setup.rated_rpm:
        at_most = setup.speed * setup.rated_rpm / rpm
        yield Concern(
            CANNOT,
            1.0,
            f"{rpm:.0f} rpm is faster than the {setup.rated_rpm:.0f} rpm that the tool is rated for.",
            f"Cut at {show_speed(at_most, said)} at most.",
        )
    if setup.spindle is None:
        return
    has = setup.spindle.power_kw(rpm)
    if rpm > setup.spindle.fastest_rpm:
        at_most = setup.speed * setup.spindle.fastest_rpm / rpm
        yield Concern(
            CANNOT,
            1.0,
            f"The spindle does not turn {rpm:.0f} rpm.",
            f"Cut at {show_speed(at_most, said)} at most.",
        )
    elif one.power_kw > POWER_SHARE * has:
        yield Concern(
            CANNOT,
            1.0,
            f"It takes {say_two_digits(one.power_kw)} kW and {say_two_digits(one.torque)} N m; the spindle has"
            f" {say_two_digits(has)} kW and {say_two_digits(setup.spindle.torque_nm(rpm))} N m at {rpm:.0f} rpm, of"
            f" which {100.0 * POWER_SHARE:.0f} % may be taken.",
            "Less feed, or one pass more.",
        )


def _finish(setup: Setup, one: PassOutlook, unit: Unit) -> Iterator[Concern]:
    if not one.last:
        return
    if 0.0 < setup.cut.wiper < setup.cut.feed:
        yield Concern(
            SPOILS,
            1.0,
            f"The wiper's flat of {show_length(setup.cut.wiper, unit)} is shorter than the feed: it wipes nothing.",
            f"Feed {show_length(setup.cut.wiper, unit)} a turn at most, or count it as no wiper.",
        )
    if setup.ra is None:
        return
    odds = one.finish.odds_above(setup.ra)
    if odds < 0.1:
        return
    feed = setup.feed_for_finish
    would = (
        f"Feed {show_length(feed, unit)} a turn, or take a larger nose or a sharper edge."
        if feed is not None and feed < setup.cut.feed
        else "No feed leaves it with this nose and edge: take a larger nose, a sharper edge or a wiper, or hone it."
        if feed is None
        else "A fresh edge and a quiet tool; measure the first one."
    )
    yield Concern(
        SPOILS,
        odds,
        f"The finish comes out at Ra {say_roughness(one.finish.ra_mm, unit)}; rougher than"
        f" {say_roughness(setup.ra, unit)} {say_odds(odds)} of the time.",
        would,
    )


def _edge(setup: Setup, one: PassOutlook, unit: Unit) -> Iterator[Concern]:
    tolerance = setup.upper - setup.lower
    if one.wear is not None and one.wear.shrinks_mm > DRIFT_WORTH_TELLING * tolerance:
        yield Concern(
            SPOILS,
            min(one.wear.shrinks_mm / tolerance, 1.0),
            f"The edge wears so that a pass shrinks the bore by about {say_length(one.wear.shrinks_mm, unit)}"
            f" and lasts about {max(one.wear.passes, 1.0):.0f} of them.",
            "A slower speed, by which an edge lasts far longer; or a fresh edge for the last pass.",
        )
    if one.warming is not None and one.warming.larger_mm > WARMTH_WORTH_TELLING * tolerance:
        yield Concern(
            SPOILS,
            min(one.warming.larger_mm / tolerance, 1.0),
            f"A pass warms the wall by up to {one.warming.warmer_k:.1f} K, which is"
            f" {say_length(one.warming.larger_mm, unit)} on the diameter.",
            "Coolant, a wait before measuring, and the part's temperature with the reading.",
        )
    unsuited = edge_suits(setup.cut.edge, setup.cut.work)
    if unsuited and one.number == 1:
        yield Concern(SPOILS, 1.0, f"A {setup.cut.edge.name} edge on {setup.cut.work.name}.", unsuited)


def _range(setup: Setup, one: PassOutlook, unit: Unit) -> Iterator[Concern]:
    starting = setup.starting
    radial = 0.5 * (one.aim - one.hole)
    told: list[str] = []
    if not starting.speed[0] <= setup.speed <= starting.speed[1]:
        spoken = speed_unit(unit)
        now, slow, fast = (show_speed(each, spoken, with_unit=False) for each in (setup.speed, *starting.speed))
        told.append(f"speed {now}, usually {slow} to {fast} {spoken}")
    for name, value, (low, high) in (("feed", setup.cut.feed, starting.feed), ("radial depth", radial, starting.depth)):
        if not low - 1e-9 <= value <= high + 1e-9:
            ends = f"{show_length(low, unit, with_unit=False)} to {show_length(high, unit)}"
            told.append(f"{name} {show_length(value, unit)}, usually {ends}")
    if told:
        yield Concern(
            WATCH,
            0.0,
            f"Outside the usual range for {starting.kind}: {'; '.join(told)} ({starting.source}).",
            "Nothing, where the shop has found it good.",
        )
