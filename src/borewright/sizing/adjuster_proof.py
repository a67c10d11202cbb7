"""Proving an adjuster: what a line is worth, backlash, sticking and lock shift, from an indicator on the tip.

The indicator sees the radius, so every reading counts double on the diameter. It is zeroed with the tool unlocked and
the last approach by opening. Then, five times: open by so many lines and read, lock and read, unlock, close by as many
and read. At last the tip is brought home by opening, and a dial goes on line by line::

    y = z + m [opened] + b [closed] + d n + error        unlocked, on the diameter
    lock shift = y locked - y opened, of the same round

with ``m`` what the lines came to, ``b`` the backlash, ``n`` how often it was locked so far and ``d`` what one locking
leaves behind. They are found by least squares, ``(X' X)^-1 X' y``, the variance of the error from what is left over;
the lock shifts have a mean and a scatter of their own.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal, TypeAlias

import numpy as np

from borewright.errors import EntryError
from borewright.quantity.show import show_length
from borewright.record.payloads.shared import Adjuster
from borewright.record.payloads.tool import ProofReadings
from borewright.sizing.gaussian import Matrix, Vector

Place: TypeAlias = Literal["opened", "locked", "back", "home", "line"]

ROUNDS: Final = 5
SINGLE_LINES: Final = 5

OPENED_MM: Final = 0.3
"""What a round opens where no whole turn is near, on the diameter: well beyond any backlash, and within the range of a
test indicator. Common practice, no source."""

WHOLE_TURN_MM: Final = (0.15, 0.6)
"""A turn that comes to as much is opened whole: the error that comes and goes with a turn then falls out."""

WAVE_MM: Final = 0.001
"""Amplitude of a screw's error over a turn, on the diameter. Common practice, no source."""

MOST_LOCK_MM: Final = 0.05
"""A lock that moves the tip further than this, on the diameter, is a slip of reading. Common practice, no source."""

MOST_BACKLASH_MM: Final = 0.15
"""A backlash above this, on the diameter, is a slip of reading or a broken screw. Common practice, no source."""

FACTORS: Final[tuple[tuple[float, str], ...]] = (
    (1.0, "its figures mean what is told of them"),
    (2.0, "its figures speak of the radius, or twice what is told of them"),
    (0.5, "its figures speak of the diameter, or half of what is told of them"),
    (25.4, "its figures are in inches, not millimetres"),
    (1 / 25.4, "its figures are in millimetres, not inches"),
)
"""By how much a line may be worth more than it is told to be, and what that means."""

NEAR: Final = 0.15
"""A factor is one of those when it is that near, as a share. Chosen, not measured."""


PROVED_FIELDS: Final = (
    "line",
    "within",
    "backlash",
    "backlash_within",
    "lock_shift",
    "lock_shift_within",
    "lock_scatter",
    "stuck_below",
)
"""What a proof tells of, as its event names it."""


@dataclass(frozen=True, slots=True)
class Found:
    """One thing found.

    Args:
        value: best estimate.
        sd: its standard deviation.
    """

    value: float
    sd: float


@dataclass(frozen=True, slots=True)
class Proof:
    """What a proof found; all on the diameter, mm.

    Args:
        line: what one line or step came to.
        backlash: the backlash; None for a readout, which sees the tip.
        lock: mean lock shift.
        lock_scatter: standard deviation of one lock shift, less what the indicator's step makes of it.
        lock_unseen_mm: the standard deviation that the indicator's step alone makes of one lock shift, the difference
            of two readings, ``sqrt(2) (2 step)/sqrt(12)``: a smaller scatter of the lock cannot be told from none.
        left: what one locking leaves behind.
        stuck_mm: between these lies the largest move that sticks; None where no single lines were turned.
        scatter_mm: standard deviation of one reading about the straight lines.
        factor: how many times what was told a line is worth.
        meaning: what that factor means; empty where it is none of those known.
    """

    line: Found
    backlash: Found | None
    lock: Found
    lock_scatter: Found
    lock_unseen_mm: float
    left: Found
    stuck_mm: tuple[float, float] | None
    scatter_mm: float
    factor: float
    meaning: str

    @property
    def as_told(self) -> bool:
        """Whether a line is worth what was told, but for an error that any adjuster has."""
        return self.meaning == FACTORS[0][1]


