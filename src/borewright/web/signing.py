"""What is in view when a bore is signed, and what is told of a rehearsed one afterwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from borewright.quantity.length import Unit, parse_length
from borewright.quantity.odds import say_at_least, say_odds
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.record.told import VERDICTS
from borewright.rehearsal.debrief import Debrief, debrief
from borewright.shop.kept import Kept, since_opening
from borewright.sizing.bore import Bore
from borewright.web.card import Fact
from borewright.web.panel import as_json, numbers_of
from borewright.web.pictures import Pictures, large_strips, strip_of
from borewright.web.plain import Plain, group, groups, listed, tells, which_of
from borewright.web.story import Row, passes_of, rows_of
from borewright.web.taken import left_out_said, say_rule
from borewright.web.views import FINISHED, limits_of

if TYPE_CHECKING:
    from borewright.rehearsal.machine import SimulatedMachine


@dataclass(frozen=True, slots=True)
class BudgetRow:
    """A part of an uncertainty.

    Args:
        name: what it is.
        u: standard uncertainty that it brings.
        share: its share of the variance.
        dof: degrees of freedom; empty for many.
    """

    name: str
    u: str
    share: str
    dof: str


@dataclass(frozen=True, slots=True)
class ReleaseView:
    """What is in view when a bore is signed.

    Args:
        bore: its name in the record.
        name: what it is called.
        which: its name in the record where what it is called does not tell it; else empty.
        callout: what the drawing asks, as written.
        limits: its limits in the unit shown.
        tolerance: what lies between them, said.
        unit: the unit shown.
        numbers: the number of the last event by kind of stream, as JSON.
        state: the state the work is in.
        verdict: ``in``, ``out``, ``not shown``; empty without a reading.
        verdict_title: the same in words, as it stands large.
        verdict_words: the same in a sentence.
        surety: how sure it is that the bore lies within limits where it was measured.
        rule: the rule of the verdict.
        rule_said: what it asks, in plain words, and whether anybody decided on it.
        size: the size at 20 °C.
        expanded: its expanded uncertainty.
        coverage: what that covers.
        readings: the readings that it rests on, as the gauge showed them.
        left_out: the readings that it does not rest on, with the reason.
        held: how the part was held as it was read; empty where nobody said.
        correction: what was added to their mean to bring it to 20 °C; empty where nothing was.
        odds: the odds of either limit, by the gauge alone.
        rehearsed: whether a simulated machine stands behind it.
        parts: parts of the uncertainty, as the rows of a budget.
        together: what they come to: combined uncertainty, its degrees of freedom where any part has few, the factor.
        shown: what is sent with a signature, in the bore's own unit, as JSON.
        may_release: whether the rule lets it be released.
        short: how far a hole that can be cut again lies under its lower limit, said; else empty.
        move: what is done next with a bore that is not to be released, as the Size page says it; else empty.
        reason: what a setting aside would be for.
        strips: the stock strip, by width.
        signed: the entry that released it or set it aside, or None.
        debrief: what the simulated machine hid, once a rehearsed bore is signed; else None.
    """

    bore: str
    name: str
    which: str
    callout: str
    limits: str
    tolerance: str
    unit: Unit
    numbers: str
    state: str
    verdict: str
    verdict_title: str
    verdict_words: str
    surety: str
    rule: str
    rule_said: str
    size: str
    expanded: str
    coverage: str
    readings: tuple[str, ...]
    left_out: tuple[str, ...]
    held: str
    correction: str
    odds: tuple[Fact, ...]
    rehearsed: bool
    parts: tuple[BudgetRow, ...]
    together: tuple[Fact, ...]
    shown: str
    may_release: bool
    short: str
    move: str
    reason: str
    strips: Pictures
    signed: Row | None
    debrief: Debrief | None = None


def release_view(
    bore_id: str,
    bore: Bore,
    history: Sequence[Kept],
    *,
    unit: Unit | None = None,
    rehearsed: bool = False,
    machine: SimulatedMachine | None = None,
    marks: Sequence[str] = (),
) -> ReleaseView:
    """Make the view in which a bore is signed.

    Args:
        bore_id: the bore's name in the record.
        bore: the bore as it stands.
        history: everything on record of its bore, tool and gauge, in the order it was stored.
        unit: unit to show lengths in; the bore's own where it is left out.
        rehearsed: whether a simulated machine stands behind it.
        machine: that machine, where what it hid may be told.
        marks: marks on the readings that the verdict rests on, a sentence each.

    Returns:
        The view.
    """
    shown_in = unit or bore.unit
    own = bore.advise()
    said = own if shown_in == bore.unit else bore.advise(shown_in)
    release, signed_on = group(said, "release"), group(own, "release")
    given = bore.opening.given
    verdict = str(release.get("verdict", ""))
    kept = since_opening(history)
    signed = [one for one in kept if one.event in {"released", "quarantined"} and not one.withdrawn]
    names = ("verdict", "probability", "rule", "size", "expanded")
    return ReleaseView(
        bore=bore_id,
        name=given.name or bore_id,
        which=which_of(bore_id, given.name),
        callout=given.callout,
        limits=limits_of(bore, shown_in),
        tolerance=say_length(round(bore.model.upper_mm - bore.model.lower_mm, 9), shown_in, down=True),
        unit=shown_in,
        numbers=numbers_of(bore),
        state=bore.state,
        verdict=verdict,
        verdict_title=_verdict_title(verdict, bore, to_be_cut=bool(_short(bore, own, shown_in))),
        verdict_words=" ".join((_verdict_words(verdict, bore, str(release.get("not_shown_for", ""))), *marks)),
        surety=say_at_least(release.get("probability", 0)) if release else "",
        rule=str(release.get("rule", "")),
        rule_said=say_rule(bore.rule, decided=given.rule is not None),
        size=str(release.get("size", "")),
        expanded=str(release.get("expanded", "")),
        coverage=str(release.get("coverage", "")),
        readings=tuple(_as_read(str(one), bore, shown_in) for one in listed(release, "as_read")),
        left_out=left_out_said(bore, shown_in),
        held=str(release.get("held", "")),
        correction=str(release.get("correction", "")) if tells(release.get("correction", "")) else "",
        odds=tuple(
            Fact(words, say_odds(release.get(name, 0)))
            for name, words in (("oversize", "over size"), ("undersize", "under size"))
            if release
        ),
        rehearsed=rehearsed,
        parts=tuple(_row(part) for part in groups(release, "parts") if tells(part["width"])),
        together=_together(release),
        shown=as_json({name: signed_on[name] for name in names if name in signed_on}),
        may_release=verdict == "in" and bore.state == "measured",
        short=_short(bore, own, shown_in),
        move=_move(bore, said),
        reason=str(own.get("why", "")) if own.get("action") == "quarantine" else "",
        strips=large_strips(
            strip_of(
                bore,
                shown_in,
                {"action": "release", "release": release},
                passes_of(kept, bore.belief, shown_in, bore.model.growth),
            )
        ),
        signed=rows_of(signed[-1:])[0] if signed and bore.state in FINISHED else None,
        debrief=debrief(machine, bore, shown_in) if machine is not None and bore.state in FINISHED else None,
    )


def _verdict_title(verdict: str, bore: Bore, *, to_be_cut: bool) -> str:
    """Say a verdict as it stands large; one that is out, with the side; a hole that is not finished is not out."""
    if verdict == "out" and to_be_cut:
        return "Not to size yet"
    words = VERDICTS.get(verdict, "not measured").capitalize()
    side = "over" if bore.belief.hole_mm > bore.model.upper_mm else "under"
    return f"{words}: {side} size" if verdict == "out" else words


def _move(bore: Bore, advice: Plain) -> str:
    """Say what the Size page says is done next, where the bore is neither finished nor at its verdict."""
    if bore.state in FINISHED or advice.get("action") in {"release", "quarantine", "none"}:
        return ""
    return str(advice.get("say", "")).removesuffix(".")


def _short(bore: Bore, advice: Plain, unit: Unit) -> str:
    """Say what a hole that was measured still lies under its lower limit, where it is to be cut on."""
    under = bore.model.lower_mm - bore.belief.hole_mm
    settled = bool(bore.belief.readings) and advice.get("action") != "quarantine"
    return say_length(round(under, 9), unit) if bore.state not in FINISHED and settled and under > 0 else ""


def _as_read(text: str, bore: Bore, unit: Unit) -> str:
    """Show a reading with the digits that the gauge has, in its own unit."""
    step = bore.opening.given.gauge.step
    return show_length(parse_length(text), unit, decimals=step.decimals) if step.unit == unit else text


def _row(part: Plain) -> BudgetRow:
    share = float(str(part["share"]))
    return BudgetRow(
        str(part["what"]),
        str(part["width"]),
        "under 1 %" if share < 0.01 else f"{100.0 * share:.0f} %",
        str(part.get("dof", "")),
    )


def _together(release: Plain) -> tuple[Fact, ...]:
    """Say what the parts of an uncertainty come to."""
    if not release:
        return ()
    few = [Fact("effective degrees of freedom", str(release["dof"]))] if "dof" in release else []
    return (
        Fact("together, as squares add", str(release["u"])),
        *few,
        Fact("times", str(release["coverage"])),
        Fact("expanded", str(release["expanded"])),
    )


def _verdict_words(verdict: str, bore: Bore, but: str) -> str:
    if not verdict:
        return "Nothing was measured since the last pass."
    if verdict == "in":
        return "By the rule the readings show the bore within its limits where it was measured."
    if but:
        return f"The numbers lie within the limits, and yet it is not shown in. {but}"
    if verdict == "not shown":
        return "The readings do not show it in, and not out."
    over = bore.belief.hole_mm > bore.model.upper_mm
    return "The bore is over its upper limit." if over else "The bore is still under its lower limit."
