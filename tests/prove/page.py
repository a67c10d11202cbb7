"""Writes the page of the docs that shows the proof, from the results that ``make prove`` left.

``python -m tests.prove.page`` writes ``docs/proof.md`` and its pictures; with ``--check`` it only says, by its exit
code, whether they are what would be written.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final

from borewright.drawing.compared import closed_words, draw_compared
from borewright.rehearsal.compare import ADVICE, POLICIES, PRACTICE, TWIN
from borewright.rehearsal.figures import ALL_KINDS, KindFigures, figures_read
from borewright.rehearsal.intervals import Figure
from tests.prove.history import ALONE
from tests.prove.picture import draw_calibration

DOCS: Final = Path(__file__).parents[2] / "docs"
RESULTS: Final = DOCS / "results"

GAP_BAR, HISTORY_BAR, ERROR_BAR, ODDS_NEEDED = 0.65, 0.80, 0.02, 20_000
MEAN_BAR, SD_BAR, OVERSIZE_BAR = 0.1, 0.05, 0.005

KNOWN_MEAN_BAR, KNOWN_SD_BAR = 0.05, 0.02
"""What a sampler may be off where the answer is known, to be held against the belief."""

HEAD: Final = """\
# Proof

<!-- Written by `make prove` from docs/results; do not edit. -->

How the advice does on simulated machines, whether what it states comes true as often as it states, and whether its
belief is what long runs of general-purpose samplers find on the same model. The machines' physics is not the model's
own. Nothing here was cut in metal: it shows what the program does with what it is told, not what your machine does.

What falls short of its bar is marked **short**. Intervals hold the number 95 times in 100; those of costs are of bores
drawn again, and a loss so rare that no bore met it widens none of them.
"""

FORESEEN: Final = """\
## What plans foresee

The look-ahead carries widths through the passes to come, not the readings of them: slips and faults, the adjuster's
steps and the bend of the curve are left out. Here is what the first plan of {bores} bores of each kind foresaw, all in,
against what they came to, in passes. What is foreseen counts what a size off the middle is worth, up to a twentieth of
a pass; what is spent does not. Where a bore is lost it costs sixty, so that a few of them move a mean.

| kind | foreseen | spent | more than foreseen | lost |
| --- | --- | --- | --- | --- |"""

COLUMNS: Final = (
    "sized by",
    "good, %",
    "escaped, %",
    "scrapped, %",
    "set aside, %",
    "passes",
    "trial cuts",
    "measured",
    "cost, passes",
)

AGAINST_PRACTICE: Final = """\
## Against common practice

{bores} bores of each kind, sized by each policy with the same fortune. *Practice* is three equal passes, each dialled
by what the last reading, corrected to 20 °C, falls short. The *knowing twin* is the advice told the constants of its
tool; it sees the hole through the same gauge and judges by the same rule, so that a weakness of judgement weakens both
and shows against the *clairvoyant*, who sees the hole. The gap is what practice costs more than the twin. Practice
releases what reads within the limits; the advice and the twin release what their readings prove to be within.

![Costs of practice, advice and twin by kind](results/compared.svg)

| kind | gap closed | bar of {bar:.0f} % | passes saved against the practice |
| --- | --- | --- | --- |"""

WITH_HISTORY: Final = """\
## With the history of a tool

{tools} tools of each kind; each had cut {before} bores, all sized by the advice, when the bore that counts here was
begun. That one was sized on the same machine by the practice, by the advice with history left out, by the advice begun
with what those bores had taught, and by the twin.

| kind | gap closed | bar of {bar:.0f} % | cost of practice, passes | alone | with history | twin |
| --- | --- | --- | --- | --- | --- | --- |"""

STATED: Final = """\
## What is stated, and how often it comes true

{bores} bores of each kind by the advice. The expected calibration error is the mean distance between stated odds and
how often they came true, over ten bins of equal count; it is above nothing by chance alone. The odds of a pass are
those stated before it was cut; those of a release are by the gauge's word alone, as they are signed.