def lines_opened(adjuster: Adjuster) -> int:
    """Return how many lines or steps a round opens: a whole turn where that is of a fitting size.

    Args:
        adjuster: the adjuster as it is told.

    Returns:
        The lines, at least four.
    """
    turn = adjuster.lines_per_turn
    if turn is not None and WHOLE_TURN_MM[0] <= turn * adjuster.line_mm <= WHOLE_TURN_MM[1]:
        return turn
    return max(4, round(OPENED_MM / adjuster.line_mm))


def places(adjuster: Adjuster) -> tuple[Place, ...]:
    """List the readings of a proof in their order.

    Args:
        adjuster: the adjuster as it is told.

    Returns:
        Where it stands at each; a dial goes on line by line at the end.
    """
    round_: tuple[Place, ...] = ("opened", "locked", "back")
    single: tuple[Place, ...] = ("line",)
    return (*(round_ * ROUNDS), "home", *(single * (SINGLE_LINES if adjuster.kind == "dial" else 0)))


def check_shown(readings: ProofReadings, adjuster: Adjuster) -> None:
    """Check that what an indicator showed can be, reading by reading.

    Args:
        readings: the readings so far; not all need be there.
        adjuster: the adjuster as it is told.

    Raises:
        EntryError: one cannot be, or is out of its place; ``where`` names it.
    """
    order = places(adjuster)
    seen: dict[str, list[float]] = {place: [] for place in order}
    for number, one in enumerate(readings.shown):
        where = f"readings.shown[{number}]"
        if number >= len(order) or one.at != order[number]:
            right = f"Give {order[number]}." if number < len(order) else f"A proof has {len(order)} readings."
            raise EntryError("That reading is out of its place.", given=one.at, right=right, where=f"{where}.at")
        y = 2.0 * one.shown.mm
        wrong, right = _amiss(one.at, y, seen, readings.lines * adjuster.line_mm, adjuster.line_mm)
        if wrong:
            raise EntryError(wrong, given=one.shown.text, right=right, where=f"{where}.shown")
        seen[one.at].append(y)


def proof_of(readings: ProofReadings, adjuster: Adjuster) -> Proof:
    """Work a proof out.

    The estimates are those of ordinary least squares with ``n - p`` degrees of freedom; a standard deviation is that of
    Student's t, ``s sqrt(nu/(nu - 2))``, so that a normal of that width covers alike. What the screw's own error over a
    turn may add to the lines opened, ``2 A^2 sin^2(pi lines/turn)``, is added to their variance. The scatter of the
    lock is ``s^2 - 2 (2 step)^2/12`` under the root, with the width ``s/sqrt(2 (n - 1))``, which for so few lockings is
    known to be too narrow.

    Args:
        readings: all readings of the proof.
        adjuster: the adjuster as it is told.

    Returns:
        What was found.

    Raises:
        EntryError: a reading is missing, or cannot be.
    """
    check_shown(readings, adjuster)
    order = places(adjuster)
    if len(readings.shown) < len(order):
        right = f"Next: {order[len(readings.shown)]}, reading {len(readings.shown) + 1} of {len(order)}."
        raise EntryError("The proof is not finished.", given=len(readings.shown), right=right, where="readings.shown")
    shown = [2.0 * one.shown.mm for one in readings.shown]
    step_variance = (2.0 * readings.step.mm) ** 2 / 12.0
    fit = _fitted(shown, step_variance)
    wave = _wave_variance(readings.lines, adjuster)
    line = Found(fit.at(1).value / readings.lines, math.hypot(fit.at(1).sd, math.sqrt(wave)) / readings.lines)
    shifts = [shown[3 * i + 1] - shown[3 * i] for i in range(ROUNDS)]
    lock, scatter = _locks(shifts, step_variance)
    singles = shown[3 * ROUNDS :] if adjuster.kind == "dial" else []
    factor = line.value / adjuster.line_mm
    return Proof(
        line=line,
        backlash=None if adjuster.kind == "direct" else Found(max(fit.at(2).value, 0.0), fit.at(2).sd),
        lock=lock,
        lock_scatter=scatter,
        lock_unseen_mm=math.sqrt(2.0 * step_variance),
        left=fit.at(3),
        stuck_mm=_stuck(singles, line.value, 2.0 * readings.step.mm) if singles else None,
        scatter_mm=fit.scatter,
        factor=factor,
        meaning=next((means for each, means in FACTORS if abs(factor / each - 1.0) < NEAR), ""),
    )


