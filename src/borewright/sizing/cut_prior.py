"""From how a bore is cut, as it was typed, to what is believed of its push-off before the first pass."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from borewright.cutting.compliance import Compliance, joint_from_two, joint_of, plain_bar, push_test, typed_compliance
from borewright.cutting.least_chip import edge_of, least_chip, least_depth
from borewright.cutting.prior import PushOffPrior, push_off_prior
from borewright.cutting.pushoff import Cut
from borewright.cutting.starting import check_speed, starting_of
from borewright.errors import BorewrightError, EntryError
from borewright.materials.bar import bar_of
from borewright.materials.work import Work, find_work
from borewright.materials.work_tables import WORK
from borewright.quantity.show import show_length
from borewright.record.payloads.cut import CutFacts, Push
from borewright.sizing.own_force import own_work
from borewright.sizing.pushoff import SIGN_SCALE_MM

USUAL_ANGLE_DEG, USUAL_RAKE_DEG, USUAL_CLEARANCE_DEG = 95.0, 6.0, 7.0
"""Of a finishing insert in a boring tool. Common practice, no source."""

MOST_WIPER, MOST_GIVES = 3.0, 0.01
"""Times the nose radius that a wiper's flat is long at most; mm that a tool gives way for a newton at most. Chosen."""

ROUGHEST_MM: Final = 0.05
"""Ra that no boring tool is asked for: 50 µm is the roughest grade of a cut surface. From memory."""

USUAL_BAR, USUAL_TAPER = "steel", "steep 40"
WHERE: Final = "cut"
"""The field of a start that it stands in, for messages."""


def work_of(facts: CutFacts, material: str | None) -> Work:
    """Return the work material of a cut, with the shop's own force where it gave one.

    Args:
        facts: how it is cut.
        material: what the part is made of, in words.

    Returns:
        The material.

    Raises:
        EntryError: no material was said, or the shop's own pair cannot be one of metal.
        NotHeldError: nothing is held for the words.
    """
    return find_work(material, WORK) if facts.force is None else own_work(facts.force, material)


def compliance_of(facts: CutFacts, diameter_mm: float) -> Compliance:
    """Return how the tool gives way: by its push test where one was made, else as a plain bar.

    Args:
        facts: how it is cut.
        diameter_mm: the bore's diameter, mm.

    Returns:
        The compliance.

    Raises:
        EntryError: push test or bar cannot be one.
        NotHeldError: bar or taper is not held.
    """
    radius = 0.5 * diameter_mm
    overhang = None if facts.overhang is None else facts.overhang.mm
    pushes = facts.push_test or ()
    reaches = sorted({push.overhang.mm for push in pushes if push.overhang is not None})
    if len(reaches) > 2 or (reaches and any(push.overhang is None for push in pushes)):
        raise EntryError(
            "Pushes that tell of the spindle are made at two overhangs.",
            given="; ".join(_reach(push) for push in pushes),
            right="Give every push its overhang, two that differ; or none, where all were made as the bore is cut.",
            where="push_test",
        )
    if len(reaches) == 2:
        return _from_two(facts, pushes, (reaches[0], reaches[1]), radius)
    if facts.push_test:
        loads, gives = [float(push.load) for push in facts.push_test], [push.gives.mm for push in facts.push_test]
        if len(loads) == 1:
            return typed_compliance(loads[0], gives[0], radius, overhang)
        return push_test(loads, gives, radius, overhang)
    bar = facts.bar
    if bar is None or overhang is None:  # CutFacts refuses this when it is read
        raise AssertionError
    joint = joint_of(bar.taper or USUAL_TAPER)
    return plain_bar(bar_of(bar.material or USUAL_BAR), bar.diameter.mm, overhang, radius, joint)


def _from_two(facts: CutFacts, pushes: Sequence[Push], reaches: tuple[float, float], radius: float) -> Compliance:
    """Find the spindle from pushes at two overhangs of the bar, and the bar's compliance at the overhang of the job."""
    bar, overhang = facts.bar, facts.overhang
    if bar is None or overhang is None:
        raise EntryError(
            "Pushes at two overhangs tell of the spindle once the bar is known.",
            right="Give bar with its diameter, and the overhang that the bore is cut at.",
            where="bar",
        )
    placed = [(push.overhang.mm, push) for push in pushes if push.overhang is not None]
    gives = [_slope([push for at, push in placed if at == reach]) for reach in reaches]
    made = bar_of(bar.material or USUAL_BAR)
    bending = made.modulus.value * math.pi * bar.diameter.mm**4 / 64.0
    try:
        joint = joint_from_two(reaches, (gives[0], gives[1]), bending)
    except EntryError as error:
        error.given = "; ".join(f"{push.load:f} N gave {push.gives.text} at {_reach(push)}" for push in pushes)
        raise
    return plain_bar(made, bar.diameter.mm, overhang.mm, radius, joint)


