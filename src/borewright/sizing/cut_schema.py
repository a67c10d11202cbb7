"""The physics of a cut as it is answered, as JSON Schema."""

from __future__ import annotations

from borewright.cutting.concerns import SAID
from borewright.materials.value import SAID as CERTAINTY
from borewright.materials.work import GROUPS
from borewright.quantity.length import UNITS
from borewright.record.schema import Schema
from borewright.sizing.described import (
    choice,
    fields,
    flag,
    interval,
    length,
    number,
    or_none,
    several,
    share,
    text,
    whole,
)


def cut_schema() -> Schema:
    """Describe what is answered of the cut of a bore.

    Returns:
        The schema of an object.
    """
    taught = fields(
        "one measured pass.",
        {
            "pass": whole("which, from 1."),
            "removed": length("what it took off, on the diameter."),
            "measured": interval("push-off as the readings show it, nothing of physics in it."),
            "physics": interval("push-off by physics where so much comes off."),
            "agrees": flag("whether the two intervals have anything in common."),
            "say": text("the same in a sentence."),
        },
    )
    whole_cut = fields(
        "the cut.",
        {
            "left": or_none("the passes of the plan advised; null where none is left.", outlook_schema()),
            "taught": several("what measured passes showed of push-off.", taught),
        },
    )
    return fields(
        "The physics of a bore that was opened by its cut.",
        {"cut": or_none("what physics has to say; null where the bore was opened without a cut.", whole_cut)},
    )


def outlook_schema() -> Schema:
    """Describe what is answered of a cut before it is made.

    Returns:
        The schema of an object.
    """
    return fields(
        "What could lose a bore in the cutting, and what each pass gives.",
        {
            "callout": text("what the drawing asks, as written."),
            "unit": choice("unit of every length in it.", UNITS),
            "first": several("what could go wrong in all passes, the worst first and each once.", _concern()),
            "narrows": text("what would narrow push-off most."),
            "passes": several("pass by pass.", _pass()),
            "push_off": _push_off(),
            "speed": fields("cutting speed.", {"m_min": number("m/min."), "rpm": number("of the spindle, 1/min.")}),
            "material": _material(),
            "compliance": fields(
                "how the tool gives way.",
                {
                    "um_per_n": number("towards the axis, µm/N on the radius."),
                    "outward_um_per_n": number("outward by the feed force, µm/N on the radius."),
                    "within": number("standard deviation of the logarithm of the first."),
                    "origin": text("on what ground."),
                },
            ),
            "starting": fields(
                "where to begin in this material.",
                {
                    "for": text("what work it is for."),
                    "speed_m_min": several("slowest and fastest, m/min.", {"type": "number"}),
                    "feed": several("least and most a turn.", length("one of both.")),
                    "radial_depth": several("least and most.", length("one of both.")),
                    "edge": text("the kind of edge."),
                    "source": text("where it comes from."),
                },
            ),
            "assumptions": several(
                "what nobody said and is taken for granted.",
                fields(
                    "one of them.", {"what": text("what."), "value": text("its value."), "origin": text("its ground.")}
                ),
            ),
        },
    )


def _concern() -> Schema:
    return fields(
        "one thing that could go wrong.",
        {
            "pass": whole("the pass it is worst in."),
            "how_bad": choice("how bad.", tuple(SAID.values())),
            "what": text("what could go wrong."),
            "would": text("what would keep it from that."),
        },
    )


def _pass() -> Schema:
    return fields(
        "one pass.",
        {
            "number": whole("which, from 1."),
            "could_go_wrong": several("what could go wrong in it, the worst first.", _concern()),
            "hole": length("the hole before it."),
            "aim": length("the size that it is to leave."),
            "set": length("the tool's diameter for that by physics alone."),
            "depth": length("depth set, on the diameter."),
            "push_off": fields(
                "on the diameter, at that depth.",
                {
                    "expected": length("the best estimate."),
                    "low": length("lower end of what holds it 95 times in 100."),
                    "high": length("upper end of that."),
                },
            ),
            "oversize": share("odds of a hole over the upper limit, by push-off alone."),
            "force": fields(
                "on the tip.",
                {
                    "cutting_n": number("along the cut, N."),
                    "radial_n": number("off the wall, N."),
                    "feed_n": number("along the bore, N."),
                    "within": number("standard deviation of the logarithm of the first."),
                    "edge_share": share("what of the radial force the edge alone makes."),
                },
            ),
            "chip": fields(
                "the chip.",
                {
                    "thickest": length("at its thickest."),
                    "least": length("the least that the edge cuts."),
                    "area_mm2": number("its area, mm²."),
                    "edge": length("the edge engaged."),
                },
            ),
            "power_kw": number("at the edge, kW."),
            "torque_nm": number("N m."),
            "finish": fields(
                "the finish that it leaves.",
                {
                    "ra": length("Ra, as likely above as below."),
                    "geometric": length("Ra of pure geometry."),
                    "within": number("standard deviation of the logarithm of Ra."),
                    "measured": whole("how many measured bores it rests on."),
                },
            ),
        },
        {
            "rougher": share("odds of a finish rougher than allowed; where that was said."),
            "minutes": number("the edge is at work; where the length of the bore was said."),
            "edge": fields(
                "what it costs the edge; likewise.",
                {
                    "life_min": number("minutes that it lasts."),
                    "passes": number("such passes that it lasts."),
                    "shrinks": length("what the bore shrinks by in the pass."),
                    "within_factor": number("one standard deviation of these, as a factor."),
                },
            ),
            "warmth": fields(
                "what its heat does; where length and wall were said.",
                {"warmer_k": number("the wall, K at most."), "larger": length("the bore, by that.")},
            ),
        },
    )


def _push_off() -> Schema:
    return fields(
        "push-off where the first pass's stock comes off.",
        {
            "where_comes_off": length("what comes off, on the diameter."),
            "expected": length("the best estimate."),
            "low": length("lower end of what holds it 95 times in 100."),
            "high": length("upper end of that."),
            "factor": number("one standard deviation, as a factor."),
            "exponent": number("how it grows with what comes off."),
            "exponent_sd": number("the standard deviation of that."),
            "edge_share": number("what stays of it as nothing comes off, a share."),
            "edge_share_sd": number("the standard deviation of that."),
            "sign_sure": flag("whether it is sure that the hole comes out smaller, and not larger."),
            "parts": several(
                "what makes it uncertain, the most first.",
                fields(
                    "one doubt.",
                    {
                        "what": text("what is not well known."),
                        "share": share("its share of the variance."),
                        "factor": number("push-off with it one standard deviation up, over push-off as it is."),
                        "narrows": text("what would narrow it."),
                    },
                ),
            ),
        },
    )


def _material() -> Schema:
    return fields(
        "what is cut.",
        {
            "name": text("its name and condition."),
            "group": choice("its letter in ISO 513.", tuple(GROUPS)),
            "family": text("the table that both numbers come from, or that they are the shop's own."),
            "kc_n_mm2": number("specific cutting force of a chip 1 mm thick and wide, N/mm²."),
            "kc_within": number("one standard deviation of it, a share."),
            "exponent": number("by which power it falls as the chip thickens."),
            "certainty": choice("how sure it is.", tuple(CERTAINTY.values())),
            "source": text("where both numbers come from."),
        },
        {
            "entered_by": text("who entered the shop's own; where that is known."),
            "entered_on": text("on which day; likewise."),
        },
    )
