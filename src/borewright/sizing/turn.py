"""Whether an entry fits the state the work is in and can be true, and what surprises about one that was taken in."""

from __future__ import annotations

from typing import Final

from borewright.errors import EntryError, OutOfTurnError
from borewright.gauging.conformity import Rule
from borewright.quantity.length import Length, Unit
from borewright.quantity.show import show_length
from borewright.record.fields import Payload
from borewright.record.kinds import BEGINNINGS
from borewright.record.payloads import bore as b
from borewright.record.payloads import gauge as g
from borewright.record.payloads import tool as t
from borewright.record.stream import Event
from borewright.sizing.adjuster_proof import PROVED_FIELDS, proof_of, proved_entry
from borewright.sizing.advice import release_values
from borewright.sizing.belief import Belief
from borewright.sizing.judging import IN_CLAMPS, OWN_PROBE, judge
from borewright.sizing.model import Model
from borewright.sizing.outlook import FAR_MM

FAR_MASTER: Final = 0.25
"""A master further than this share from the bore is another bore's. Common practice, no source."""

FAR_SHARE: Final = 1.5
"""A line that comes to more than its worth times this, or less than its worth over it, is taken for such a slip too."""


def check_turn(payload: Payload, kind: str, belief: Belief, model: Model) -> None:
    """Check that an event fits the state the work is in and can be true.

    Args:
        payload: what happened.
        kind: the kind of event.
        belief: what is believed, and the state the work is in.
        model: the bore's constants.

    Raises:
        OutOfTurnError: it does not fit the state.
        EntryError: it cannot be true.
    """
    _check_status(payload, kind, belief)
    if isinstance(payload, b.Passed):
        _need_tool(belief, "A pass needs a tool that was set.")
    elif isinstance(payload, b.Read):
        check_size(payload.as_read, belief.hole_mm, "as_read", "A reading")
    elif isinstance(payload, b.HoleChecked):
        if belief.history:
            raise OutOfTurnError("The hole was cut already.", given=kind, right="Record what the gauge shows as read.")
        check_size(payload.as_read, belief.hole_mm, "as_read", "A reading")
    elif isinstance(payload, t.Set):
        _check_set(payload, belief, model)
    elif isinstance(payload, t.Moved):
        _need_tool(belief, "The tool was not set yet.")
        _check_move(payload, model)
    elif isinstance(payload, t.Seated):
        _need_tool(belief, "The tool was not set yet.")
    elif isinstance(payload, t.Proved):
        _check_proof(payload, model)
    elif isinstance(payload, g.SetOn | g.Rechecked):
        _check_master(payload, model)


def check_size(length: Length, about_mm: float, where: str, what: str) -> None:
    """Check that a diameter is near what it can be.

    Args:
        length: the diameter as entered.
        about_mm: what it must be near, mm.
        where: the field, for the message.
        what: what it is, for the message.

    Raises:
        EntryError: it is too far off; ``right`` names the slip that would explain it.
    """
    off = length.mm - about_mm
    if abs(off) <= FAR_MM:
        return
    raise EntryError(
        f"{what} cannot be that far from {show_length(about_mm, length.unit)}.",
        given=length.text,
        right=_slip(length.mm, about_mm),
        where=where,
    )


def _check_master(payload: g.SetOn | g.Rechecked, model: Model) -> None:
    """Check that a gauge set on this master can reach the bore, and can have shown what it did."""
    if abs(payload.size.mm - model.diameter_mm) > FAR_MASTER * model.diameter_mm:
        check_size(payload.size, model.diameter_mm, "size", "A master")
    if isinstance(payload, g.Rechecked):
        check_size(payload.as_read, payload.size.mm, "as_read", "A master's reading")


