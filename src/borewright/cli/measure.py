"""The command that makes a size of readings, with its budget, its form and its verdict."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from borewright.cli.picture_file import write_picture
from borewright.cli.rows import hung, labelled, pairs, wrapped
from borewright.cli.talk import Row, Terminal
from borewright.drawing.budget import draw_budget
from borewright.exchange.measurements import Measured, read_measurement
from borewright.gauging.budget import Budget
from borewright.gauging.comparison import SCATTER
from borewright.gauging.draws import Drawn, draw_size
from borewright.gauging.form import Form, form_of
from borewright.gauging.lobing import unseen_lobing
from borewright.gauging.plugs import Left, tried
from borewright.gauging.risks import Risks, normal_density, risks
from borewright.gauging.settling import Settled, capable, settled_by, ways_to_know_better
from borewright.gauging.whole_hole import HoleVerdict, judge_hole
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.record.told import VERDICTS


@dataclass(frozen=True, slots=True)
class Answer:
    """What a measurement comes to.

    Args:
        measured: what was measured.
        budget: the mean size with its budget.
        form: the form.
        verdict: the whole hole's verdict.
        settled: what would settle it, where it is not shown.
        cannot: why no reading could show it in, or nothing.
        unseen: what form the readings cannot show, or nothing.
        drawn: the check by draws, or None.
        left: the size with what plug gauges did, or None where none was tried.
        risks: what the rule risks over the process, or None where that is not known.
    """

    measured: Measured
    budget: Budget
    form: Form
    verdict: HoleVerdict
    settled: tuple[Settled, ...]
    cannot: str
    unseen: str
    drawn: Drawn | None
    left: Left | None = None
    risks: Risks | None = None


def answered(measured: Measured, draws: int = 0) -> Answer:
    """Work a measurement out.

    Args:
        measured: what was measured.
        draws: how many draws to check the budget by at most; none for 0.

    Returns:
        What it comes to.

    Raises:
        EntryError: the form is impossible for one bore, or the draws are too few.
    """
    comparison = measured.comparison
    budget = comparison.budget()
    limits = measured.callout.lower_mm, measured.callout.upper_mm
    form = form_of(measured.placed, measured.scatter_mm, measured.scatter_dof)
    verdict = judge_hole(budget, form, SCATTER, measured.rule, limits)
    settled: tuple[Settled, ...] = ()
    if verdict.verdict == "not shown":
        settled = settled_by(comparison, ways_to_know_better(comparison), measured.rule, *limits)
    directions = [each.direction_deg for each in measured.placed]
    return Answer(
        measured,
        budget,
        form,
        verdict,
        settled,
        capable(budget.judged_u_mm, *limits, measured.rule),
        unseen_lobing(measured.instrument.sees, directions, measured.envelope),
        draw_size(comparison, np.random.default_rng(1), most=draws) if draws else None,
        tried(budget.size_mm, budget.u_mm, measured.plugs) if measured.plugs else None,
        _risks(measured, budget),
    )


def _risks(measured: Measured, budget: Budget) -> Risks | None:
    """Integrate over the process what the rule accepts and refuses wrongly."""
    if measured.process is None:
        return None
    mean, sd = measured.process
    limits = measured.callout.lower_mm, measured.callout.upper_mm
    guard = measured.rule.guard(budget.judged_u_mm, limits[1] - limits[0])
    within = mean - 9.0 * sd, mean + 9.0 * sd
    return risks(normal_density(mean, sd), within, limits, (limits[0] + guard, limits[1] - guard), budget.u_mm)


def run_measure(file: Path, draws: int, picture: Path | None, *, as_json: bool) -> int:
    """Make a size of a file of readings.

    Args:
        file: the file.
        draws: how many draws to check the budget by at most; none for 0.
        picture: where to write a picture of the budget, or None.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.
    """
    answer = answered(read_measurement(file), draws)
    if picture is not None:
        write_picture(picture, draw_budget(answer.budget))
    if as_json:
        print(json.dumps(plain(answer), ensure_ascii=False))
        return 0
    talk = Terminal()
    talk.show(answer_rows(answer, talk.width))
    return 0


def plain(answer: Answer) -> dict[str, object]:
    """Return what a measurement comes to as plain values, lengths in mm.

    Args:
        answer: what it comes to.

    Returns:
        Named values.
    """
    budget, verdict = answer.budget, answer.verdict
    drawn = answer.drawn
    return {
        "size_mm": budget.size_mm,
        "u_mm": budget.u_mm,
        "first_order_mm": budget.first_order_mm,
        "dof": None if budget.dof > 1e9 else budget.dof,
        "factor": budget.factor,
        "expanded_mm": budget.expanded_mm,
        "budget": [
            {"name": row.name, "u": row.u, "unit": row.unit, "part_mm": row.part_mm, "share": row.share}
            for row in budget.rows()
        ],
        "form": [
            {"name": each.name, "mm": each.mm, "u_mm": each.u_mm, "shown": each.shown, "caution": each.caution}
            for each in answer.form.departures
        ],
        "missing": list(answer.form.missing),
        "smallest_mm": verdict.smallest_mm,
        "largest_mm": verdict.largest_mm,
        "verdict": verdict.verdict,
        "probability": verdict.probability,
        "rule": verdict.rule,
        "settled_by": [
            {"name": each.name, "u_mm": each.u_mm, "shown_in": each.shown_in, "shown_out": each.shown_out}
            for each in answer.settled
        ],
        "cannot": answer.cannot,
        "unseen": answer.unseen,
        "independent": answer.measured.instrument.independent,
        "state": answer.measured.state,
        "assumed": list(answer.measured.assumed),
        "with_plugs": None
        if answer.left is None
        else {"mean_mm": answer.left.mean_mm, "sd_mm": answer.left.sd_mm, "surprise": answer.left.surprise},
        "risks": None
        if answer.risks is None
        else {
            "consumers": answer.risks.consumers,
            "producers": answer.risks.producers,
            "bad": answer.risks.bad,
        },
        "drawn": None
        if drawn is None
        else {
            "mean_mm": drawn.mean_mm,
            "u_mm": drawn.u_mm,
            "low_mm": drawn.low_mm,
            "high_mm": drawn.high_mm,
            "draws": drawn.draws,
            "settled": drawn.settled,
            "agrees": drawn.agrees(budget.size_mm, budget.expanded_mm),
        },
    }


def answer_rows(answer: Answer, width: int) -> list[Row]:
    """Lay out what a measurement comes to.

    Args:
        answer: what it comes to.
        width: columns.

    Returns:
        The rows.
    """
    measured, budget, verdict = answer.measured, answer.budget, answer.verdict
    unit = measured.callout.unit
    dof = "" if budget.dof > 1e4 else f", {budget.dof:.1f} degrees of freedom"
    rows = [
        Row(f"{_shown(budget.size_mm, unit)} ± {_shown(budget.expanded_mm, unit)}", "strong"),
        *wrapped(f"at 20 °C, {budget.confidence:.0%}, factor {budget.factor:.2f}{dof}", width),
        Row(f"{VERDICTS[verdict.verdict].capitalize()}: {verdict.rule}", "strong"),
    ]
    rows += wrapped(
        f"smallest place {_shown(verdict.smallest_mm, unit)}, largest {_shown(verdict.largest_mm, unit)}; "
        f"within limits with probability {verdict.probability:.3f}",
        width,
    )
    if not measured.instrument.independent:
        rows += wrapped("This owes its reading to the machine that cut the bore: no evidence for a release.", width)
    rows += wrapped(f"held: {measured.state}", width) if measured.state else []
    rows += wrapped(answer.cannot, width)
    for each in answer.settled:
        rows += labelled("would", f"{each.name}: in {each.shown_in:.0%}, out {each.shown_out:.0%}", width)
    if answer.left is not None:
        words = f"{_shown(answer.left.mean_mm, unit)}, standard deviation {_shown(answer.left.sd_mm, unit)}"
        rows += labelled("plugs", f"with what they did: {words}", width)
    if answer.risks is not None:
        over = answer.risks
        words = f"accepts {over.consumers:.3%} that are bad and refuses {over.producers:.3%} that are good"
        rows += labelled("process", f"over it the rule {words}; {over.bad:.3%} are bad", width)
    rows += [Row(""), Row("What the uncertainty is made of", "strong")]
    rows += pairs([(row.name, f"{1000.0 * row.part_mm:7.3f} µm  {row.share:6.1%}") for row in budget.rows()], width)
    rows += _form_rows(answer, unit, width)
    rows += _drawn_rows(answer, unit, width)
    if measured.assumed:
        rows += [Row(""), Row("Assumed", "strong")]
        for words in measured.assumed:
            rows += hung("  ", words, width)
    return rows


def _form_rows(answer: Answer, unit: Unit, width: int) -> list[Row]:
    rows = [Row(""), Row("Form", "strong")]
    for each in answer.form.departures:
        shown = "" if each.shown else ", no more than the gauge's scatter"
        words = f"{_shown(each.mm, unit)} ± {_shown(each.half_width_mm, unit)}{shown}. {each.caution}"
        rows += labelled(each.name, words.strip(), width)
    for words in (*answer.form.missing, answer.unseen):
        rows += wrapped(words, width)
    return rows


def _drawn_rows(answer: Answer, unit: Unit, width: int) -> list[Row]:
    drawn = answer.drawn
    if drawn is None:
        return []
    still = "they stand still" if drawn.settled else "they do not stand still yet: ask for more"
    agrees = drawn.agrees(answer.budget.size_mm, answer.budget.expanded_mm)
    words = (
        f"{drawn.draws} draws, {still}: {_shown(drawn.mean_mm, unit)}, u {_shown(drawn.u_mm, unit)}, from "
        f"{_shown(drawn.low_mm, unit)} to {_shown(drawn.high_mm, unit)}. The budget "
        f"{'agrees to two digits of u' if agrees else 'differs in two digits of u: believe the draws'}."
    )
    return [Row(""), Row("Checked by draws", "strong"), *wrapped(words, width)]


def _shown(mm: float, unit: Unit) -> str:
    return show_length(mm, unit, decimals=5 if unit == "mm" else 6)