![Stated odds against what came](results/calibration.svg)

| kind | of | stated odds | expected calibration error | bar of {bar:g} |
| --- | --- | --- | --- | --- |"""

TAIL: Final = """
### The tail

Odds of oversize of a pass that were small but not nothing, and how often it came.

| kind | stated between, % | how often | stated on average, % | came, % |
| --- | --- | --- | --- | --- |"""

WIDTHS: Final = """
### Widths

Readings less what was expected of them, in standard deviations of that, have a variance of 1 where the widths are
right, and so have holes before they are read; they lie in their 95 % intervals 95 times in 100.

| kind | readings | variance | holes cut | variance | in their interval, % |
| --- | --- | --- | --- | --- | --- |"""

SAMPLER: Final = """\
## Against two samplers

The belief about the hole, and the same by two general-purpose samplers on the same priors, equations and readings,
without a straight line in place of any curve: the *ensemble* sampler of emcee {{cite:p}}`foreman-mackey2013`, and
*slices* of ellipses {{cite:p}}`murray2010`. Bores with a reading that surprises are passed over: the belief then weighs
slips and faults as well, which the plain statement of the model does not have; so are those with a rubbing pass, a
mishap or a move so small that it may stick. How many independent points theirs are worth; ours less theirs, in
standard deviations; ours over theirs; the odds of oversize, ours and theirs.

*Known* is what each sampler, run alike, found of a normal distribution whose mean and deviation are known, the one that
straight lines through its most probable point make of the same posterior: found less known, in standard deviations, and
found over known. One that is further off than {known_mean:g} or {known_sd:.0f} % is no measure of the belief.

| kind | when | by | points | known | mean, bar {mean:g} | deviation, bar {sd:.0f} % | oversize, bar {odds:g} | |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |"""

FURTHER: Final = """
### Further bores

The same for the next bores of each kind, by the slices alone: how many reach all three bars, and the furthest off. A
run is worth {points} independent points or more: the standard error of a deviation is {error:.1f} % at most.

