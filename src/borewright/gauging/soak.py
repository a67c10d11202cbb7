"""The soak clock: how fast a part comes to its room's temperature, and what waiting for it is worth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from borewright.errors import EntryError
from borewright.gauging.conformity import Rule, normal_cdf


def left_after(minutes: float, time_constant: float, u_ln: float) -> tuple[float, float]:
    """Return the share of its distance from its room that a part keeps.

    ``left = exp(-t/tau)``, and to first order ``left (t/tau) u(ln tau)``.

    Args:
        minutes: how long it was left, 0 or more.
        time_constant: tau, minutes.
        u_ln: standard uncertainty of the logarithm of tau.

    Returns:
        The share, and its standard uncertainty.
    """
    left = math.exp(-minutes / time_constant)
    return left, left * minutes / time_constant * u_ln


@dataclass(frozen=True, slots=True)
class Soak:
    """A part on its way to its room's temperature, ``T(t) = T_a + (T_2 - T_a) exp(-t/tau)``.

    Args:
        ambient: temperature of the room, °C.
        now: temperature of the part now, °C.
        minutes: time constant tau, minutes.
        u_ln: standard uncertainty of the logarithm of the time constant.
        u_now: standard uncertainty of a temperature taken, K.
    """

    ambient: float
    now: float
    minutes: float
    u_ln: float
    u_now: float

    def after(self, minutes: float) -> tuple[float, float]:
        """Return the part's temperature after waiting, by this clock alone.

        Args:
            minutes: how long, 0 or more.

        Returns:
            The temperature, °C, and its standard uncertainty, K: of the start, of the room and of the time constant.
        """
        left, u_left = left_after(minutes, self.minutes, self.u_ln)
        away = self.now - self.ambient
        return self.ambient + away * left, math.hypot(self.u_now * left, self.u_now * (1.0 - left), away * u_left)

    def until(self, away: float) -> float:
        """Return how long it takes until the part is as near to its room.

        Args:
            away: how near, K, larger than 0.

        Returns:
            Minutes; 0 where it is near enough.

        Raises:
            EntryError: the distance is not larger than 0.
        """
        if not away > 0.0:
            raise EntryError(
                "A part never quite gets there.", given=away, right="Give a distance over 0 K.", where="away"
            )
        gap = abs(self.now - self.ambient)
        return 0.0 if gap <= away else self.minutes * math.log(gap / away)


def soak_clock(first: float, second: float, minutes: float, ambient: float, u_taken: float = 0.3) -> Soak:
    """Make the clock from two temperatures taken some minutes apart.

    ``tau = t / ln((T_1 - T_a)/(T_2 - T_a))``; the three temperatures' own errors make that of its logarithm.

    Args:
        first: the part's temperature at first, °C.
        second: its temperature later, °C.
        minutes: how much later, minutes, larger than 0.
        ambient: temperature of the room, °C.
        u_taken: standard uncertainty of each temperature, K.

    Returns:
        The clock, standing at the second temperature.

    Raises:
        EntryError: no time passed; the part went away from its room's temperature, past it, or not at all; or the two
            temperatures lie too near to each other for the thermometer.

    Source: Newton's law of cooling; [gum] 5.1.2 for the uncertainty.
    """
    if not minutes > 0.0:
        raise EntryError(
            "The two temperatures need some minutes between them.", given=minutes, right="Wait five.", where="minutes"
        )
    was, now = first - ambient, second - ambient
    if was * now <= 0.0 or abs(now) >= abs(was):
        raise EntryError(
            "A part in that room would have come nearer to it, and not past it.",
            given=f"{first:g} then {second:g} °C in {ambient:g} °C",
            right="Check the signs, and take the room's temperature beside the part.",
            where="second",
        )
    ratio = math.log(was / now)
    u_ratio = u_taken * math.sqrt(1.0 / was**2 + 1.0 / now**2 + (1.0 / now - 1.0 / was) ** 2)
    if u_ratio > 0.5 * ratio:
        raise EntryError(
            "The two temperatures are too near to each other for that thermometer to tell how fast the part cools.",
            given=f"{first:g} then {second:g} °C",
            right=f"Wait longer than {minutes:g} minutes between them.",
            where="second",
        )
    return Soak(ambient, second, minutes / ratio, u_ratio / ratio, u_taken)


@dataclass(frozen=True, slots=True)
class Waited:
    """What waiting is worth.

    Args:
        minutes: how long.
        celsius: the part's temperature then, °C.
        u_mm: standard uncertainty of the size then, mm.
        proves: probability that the size can then be shown in.
    """

    minutes: float
    celsius: float
    u_mm: float
    proves: float


@dataclass(frozen=True, slots=True)
class Waiting:
    """A size that waits for its part.

    Args:
        size_mm: best estimate now, mm.
        others_mm: standard uncertainty of all that waiting does not change, mm.
        lower_mm: lower limit, mm.
        upper_mm: upper limit, mm.
        per_kelvin: the part's coefficient of expansion, 1/K.
        u_per_kelvin: its standard uncertainty, 1/K.
        u_taken: standard uncertainty of a temperature that can be taken of the part at any time, K.
        confidence: how sure proof must be, where no rule is given.
        rule: the rule by which it will be judged; proof where it is left out.
    """

    size_mm: float
    others_mm: float
    lower_mm: float
    upper_mm: float
    per_kelvin: float
    u_per_kelvin: float
    u_taken: float
    confidence: float = 0.95
    rule: Rule | None = None

    def u_mm(self, soak: Soak, minutes: float) -> float:
        """Return how well the size is known after waiting.

        The thermometer's error fades as the part comes to a room whose temperature is known by a longer look; what is
        not known of the coefficient fades as the part comes near 20 °C.

        Args:
            soak: the clock.
            minutes: how long.

        Returns:
            Standard uncertainty, mm.
        """
        celsius, by_clock = soak.after(minutes)
        warmth = min(self.u_taken, by_clock)
        grows = self.size_mm * math.hypot(self.per_kelvin * warmth, self.u_per_kelvin * (celsius - 20.0))
        return math.hypot(self.others_mm, grows)

    def table(self, soak: Soak, waits: Sequence[float]) -> tuple[Waited, ...]:
        """Return what each of several waits is worth.

        Args:
            soak: the clock.
            waits: minutes, each 0 or more.

        Returns:
            One line each, in their order.
        """
        rule, now = self.rule or Rule("proof", self.confidence), self.u_mm(soak, 0.0)
        lines = []
        for minutes in waits:
            u = self.u_mm(soak, minutes)
            guard = rule.guard(u, self.upper_mm - self.lower_mm)
            low, high = self.lower_mm + guard, self.upper_mm - guard
            spread = math.sqrt(max(now**2 - u**2, 0.0))
            lines.append(Waited(minutes, soak.after(minutes)[0], u, _between(self.size_mm, spread, low, high)))
        return tuple(lines)


def _between(mean: float, sd: float, low: float, high: float) -> float:
    """Return the probability of a normal value within two ends; of a sure one whether it is."""
    if high < low:
        return 0.0
    if sd == 0.0:
        return float(low <= mean <= high)
    return normal_cdf((high - mean) / sd) - normal_cdf((low - mean) / sd)