def proved_entry(proof: Proof, readings: Mapping[str, object]) -> dict[str, object]:
    """Make the entry that keeps a proof.

    Args:
        proof: what was found.
        readings: the readings, as they were typed.

    Returns:
        An entry for ``Bore.record``.
    """
    entry: dict[str, object] = {
        "event": "proved",
        "line": _text(proof.line.value),
        "within": _text(max(proof.line.sd, 1e-9), decimals=9),
        "lock_shift": _text(proof.lock.value),
        "lock_shift_within": _text(proof.lock.sd),
        "lock_scatter": _text(proof.lock_scatter.value),
    }
    if proof.backlash is not None:
        entry |= {"backlash": _text(proof.backlash.value), "backlash_within": _text(proof.backlash.sd)}
    if proof.stuck_mm is not None:
        entry["stuck_below"] = _text(proof.stuck_mm[1])
    return {**entry, "readings": dict(readings)}


@dataclass(frozen=True, slots=True)
class _Fit:
    """A least squares fit.

    Args:
        estimates: shape (p,).
        covariance: of a normal that covers as Student's t does, shape (p, p).
        scatter: standard deviation of one reading about it, mm.
    """

    estimates: Vector
    covariance: Matrix
    scatter: float

    def at(self, place: int) -> Found:
        """Return one estimate with its standard deviation."""
        return Found(float(self.estimates[place]), math.sqrt(float(self.covariance[place, place])))


def _fitted(shown: Sequence[float], step_variance: float) -> _Fit:
    rows: list[tuple[float, float, float, float]] = [(1.0, 0.0, 0.0, 0.0)]
    values = [0.0]
    for round_ in range(ROUNDS):
        opened, back = shown[3 * round_], shown[3 * round_ + 2]
        rows += [(1.0, 1.0, 0.0, float(round_)), (1.0, 0.0, 1.0, round_ + 1.0)]
        values += [opened, back]
    rows.append((1.0, 0.0, 0.0, float(ROUNDS)))
    values.append(shown[3 * ROUNDS])
    x, y = np.array(rows), np.array(values)
    inverse = np.linalg.inv(x.T @ x)
    estimates = inverse @ x.T @ y
    left = y - x @ estimates
    free = len(values) - x.shape[1]
    variance = max(float(left @ left) / free, step_variance)
    return _Fit(estimates, inverse * variance * free / (free - 2.0), math.sqrt(variance))


def _wave_variance(lines: int, adjuster: Adjuster) -> float:
    """What a screw's error over a turn may add to the lines opened, mm^2; the most where the turn is not told."""
    if adjuster.kind == "direct":
        return 0.0
    share = 1.0 if adjuster.lines_per_turn is None else math.sin(math.pi * lines / adjuster.lines_per_turn) ** 2
    return 2.0 * WAVE_MM**2 * share


