"""The physics of passes in words: the figures of one pass, and what they all rest on, for terminal and page alike."""

from __future__ import annotations

from typing import Final

from borewright.cutting.heat import growth
from borewright.cutting.outlook import PassOutlook
from borewright.materials.expansion import expansion_of
from borewright.quantity.length import Unit
from borewright.quantity.odds import say_odds
from borewright.quantity.say import say_length, say_roughness, say_two_digits
from borewright.quantity.show import show_length
from borewright.quantity.speed import show_speed
from borewright.sizing.cut_outlook import CutOutlook, assumed
from borewright.sizing.own_force import pair_said

NOTHING: Final = "Nothing that is checked here stands out; chatter is not checked."
LEANS: Final = "above the upper limit: leans on push-off"
"""What belongs to a setting that is larger than the hole may become."""

BELOW: Final = frozenset({"force", "chip", "power"})
"""What may be looked up of a pass and loses no hole by itself."""

WORST_FIRST: Final = "What could go wrong, the worst first"
RESTS_ON: Final = "What it rests on"
BLIND: Final = "Each pass is looked at as if nothing were measured before it."
OF_PLAN: Final = "These are the passes of the plan that is advised, set as physics alone would set them."
SHARE_WORTH_TELLING: Final = 0.03

FEET: Final = "ft/min"

Said = tuple[str, str]


def cut_title(looked: CutOutlook) -> str:
    """Name a cut by callout, material and the hole that it begins from.

    Args:
        looked: the outlook.

    Returns:
        Such as ``62 H6 in 42CrMo4, Rm 730 MPa, from 61.5000 mm``.
    """
    hole = show_length(looked.setup.hole, looked.unit)
    return f"{looked.callout.written} in {looked.setup.cut.work.said}, from {hole}"


def pass_title(looked: CutOutlook, one: PassOutlook) -> str:
    """Name a pass by its number and what it is to do.

    Args:
        looked: the outlook.
        one: the pass.

    Returns:
        Such as ``Pass 1 of 2: 61.5000 mm to 61.7548 mm``.
    """
    ends = f"{show_length(one.hole, looked.unit)} to {show_length(one.aim, looked.unit)}"
    return f"Pass {looked.before + one.number} of {looked.before + len(looked.passes)}: {ends}"


def pass_said(looked: CutOutlook, one: PassOutlook) -> tuple[Said, ...]:
    """Say the figures of a pass.

    Args:
        looked: the outlook.
        one: the pass.

    Returns:
        Pairs of label and words, what concerns the size first.
    """
    unit, setup = looked.unit, looked.setup
    rough = "" if setup.ra is None else (
        f", rougher than {say_roughness(setup.ra, unit)} {say_odds(one.finish.odds_above(setup.ra))}"
    )  # fmt: skip
    planned = looked.planned[one.number - 1] if looked.planned else ""
    found = (
        ("plan", planned),
        ("set", _set(looked, one)),
        ("push-off", _push_off_said(one, unit)),
        ("over size", f"{say_odds(one.oversize)} by push-off alone, nothing measured before"),
        ("finish", f"Ra {say_roughness(one.finish.ra_mm, unit)}{rough}"),
        ("time", _time(looked, one)),
        (
            "force",
            (
                f"{float(one.force.cutting):.0f} N along the cut ± {100.0 * one.force_log_sd:.0f} %,"
                f" {float(one.force.radial):.0f} N off the wall, {float(one.force.feed):.0f} N along the bore"
            ),
        ),
        (
            "chip",
            (
                f"{say_length(float(one.chip.thickest), unit)} at its thickest; the edge cuts from"
                f" {say_length(setup.least_chip, unit)}"
            ),
        ),
        ("power", _power_said(looked, one)),
    )
    return tuple((label, words) for label, words in found if words)


