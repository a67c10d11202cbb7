"""The command that makes a clock of two temperatures and says what waiting buys."""

from __future__ import annotations

import json
import math
from decimal import Decimal
from pathlib import Path
from typing import Final

from borewright.cli.rows import pairs, wrapped
from borewright.cli.talk import Row, Terminal
from borewright.exchange.measurements import Measured, read_measurement
from borewright.gauging.comparison import PART_GROWS, PART_WARMTH
from borewright.gauging.soak import Soak, Waited, Waiting, soak_clock
from borewright.quantity.number import parse_celsius, parse_number, require_scale_said

WAITS: Final = (0.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0)
"""Minutes that are told of."""


def run_soak(
    first: str, second: str, minutes: str, room: str, thermometer: str, measured: str | None, *, as_json: bool
) -> int:
    """Make the clock and show what waiting buys.

    Args:
        first: the part's temperature at first.
        second: its temperature now.
        minutes: minutes between the two.
        room: the room's temperature.
        thermometer: standard uncertainty of a temperature taken, K.
        measured: a file of what was measured, or None.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.
    """
    for typed, where in ((first, "first"), (second, "second"), (room, "room")):
        require_scale_said(typed, where)
    taken = float(parse_number(thermometer, "thermometer", low=Decimal("0.01"), high=Decimal(5)))
    clock = soak_clock(
        float(parse_celsius(first, "first")),
        float(parse_celsius(second, "second")),
        float(parse_number(minutes, "minutes", low=Decimal(0))),
        float(parse_celsius(room, "room")),
        taken,
    )
    table = () if measured is None else waiting_for(read_measurement(Path(measured)), taken).table(clock, WAITS)
    if as_json:
        print(json.dumps(plain(clock, table), ensure_ascii=False))
        return 0
    talk = Terminal()
    talk.show(soak_rows(clock, table, talk.width))
    return 0


def waiting_for(measured: Measured, taken: float) -> Waiting:
    """Take from a measurement what waiting for its part needs.

    Args:
        measured: the measurement.
        taken: standard uncertainty of a temperature taken, K.

    Returns:
        The size that waits.
    """
    budget, part = measured.comparison.budget(), measured.comparison.part
    warm = (PART_WARMTH, PART_GROWS)
    others = math.hypot(*(cause.part_mm for cause in budget.causes if cause.name not in warm))
    limits = measured.callout.lower_mm, measured.callout.upper_mm
    return Waiting(budget.size_mm, others, *limits, part.per_kelvin, part.u_per_kelvin, taken, measured.rule.confidence)


def plain(clock: Soak, table: tuple[Waited, ...]) -> dict[str, object]:
    """Return the clock as plain values.

    Args:
        clock: the clock.
        table: what each wait is worth to a size, or nothing.

    Returns:
        Named values.
    """
    return {
        "time_constant_minutes": clock.minutes,
        "from_minutes": clock.minutes * math.exp(-1.96 * clock.u_ln),
        "to_minutes": clock.minutes * math.exp(1.96 * clock.u_ln),
        "within_1_K_after": clock.until(1.0),
        "within_0.3_K_after": clock.until(0.3),
        "after": [{"minutes": wait, "celsius": clock.after(wait)[0], "u": clock.after(wait)[1]} for wait in WAITS],
        "waiting": [{"minutes": each.minutes, "u_mm": each.u_mm, "proves": each.proves} for each in table],
    }


def soak_rows(clock: Soak, table: tuple[Waited, ...], width: int) -> list[Row]:
    """Lay the clock out.

    Args:
        clock: the clock.
        table: what each wait is worth to a size, or nothing.
        width: columns.

    Returns:
        The rows.
    """
    low, high = (clock.minutes * math.exp(side * 1.96 * clock.u_ln) for side in (-1.0, 1.0))
    rows = [
        Row(f"Time constant {clock.minutes:.0f} minutes", "strong"),
        *wrapped(
            f"95 % from {low:.0f} to {high:.0f}; within 1 K of the room in {clock.until(1.0):.0f} minutes, within "
            f"0.3 K in {clock.until(0.3):.0f}",
            width,
        ),
    ]
    sizes = {each.minutes: each for each in table}
    lines = []
    for wait in WAITS:
        celsius, u = clock.after(wait)
        words = f"{celsius:.1f} ± {2.0 * u:.1f} °C"
        if wait in sizes:
            words += f"; the size within ± {2000.0 * sizes[wait].u_mm:.1f} µm, shown in {sizes[wait].proves:.0%}"
        lines.append((f"after {wait:.0f} minutes", words))
    return [*rows, *pairs(lines, width)]