| kind | when | reach all bars | mean | deviation | oversize, ours less theirs | |
| --- | --- | --- | --- | --- | --- | --- |"""


def parts() -> dict[str, str]:
    """Return what the page consists of, by file name below the docs."""
    names = ("comparison", "history", "calibration", "foreseen", "sampler")
    comparison, history, calibration, foreseen, sampler = (_read(name) for name in names)
    sections = [HEAD]
    made: dict[str, str] = {}
    if comparison is not None:
        figures = figures_read(comparison["kinds"])
        made["results/compared.svg"] = draw_compared(figures) + "\n"
        sections.append(compared(comparison, figures))
    if history is not None:
        sections.append(with_history(history, figures_read(history["kinds"])))
    if calibration is not None:
        made["results/calibration.svg"] = draw_calibration(calibration["kinds"]) + "\n"
        sections.append(calibrated(calibration))
    if foreseen is not None:
        sections.append(held_to(foreseen))
    if sampler is not None:
        sections.append(sampled(sampler))
    return {"proof.md": "\n".join(sections), **made}


def compared(result: dict[str, Any], figures: tuple[KindFigures, ...]) -> str:
    """Return the section of the comparison."""
    lines = [AGAINST_PRACTICE.format(bores=result["bores"], bar=100 * GAP_BAR)]
    for each in figures:
        saved = each.policies[ADVICE].saved
        assert saved is not None
        enough = each.closed is not None and math.isfinite(each.closed.value) and each.closed.value >= GAP_BAR
        worse = " **worse than the practice**" if saved.value < 0.0 else ""
        closed = closed_words(each.closed).replace(" of the gap closed", "")
        lines.append(f"| {each.kind} | {closed} | {verdict(enough)} | {shown(saved)}{worse} |")
    for each in figures:
        lines += ["", f"### {each.kind.capitalize()}", "", *policy_rows(each)]
    return "\n".join([*lines, "", made_with(result), ""])


def with_history(result: dict[str, Any], figures: tuple[KindFigures, ...]) -> str:
    """Return the section of tools that have cut before."""
    lines = [WITH_HISTORY.format(tools=result["tools"], before=result["before"], bar=100 * HISTORY_BAR)]
    for each in figures:
        closed = closed_words(each.closed).replace(" of the gap closed", "")
        enough = each.closed is not None and math.isfinite(each.closed.value) and each.closed.value >= HISTORY_BAR
        costs = " | ".join(shown(each.policies[name].cost) for name in (PRACTICE, ALONE, ADVICE, TWIN))
        lines.append(f"| {each.kind} | {closed} | {verdict(enough)} | {costs} |")
    return "\n".join([*lines, "", made_with(result), ""])


def policy_rows(each: KindFigures) -> list[str]:
    """Return the table of one kind."""
    rows = [
        f"| {' | '.join(COLUMNS)} |",
        f"|{' --- |' * len(COLUMNS)}",
    ]
    for name in POLICIES:
        done = each.policies[name]
        shares = [
            shown(figure, 100.0) for figure in (done.released_good, done.escaped, done.scrapped, done.quarantined)
        ]
        means = [shown(figure) for figure in (done.passes, done.trial_cuts, done.measurements, done.cost)]
        rows.append(f"| {name} | {' | '.join([*shares, *means])} |")
    return rows


def calibrated(result: dict[str, Any]) -> str:
    """Return the section of the calibration."""
    kinds = result["kinds"]
    lines = [STATED.format(bores=result["bores"], bar=ERROR_BAR)]
    for kind, found in kinds.items():
        for name, odds in found["odds"].items():
            error = Figure.read(odds["error"])
            few = f" (of {ODDS_NEEDED} wanted)" if kind == ALL_KINDS and odds["stated"] < ODDS_NEEDED else ""
            lines.append(
                f"| {kind} | {name} | {odds['stated']}{few} | {shown(error, decimals=4)} |"
                f" {verdict(error.value <= ERROR_BAR)} |"
            )
    lines.append(TAIL)
    for kind, found in kinds.items():
        for each in found["tail"]:
            between = f"{100 * each['from']:g} to {100 * each['to']:g}"
            told = (
                f"{100 * each['stated']:.2f} | {shown(Figure.read(each['came']), 100.0)}" if each["count"] else "- | -"
            )
            lines.append(f"| {kind} | {between} | {each['count']} | {told} |")
    lines.append(WIDTHS)
    for kind, found in kinds.items():
        innovations, holes = found["innovations"], found["holes"]
        lines.append(
            f"| {kind} | {innovations['count']} | {shown(Figure.read(innovations['variance']))} | {holes['count']} |"
            f" {shown(Figure.read(holes['variance']))} |"
            f" {shown(Figure.read(found['coverage of 95 % intervals']), 100.0)} |"
        )
    return "\n".join([*lines, "", made_with(result), ""])


def held_to(result: dict[str, Any]) -> str:
    """Return the section of what first plans foresee."""
    lines = [FORESEEN.format(bores=result["bores"])]
    for kind, found in result["kinds"].items():
        figures = (shown(Figure.read(found[name])) for name in ("foreseen", "spent", "more"))
        lines.append(f"| {kind} | {' | '.join(figures)} | {found['lost']} of {found['bores']} |")
    return "\n".join([*lines, "", made_with(result), ""])


def sampled(result: dict[str, Any]) -> str:
    """Return the section of the samplers."""
    bars = {"mean": MEAN_BAR, "sd": 100 * SD_BAR, "odds": OVERSIZE_BAR}
    lines = [SAMPLER.format(**bars, known_mean=KNOWN_MEAN_BAR, known_sd=100 * KNOWN_SD_BAR)]
    for case in result["cases"]:
        for name, theirs in case["theirs"].items():
            mean, wide, _ = apart(case, theirs)
            off, found = theirs["known_off"], theirs["known_wide"]
            sound = abs(off) <= KNOWN_MEAN_BAR and abs(found - 1.0) <= KNOWN_SD_BAR
            lines.append(
                f"| {case['kind']} | {case['when']} | {name} | {theirs['independent']} | {off:+.3f}, {found:.3f} |"
                f" {mean:+.3f} | {wide:.3f} | {case['ours_oversize']:.5f}, {theirs['oversize']:.5f} |"
                f" {verdict(near(case, theirs)) if sound else '**no measure**'} |"
            )
    return "\n".join([*lines, *further_rows(result["further"]), "", made_with(result), ""])


def further_rows(cases: list[dict[str, Any]]) -> list[str]:
    """Return the table of the bores held against the slices alone."""
    points = min(case["theirs"]["slices"]["independent"] for case in cases)
    lines = [FURTHER.format(points=points, error=100 / math.sqrt(2 * points))]
    for kind, when in dict.fromkeys((case["kind"], case["when"]) for case in cases):
        alike = [case for case in cases if (case["kind"], case["when"]) == (kind, when)]
        off = [apart(case, case["theirs"]["slices"]) for case in alike]
        reached = sum(near(case, case["theirs"]["slices"]) for case in alike)
        mean, wide, odds = (
            furthest(values, right) for values, right in zip(zip(*off, strict=True), (0.0, 1.0, 0.0), strict=True)
        )
        lines.append(
            f"| {kind} | {when} | {reached} of {len(alike)} | {mean:+.3f} | {wide:.3f} | {odds:+.5f} |"
            f" {verdict(reached == len(alike))} |"
        )
    return lines


def furthest(values: Iterable[float], right: float) -> float:
    """Return the value furthest off what is right."""
    return max(values, key=lambda value: abs(value - right))


def apart(case: dict[str, Any], theirs: dict[str, float]) -> tuple[float, float, float]:
    """Return how far the belief is from a sampler: mean in deviations, deviation over theirs, odds of oversize."""
    mean = (case["ours_mm"] - theirs["mm"]) / theirs["sd_mm"]
    return mean, case["ours_sd_mm"] / theirs["sd_mm"], case["ours_oversize"] - theirs["oversize"]


def near(case: dict[str, Any], theirs: dict[str, float]) -> bool:
    """Tell whether the belief reaches all three bars."""
    mean, wide, odds = apart(case, theirs)
    return abs(mean) <= MEAN_BAR and abs(wide - 1.0) <= SD_BAR and abs(odds) <= OVERSIZE_BAR


def shown(figure: Figure, times: float = 1.0, decimals: int = 2) -> str:
    """Show a figure with its interval."""
    value, low, high = (
        f"{times * end:.{decimals}f}" if math.isfinite(end) else "?" for end in (figure.value, figure.low, figure.high)
    )
    return f"{value} ({low} to {high})"


def verdict(reached: bool) -> str:
    """Say whether a bar is reached."""
    return "reached" if reached else "**short**"


def made_with(result: dict[str, Any]) -> str:
    """Say how to make a result again."""
    return f"Made by `{result['command']}` at commit `{result['commit']}`, first seed {result['seed']}."


def write() -> None:
    """Write the page and its pictures."""
    for name, text in parts().items():
        (DOCS / name).write_text(text, encoding="utf-8")


def stale() -> Iterable[str]:
    """Return the files that are not what would be written."""
    for name, text in parts().items():
        path = DOCS / name
        if not path.is_file() or path.read_text(encoding="utf-8") != text:
            yield name


def _read(name: str) -> dict[str, Any] | None:
    path = RESULTS / f"{name}.json"
    return json.loads(path.read_text(encoding="utf-8")) if path.is_file() else None


def main() -> int:
    """Write the page, or check it."""
    if "--check" not in sys.argv[1:]:
        write()
        return 0
    old = list(stale())
    if old:
        print(f"Not what the results say: {', '.join(old)}; run python -m tests.prove.page.", file=sys.stderr)
    return 1 if old else 0


if __name__ == "__main__":
    sys.exit(main())