def grounds_said(looked: CutOutlook) -> tuple[Said, ...]:
    """Say what the figures rest on.

    Args:
        looked: the outlook.

    Returns:
        Pairs of label and words.
    """
    setup, unit = looked.setup, looked.unit
    starting = setup.starting
    slow, fast = starting.speed
    feet = "" if unit == "mm" else f" ({show_speed(slow, FEET, with_unit=False)} to {show_speed(fast, FEET)})"
    feed, depth = (
        f"{show_length(low, unit, with_unit=False)} to {show_length(high, unit)}"
        for low, high in (starting.feed, starting.depth)
    )
    told = [each for each in looked.passes[0].prior.shares if each.share >= SHARE_WORTH_TELLING]
    give = setup.cut.compliance
    middle = 0.5 * (setup.lower + setup.upper)
    steel = expansion_of("steel").per_kelvin
    part, tool = (say_length(growth(middle, each, 21.0, each, 20.0), unit) for each in (setup.expansion, steel))
    own = looked.facts.force
    return (
        *((("force law", f"{pair_said(setup.cut.work)} ({setup.cut.work.family})"),) if own is not None else ()),
        ("stiffness", f"{1e3 * give.radial:.3g} µm/N ({give.origin})"),
        (
            "1 °C",
            (
                f"{part} on the diameter where the part is 1 °C warmer when cut than when read, {tool} where a"
                " steel tool is warmer than when it was set"
            ),
        ),
        ("doubt", "; ".join(f"{each.what} {100.0 * each.share:.0f} %" for each in told)),
        (
            "usual",
            (
                f"{starting.kind}, {starting.edge}: {slow:g} to {fast:g} m/min{feet}, feed {feed}, radial depth {depth}"
                f" ({starting.source})"
            ),
        ),
        *(
            ("assumed", f"{each['what']}: {each['value']} ({each['origin'].removeprefix('assumed: ')})")
            for each in assumed(looked.facts, setup, unit)
        ),
    )


def _power_said(looked: CutOutlook, one: PassOutlook) -> str:
    power, torque = say_two_digits(one.power_kw), say_two_digits(one.torque)
    return f"{power} kW, torque {torque} N m, at {looked.setup.rpm:.0f} rpm"


def _push_off_said(one: PassOutlook, unit: Unit) -> str:
    """Say push-off and what holds it as smaller or larger than set, so that nobody has to read a sign."""
    turned = one.push_off < 0.0
    ends = sorted((-one.low, -one.high)) if turned else (one.low, one.high)
    way, other = ("larger", "smaller") if turned else ("smaller", "larger")
    first, last = (say_length(abs(end), unit) for end in ends)
    spread = f"{first} {other} to {last} {way}" if ends[0] < 0.0 else f"{first} to {last}"
    return f"comes out {say_length(abs(one.push_off), unit)} {way} than set; {spread} 95 times in 100"


def _set(looked: CutOutlook, one: PassOutlook) -> str:
    """Say what a pass is set to; of a later pass that is no setting yet, and one above the limit leans on push-off."""
    tool, depth = show_length(one.set_diameter, looked.unit), show_length(one.depth, looked.unit)
    said = (
        f"{tool}, {depth} deep"
        if one.number == 1
        else f"after pass {looked.before + one.number - 1} is read; about {tool}"
    )
    return f"{said}; {LEANS}" if one.set_diameter > looked.setup.upper else said


def _time(looked: CutOutlook, one: PassOutlook) -> str:
    if one.minutes is None or one.wear is None:
        return ""
    warm = (
        f"; warms the wall by up to {one.warming.warmer_k:.1f} K, {say_length(one.warming.larger_mm, looked.unit)}"
        if one.warming is not None
        else ""
    )
    return (
        f"{one.minutes:.1f} min; the edge lasts about {one.wear.passes:.0f} such passes; each shrinks the bore"
        f" {say_length(one.wear.shrinks_mm, looked.unit)} and adds {say_two_digits(100.0 * one.wear.pushes_more)} % to"
        f" the force{warm}"
    )
