"""How a bore came to where it stands: its passes one by one, and every entry of the record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from math import fsum

from borewright.quantity.length import Unit, parse_length
from borewright.quantity.number import parse_celsius
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.record.told import said_back
from borewright.shop.kept import Kept
from borewright.sizing.belief import Belief, PassRecord
from borewright.sizing.priors import NORMAL_95
from borewright.sizing.proving import LIKELY_BLUNDER


@dataclass(frozen=True, slots=True)
class Row:
    """One entry of the record.

    Args:
        stream: ``bore``, ``tool`` or ``gauge``.
        number: its place there.
        said: the entry in words.
        by: who entered it; empty where nobody was named.
        at: when, as a clock shows it.
        moment: when, ISO 8601.
        withdrawn: whether it was withdrawn.
    """

    stream: str
    number: int
    said: str
    by: str
    at: str
    moment: str
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class Pass:
    """One pass of the story.

    Args:
        title: such as ``Pass 2``.
        tool: what was done to the tool before it.
        expected: what it was to leave.
        between: the interval of that.
        readings: what the gauge showed after it.
        left: the mean of them, or empty.
        left_mm: the same, mm, or None.
        off: how that compares with what was expected, in words.
        doubted: what the gauge showed that is likelier a slip than a size.
    """

    title: str
    tool: str
    expected: str
    between: str
    readings: tuple[str, ...]
    left: str
    left_mm: float | None
    off: str
    doubted: tuple[str, ...] = ()


@dataclass(slots=True)
class _Open:
    """A pass while its readings are gathered."""

    title: str
    tool: str
    record: PassRecord | None
    warm_k: float = 0.0
    """The part above 20 °C, by the last thermometer that was read since; nothing where none was."""
    readings: list[float] = field(default_factory=list)
    doubted: list[float] = field(default_factory=list)


def passes_of(history: Sequence[Kept], belief: Belief, unit: Unit, growth: float) -> tuple[Pass, ...]:
    """Tell the passes of a bore.

    Args:
        history: what is on record since its opening, oldest first.
        belief: what is believed, with what was expected of each pass.
        unit: unit to show lengths in.
        growth: what the part's diameter grows by, mm/K: what was expected is at 20 °C, what was read is not.

    Returns:
        The hole before the first pass where it was measured, then the passes, oldest first.
    """
    records = {record.number: record for record in belief.history}
    doubted = {reading.number for reading in belief.readings if reading.doubt >= LIKELY_BLUNDER}
    told: list[_Open] = []
    tool: list[str] = []
    for kept in history:
        if kept.withdrawn:
            continue
        if kept.event in {"set", "moved", "edge_changed"}:
            tool.append(said_back(kept.event, _shown(kept.payload, unit)))
        elif kept.event == "passed":
            record = records.get(kept.number)
            title = "Trial" if kept.payload.get("depth") == "trial" else f"Pass {_passes(told) + 1}"
            told.append(_Open(title, ", ".join(tool) or "tool as it was", record))
            tool = []
        elif kept.event == "temperature" and told and kept.payload.get("of") == "part":
            told[-1].warm_k = float(parse_celsius(str(kept.payload["celsius"]), "celsius")) - 20.0
        elif kept.event in {"read", "hole_checked"}:
            if not told:
                told.append(_Open("The hole as it was", "", None))
            where = told[-1].doubted if kept.number in doubted else told[-1].readings
            where.append(parse_length(str(kept.payload.get("as_read"))).mm)
    return tuple(_closed(one, unit, growth) for one in told)


def rows_of(history: Sequence[Kept]) -> tuple[Row, ...]:
    """List the entries of the record, as they were entered.

    Args:
        history: what is on record, oldest first.

    Returns:
        As many rows, newest first.
    """
    return tuple(_row(kept) for kept in reversed(history))


def last_undoable(history: Sequence[Kept]) -> Row | None:
    """Find the entry that an undo withdraws.

    Args:
        history: what is on record, oldest first.

    Returns:
        The last that stands and may be withdrawn, or None.
    """
    last = next((kept for kept in reversed(history) if kept.can_be_undone), None)
    return None if last is None else _row(last)


def clock(moment: str | None) -> str:
    """Say when, as a clock on this machine shows it.

    Args:
        moment: ISO 8601, or None.

    Returns:
        Such as ``14:05`` with the day before it; empty where nothing is known.
    """
    if not moment:
        return ""
    try:
        return datetime.fromisoformat(moment).astimezone().strftime("%d %b %H:%M").lstrip("0")
    except ValueError:
        return moment


def _passes(told: Sequence[_Open]) -> int:
    return sum(one.title.startswith("Pass") for one in told)


def _closed(one: _Open, unit: Unit, growth: float) -> Pass:
    sizes = one.readings
    mean = fsum(sizes) / len(sizes) if sizes else None
    record = one.record
    done = Pass(
        one.title,
        one.tool,
        "",
        "",
        tuple(_length(size, unit, 0) for size in sizes),
        "" if mean is None else _mean(mean, unit),
        mean,
        "",
        tuple(_length(size, unit, 0) for size in one.doubted),
    )
    if record is None:
        return done
    half = NORMAL_95 * record.expected_sd_mm
    low, high = record.expected_mm - half, record.expected_mm + half
    off = "" if mean is None else _off(mean - growth * one.warm_k - record.expected_mm, unit)
    warm = off and abs(growth * one.warm_k) >= 0.5e-3
    return replace(
        done,
        expected=_length(record.expected_mm, unit, 1),
        between=f"{_length(low, unit, 1)} to {_length(high, unit, 1)}",
        off=f"at 20 °C {off}" if warm else off,
    )


def _mean(mm: float, unit: Unit) -> str:
    """Show the mean of readings with the digits of a reading; with one more only where it lies between two of those."""
    usual = _length(mm, unit, 0)
    return usual if abs(parse_length(f"{usual} {unit}").mm - mm) < 1e-6 else _length(mm, unit, 1)


def _off(mm: float, unit: Unit) -> str:
    if abs(mm) < 0.5e-4:
        return "as expected"
    return f"{say_length(abs(mm), unit)} {'larger' if mm > 0 else 'smaller'} than expected"


def _length(mm: float, unit: Unit, finer: int) -> str:
    return show_length(round(mm, 9), unit, decimals=(3 if unit == "mm" else 4) + finer, with_unit=False)


def _shown(payload: Mapping[str, object], unit: Unit) -> dict[str, object]:
    """Put the lengths of a payload into the unit that is shown; lines stay lines, a readout stays as it shows."""
    diameter = payload.get("diameter")
    if diameter is None:
        return dict(payload)
    return {**payload, "diameter": show_length(parse_length(str(diameter)), unit, decimals=3 if unit == "mm" else 4)}


def _row(kept: Kept) -> Row:
    return Row(
        kept.stream.partition("/")[0],
        kept.number,
        said_back(kept.event, kept.payload),
        kept.by or "",
        clock(kept.at),
        kept.at or "",
        kept.withdrawn,
    )