def release_as_shown(payload: b.Released, belief: Belief, model: Model, rule: Rule, unit: Unit) -> None:
    """Check that a release carries what the evidence says now: nothing is released on other numbers than those in view.

    Args:
        payload: the release as entered.
        belief: what is believed.
        model: the bore's constants.
        rule: the rule by which the bore is judged.
        unit: the unit of the bore.

    Raises:
        OutOfTurnError: there is no evidence, or it does not show the bore in.
        EntryError: the numbers are not those that the evidence gives now.
    """
    judged = judge(belief, model, rule)
    if judged is None:
        raise OutOfTurnError("There is no reading of the finished bore.", right="Measure it first.", where="release")
    values = release_values(judged, unit)
    if judged.verdict != "in":
        raise OutOfTurnError(
            f"By {values['rule']} the bore is {judged.verdict}: {values['size']} ± {values['expanded']}, "
            f"{judged.probability:.1%} likely within limits.{' ' + judged.why if judged.why else ''}",
            right=_TO_COUNT.get(judged.why, "Measure again, cut again, or set it aside."),
            where="release",
        )
    for name in ("verdict", "rule", "size", "expanded"):
        entered = getattr(payload, name)
        shown = entered.text if isinstance(entered, Length) else entered
        if shown != values[name]:
            raise EntryError(
                f"The evidence now gives {values[name]}.", given=shown, right="Look at it again, then sign.", where=name
            )
    if abs(float(payload.probability) - judged.probability) > 0.5e-6:
        raise EntryError(
            f"The evidence now gives {values['probability']}.",
            given=format(payload.probability, "f"),
            right="Look at it again, then sign.",
            where="probability",
        )


_TO_COUNT: Final = {
    OWN_PROBE: "Measure it with a gauge of its own.",
    IN_CLAMPS: "Let the clamps go, and measure it free.",
}
"""What would make readings count that do not."""


def warnings_of(event: Event, belief: Belief, model: Model) -> list[str]:
    """Say what is surprising about an event that was taken in.

    Args:
        event: the event.
        belief: what is believed after it.
        model: the bore's constants.

    Returns:
        Sentences; none where nothing surprises.
    """
    unit: Unit = "in" if "in" in str(event.payload.get("as_read", event.payload.get("diameter", ""))) else "mm"
    warnings = []
    if event.kind in {"read", "hole_checked"} and belief.doubts:
        first = belief.doubts[0]
        if belief.as_told:
            warnings.append(f"This reading fits what was told. What may be otherwise: {first.cause} {first.check}")
        elif first.reading == event.number:
            warnings.append(f"This reading does not fit; read it again first. Most likely: {first.cause} {first.check}")
        elif belief.unsettled:
            told = "" if belief.readings_open else " with what was told"
            warnings.append(f"The readings do not agree{told}. Most likely: {first.cause} {first.check}")
    if event.kind == "set" and belief.tool_mm > model.upper_mm:
        warnings.append(
            f"Set at {show_length(belief.tool_mm, unit)} the tool stands over the upper limit of "
            f"{show_length(model.upper_mm, unit)}: with no push-off it would cut the hole too large."
        )
    if event.kind == "passed" and belief.history and belief.history[-1].rubbed:
        warnings.append("That pass was too thin to cut well: the edge may have rubbed.")
    return warnings


def _check_status(payload: Payload, kind: str, belief: Belief) -> None:
    if kind in BEGINNINGS:
        raise OutOfTurnError(
            "That is what its record began with; it happens once.", given=kind, right="Start another bore or tool."
        )
    if isinstance(payload, b.Reopened):
        if belief.status == "open":
            raise OutOfTurnError("The bore is open already.", given=kind, right="Go on with it.")
        return
    if isinstance(payload, b.Passed | b.Read | b.HoleChecked | b.Released | b.Quarantined) and belief.status != "open":
        raise OutOfTurnError(f"The bore is {belief.status}.", given=kind, right="Reopen it first, and say why.")
    if isinstance(payload, b.Passed | t.Moved | t.Seated | t.Set) and belief.tool_retired:
        raise OutOfTurnError("The tool is retired.", given=kind, right="Assemble another.")


