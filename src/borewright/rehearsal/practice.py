"""Equal passes: how a careful shop sizes a bore without a program.

The stock is divided into like passes; what the last reading falls short of the next aim is dialled in. Like passes meet
like push-off, so what the first taught cancels in the next. Common practice, no source.
"""

from __future__ import annotations

from borewright.rehearsal.outcome import Ending, Outcome, outcome
from borewright.rehearsal.told import Told
from borewright.rehearsal.truth import Truth

TWENTY = 20.0  # °C
MOST_READINGS = 9  # in one measurement
MOST_PASSES = 3  # beyond the like ones, to bring up a hole still under size


def equal_passes(truth: Truth, *, passes: int = 3, with_temperature: bool = True) -> Outcome:
    """Size a bore by equal passes, dialling the difference, and release it when it reads within the limits.

    The tool is first set for a share of the stock, and as much larger as push-off is guessed. A hole that reads over is
    scrapped; one that still reads under after the like passes is brought up by dialling the difference, and set aside
    when that does not help.

    Args:
        truth: the machine, before its first act; it is used up.
        passes: how many like passes, at least 2.
        with_temperature: whether readings are corrected to 20 °C for the part's temperature.

    Returns:
        How it ended.
    """
    told = truth.told()
    name = f"equal passes{', temperature corrected' if with_temperature else ''}"
    share = told.stock_mm / passes
    truth.set_tool(round(told.hole_mm + share + told.push_off_guess_mm, 3))
    truth.seat()
    for done in range(1, passes + MOST_PASSES + 1):
        truth.cut()
        size = measured(truth, told, with_temperature=with_temperature)
        if size >= told.lower_mm:
            ending: Ending = "released" if size <= told.upper_mm else "scrapped"
            return outcome(name, truth, ending)
        move_by(truth, told, (told.size_mm - size) / max(1, passes - done))
    return outcome(name, truth, "quarantined")


def measured(truth: Truth, told: Told, *, with_temperature: bool) -> float:
    """Return the mean of two readings taken crosswise; where they disagree, of the last and the one nearest to it.

    Readings go on until two agree, up to ``MOST_READINGS``.

    Args:
        truth: the machine.
        told: what is known of it.
        with_temperature: whether the mean is corrected to 20 °C.

    Returns:
        The size, mm.
    """
    agree = 6.0 * told.gauge_scatter_mm + told.gauge_step_mm
    readings = [truth.read(0.0), truth.read(90.0)]
    pair = _nearest(readings)
    while abs(pair[0] - pair[1]) > agree and len(readings) < MOST_READINGS:
        readings.append(truth.read(90.0 * (len(readings) % 2)))
        pair = _nearest(readings)
    mean = sum(pair) / 2.0
    if not with_temperature:
        return mean
    return mean / (1.0 + told.expansion_per_k * (truth.part_celsius() - TWENTY))


def move_by(truth: Truth, told: Told, change_mm: float) -> None:
    """Move the tool by a change of diameter, to the nearest whole line or step, taking up the backlash.

    Args:
        truth: the machine.
        told: what is known of it.
        change_mm: the change wanted, mm on the diameter, opening positive.
    """
    lines = round(change_mm / told.line_mm)
    if told.adjuster == "dial":
        truth.move(lines=lines)
    else:
        truth.move(change_mm=lines * told.step_mm)


def _nearest(readings: list[float]) -> tuple[float, float]:
    """Return the last reading and the earlier one nearest to it."""
    last = readings[-1]
    return min(readings[:-1], key=lambda reading: abs(reading - last)), last
