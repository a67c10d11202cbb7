"""After the demo: what was hidden, beside what was thought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from borewright.cli.card import part
from borewright.cli.rows import pairs, strong, wrapped
from borewright.cli.talk import Row
from borewright.quantity.show import show_length

if TYPE_CHECKING:
    from borewright.rehearsal.truth import Truth
    from borewright.sizing.bore import Bore

VERDICTS = {"good": "inside the limits", "over": "over the upper limit", "under": "under the lower limit"}


def debrief(truth: Truth, bore: Bore, width: int) -> list[Row]:
    """Tell the hidden truth of a demo bore.

    Args:
        truth: the simulated machine as the record has it.
        bore: the bore as its record stands.
        width: columns.

    Returns:
        The rows.
    """
    unit, advice = bore.unit, bore.advise()

    def shown(mm: float, *, sign: bool = False) -> str:
        return show_length(mm, unit, sign=sign)

    across = f"from {shown(truth.smallest_mm)} to {shown(truth.largest_mm)} across"
    came_out = f"The hole came out at {shown(truth.hole_mm)}, {across}: {VERDICTS[truth.verdict()]}."
    tool, guess = truth.tool, bore.opening.given.push_off.guess
    table = [
        ("hole", f"{part(advice, 'now').get('size')} thought, {shown(truth.hole_mm)} true"),
        ("tool in the spindle", f"{part(advice, 'tool').get('size')} thought, {shown(truth.tool_mm)} true"),
        (
            f"push-off at {shown(truth.told().push_off_at_mm)}",
            f"{guess} guessed, {shown(tool.push_off.at_reference_mm)} true",
        ),
        ("lock shift, mean", shown(tool.lock_mean_mm, sign=True)),
        ("bench to spindle", shown(tool.bench_mm, sign=True)),
        ("adjuster moves", f"{abs(100 * tool.gain):.2f} % {'more' if tool.gain > 0 else 'less'} than it says"),
        ("backlash", shown(tool.backlash_mm)),
        ("gauge's setting", f"{shown(truth.gauge_bias_mm, sign=True)} off"),
        ("part", f"{truth.celsius:.1f} °C at the last reading"),
    ]
    mishaps = [f"Act {mishap.act}: {mishap.what}." for mishap in truth.mishaps] or ["Nothing went wrong unseen."]
    return [
        Row(""),
        *strong("What the simulated machine hid", width),
        *wrapped(came_out, width),
        *pairs(table, width),
        *(row for mishap in mishaps for row in wrapped(mishap, width)),
    ]