def _need_tool(belief: Belief, wrong: str) -> None:
    if not belief.tool_set:
        raise OutOfTurnError(wrong, right="Set it first and record its diameter.", where="tool")


def _slip(mm: float, about_mm: float) -> str:
    """Name the slip that would explain a number that is far off."""
    for factor, words in (
        (2.0, "It looks like the radius: give the diameter."),
        (25.4, "It looks like inches: give the unit."),
        (1 / 25.4, "It looks like millimetres: give the unit."),
        (10.0, "It looks like the decimal point is one place off."),
        (0.1, "It looks like the decimal point is one place off."),
    ):
        if abs(mm * factor - about_mm) <= FAR_MM:
            return words
    return "Give the whole diameter, with its unit."


def _check_set(payload: t.Set, belief: Belief, model: Model) -> None:
    """Check that a tool is set about the size or, with much stock, between it and the hole as it is."""
    if not belief.hole_mm <= payload.diameter.mm <= model.diameter_mm:
        check_size(payload.diameter, model.diameter_mm, "diameter", "A set diameter")


def _check_move(payload: t.Moved, model: Model) -> None:
    dial = model.adjuster.kind == "dial"
    if dial and payload.lines is None:
        raise EntryError("This adjuster is a dial.", right='Give the lines turned, such as "+9.5".', where="lines")
    if not dial and payload.lines is not None:
        raise EntryError(
            f"This adjuster is {'a readout' if model.adjuster.kind == 'direct' else 'an offset'} and has no lines.",
            given=format(payload.lines, "f"),
            right='Give change, such as "+0.0095 in".',
            where="lines",
        )
    if model.adjuster.kind == "offset" and payload.change is None:
        raise EntryError(
            "An offset is entered.", right="Give change: what was entered, on the diameter.", where="change"
        )
    for name in ("change", "shown_locked", "shown_unlocked"):
        length = getattr(payload, name)
        if length is not None and abs(length.mm) > FAR_MM:
            raise EntryError(
                "The tool cannot be moved that far at once.", given=length.text, right="Check the unit.", where=name
            )
    if payload.lines is not None and abs(float(payload.lines)) * model.adjuster.line_mm > FAR_MM:
        raise EntryError(
            "The tool cannot be moved that far at once.",
            given=format(payload.lines, "f"),
            right="Give the lines turned, not the reading of the dial.",
            where="lines",
        )


def _check_proof(payload: t.Proved, model: Model) -> None:
    worth = model.adjuster.line_mm
    if payload.readings is not None:
        _check_proof_by_readings(payload, payload.readings, model)
    if not worth / FAR_SHARE <= payload.line.mm <= worth * FAR_SHARE:
        raise EntryError(
            f"It cannot come to that: it is worth {show_length(worth, payload.line.unit)} on the diameter.",
            given=payload.line.text,
            right="Give it on the diameter; if it did come to that, the adjuster was described wrongly.",
            where="line",
        )


def _check_proof_by_readings(payload: t.Proved, readings: t.ProofReadings, model: Model) -> None:
    """Let nothing stand as found that the readings kept with it do not give."""
    proof = proof_of(readings, model.adjuster)
    if not proof.as_told:
        meaning = proof.meaning or "that is none of the usual slips; prove it again"
        raise EntryError(
            f"A line came to {proof.factor:.3g} times what is told of it.",
            given=show_length(proof.line.value, "mm", decimals=5),
            right=f"It looks as if {meaning}: describe the adjuster anew." if proof.meaning else f"{meaning}.",
            where="readings",
        )
    found = proved_entry(proof, {})
    for name in PROVED_FIELDS:
        entered = getattr(payload, name)
        if (None if entered is None else entered.text) != found.get(name):
            raise EntryError(
                f"The readings give {found.get(name) or 'nothing'}.",
                given=None if entered is None else entered.text,
                right="Enter what was worked out, or leave the readings out.",
                where=name,
            )