def _reach(push: Push) -> str:
    return "an overhang not said" if push.overhang is None else push.overhang.text


def _slope(pushes: Sequence[Push]) -> float:
    loads, gives = [float(push.load) for push in pushes], [push.gives.mm for push in pushes]
    if len(set(loads)) == 1:
        return typed_compliance(loads[0], sum(gives) / len(gives), 1.0, None).radial
    return push_test(loads, gives, 1.0, None).radial


def cut_of(facts: CutFacts, material: str | None, diameter_mm: float) -> Cut:
    """Return the cut that was typed, ready for physics.

    Args:
        facts: how it is cut.
        material: what the part is made of, in words.
        diameter_mm: the bore's diameter, mm.

    Returns:
        The cut.

    Raises:
        EntryError: it makes no cut.
        NotHeldError: material, edge, bar or taper is not held.
    """
    try:
        return _made(facts, material, diameter_mm)
    except BorewrightError as error:
        raise (error if error.where == "material" else error.at(WHERE)) from None


def _made(facts: CutFacts, material: str | None, diameter_mm: float) -> Cut:
    work = work_of(facts, material)
    if facts.speed is not None:
        check_speed(facts.speed, work)
    _check_typed(facts)
    return Cut(
        work=work,
        feed=facts.feed.mm,
        nose=facts.nose.mm,
        edge_angle_deg=USUAL_ANGLE_DEG if facts.edge_angle is None else float(facts.edge_angle),
        rake_deg=USUAL_RAKE_DEG if facts.rake is None else float(facts.rake),
        edge=edge_of(facts.edge or starting_of(work).edge),
        compliance=compliance_of(facts, diameter_mm),
        wiper=0.0 if facts.wiper is None else facts.wiper.mm,
    )


def _check_typed(facts: CutFacts) -> None:
    """Refuse what makes no cut in the unit that it was typed in; the physics would refuse it in mm."""
    feed, nose, wiper = facts.feed, facts.nose, facts.wiper
    if feed.mm > nose.mm:
        most = show_length(0.5 * nose.mm, feed.unit)
        raise EntryError(
            f"A nose of {nose.text} does not allow this feed: it would leave a thread.",
            given=f"{feed.text} a turn",
            right=f"Feed at most {most} a turn, or take a larger nose.",
            where="feed",
        )
    if wiper is not None and wiper.mm > MOST_WIPER * nose.mm:
        raise EntryError(
            "A wiper's flat is not that long.",
            given=wiper.text,
            right=f"Give the flat behind the nose, less than {show_length(MOST_WIPER * nose.mm, wiper.unit)}.",
            where="wiper",
        )
    if facts.finish is not None and facts.finish.mm > ROUGHEST_MM:
        raise EntryError(
            "No bore is asked to be that rough: the number may be of a smaller unit.",
            given=facts.finish.text,
            right=f"Give Ra with its unit, such as {'0.8 µm' if facts.finish.unit == 'mm' else '32 µin'}.",
            where="finish",
        )
    for place, push in enumerate(facts.push_test or ()):
        if push.gives.mm > MOST_GIVES * float(push.load):
            most = show_length(MOST_GIVES * float(push.load), push.gives.unit)
            raise EntryError(
                "A tool that gives way so much cuts nothing.",
                given=f"{push.load:f} N, {push.gives.text}",
                right=f"Check both units: N, and the radius; {push.load:f} N give less than {most}.",
                where=f"push_test[{place}].gives",
            )


def least_depth_by_cut(facts: CutFacts, material: str | None, diameter_mm: float) -> float:
    """Return the least depth set at which the edge makes a chip thicker than the least it can cut.

    Args:
        facts: how it is cut.
        material: what the part is made of, in words.
        diameter_mm: the bore's diameter, mm.

    Returns:
        The depth, mm on the diameter; nothing where no depth makes such a chip at this feed.
    """
    cut = cut_of(facts, material, diameter_mm)
    depth = least_depth(cut.feed, cut.nose, cut.kappa, least_chip(cut.edge.radius_mm))
    return 2.0 * depth if depth < cut.nose else 0.0


def push_off_by_cut(facts: CutFacts, material: str | None, diameter_mm: float, depth_mm: float) -> PushOffPrior:
    """Return what physics believes of a bore's push-off.

    Args:
        facts: how it is cut.
        material: what the part is made of, in words.
        diameter_mm: the bore's diameter, mm.
        depth_mm: what comes off the diameter, mm, for which it is stated.

    Returns:
        The prior.

    Raises:
        EntryError: it makes no cut, or nothing was said of the material.
        NotHeldError: something of it is not held.
    """
    return push_off_prior(cut_of(facts, material, diameter_mm), depth_mm, SIGN_SCALE_MM)