def _locks(shifts: Sequence[float], step_variance: float) -> tuple[Found, Found]:
    count = len(shifts)
    mean = math.fsum(shifts) / count
    variance = math.fsum((shift - mean) ** 2 for shift in shifts) / (count - 1)
    least = max(variance, 2.0 * step_variance)
    wide = least / count * (count - 1.0) / (count - 3.0)
    own = math.sqrt(max(variance - 2.0 * step_variance, 0.0))
    return Found(mean, math.sqrt(wide)), Found(own, math.sqrt(least / (2.0 * (count - 1))))


def _stuck(shown: Sequence[float], line_mm: float, step_mm: float) -> tuple[float, float]:
    """Bound the largest move that sticks: above every gap that it was held over, up to the least that it came over.

    Either end is wider by one step of the indicator, on the diameter, which is as fine as it can tell.
    """
    held, came, gap = 0.0, math.inf, 0.0
    for before, after in pairwise(shown):
        gap += line_mm
        if after - before < 0.5 * line_mm - 0.1 * step_mm:
            held = max(held, gap)
        else:
            came, gap = min(came, gap), 0.0
    return max(held - step_mm, 0.0), max(held, came if math.isfinite(came) else held + line_mm) + step_mm


def _amiss(at: str, y: float, seen: dict[str, list[float]], told_mm: float, line_mm: float) -> tuple[str, str]:
    """Say what is wrong with a reading, on the diameter, and what would be right; two empty texts where nothing is."""
    opened = seen["opened"]
    if at == "opened":
        return _amiss_opened(y, opened, told_mm)
    if at == "locked" and abs(y - opened[-1]) > MOST_LOCK_MM:
        return "No lock moves a tip that far.", f"Before locking it showed {_radius(opened[-1])}; read it again."
    if at == "back" and y > opened[-1] - 0.25 * told_mm / 2.0:
        return (
            "After closing it must show less than before.",
            f"Opened it showed {_radius(opened[-1])}; was it closed, and read with its sign?",
        )
    if at == "back" and y < -MOST_BACKLASH_MM:
        return "It is closed further than it was opened.", "Count the lines, or read it again with its sign."
    if at == "back" and y > MOST_BACKLASH_MM + 0.25 * opened[-1]:
        return "That much backlash cannot be.", "Was it closed by all of the lines, unlocked?"
    if at == "home" and abs(y) > MOST_BACKLASH_MM:
        return "Home again it must show about nothing.", "Is it back on its line, by opening, and read with its sign?"
    if at == "line" and abs(y - (seen["line"] or seen["home"])[-1]) > max(6.0 * line_mm, 0.02):
        return "One line does not come to that.", "Is it one line only, and read with its sign?"
    return "", ""


def _amiss_opened(y: float, opened: Sequence[float], told_mm: float) -> tuple[str, str]:
    if opened and abs(y - opened[0]) > max(0.2 * opened[0], 0.02):
        return "It is on the same line as before.", f"The first time it showed {_radius(opened[0])}; count again."
    share = y / told_mm
    if 0.25 <= share <= 4.0:
        return "", ""
    wanted = _radius(told_mm)
    if -4.0 <= share <= -0.25:
        return "Opened, it must show more.", f"Type plus where the tip moves outward: about {wanted}."
    if 0.25 <= share * 25.4 <= 4.0:
        return "That is far too little.", f"It looks like inches typed as millimetres; about {wanted} was to be seen."
    if 0.25 <= share / 25.4 <= 4.0:
        return "That is far too much.", f"It looks like millimetres typed as inches; about {wanted} was to be seen."
    return "The indicator cannot show that.", f"About {wanted} was to be seen; does it touch, and is it unlocked?"


def _radius(y: float) -> str:
    return show_length(0.5 * y, "mm")


def _text(mm: float, decimals: int = 7) -> str:
    return f"{mm:.{decimals}f} mm"
