"""In or out: the probability that a size is within limits, and the verdict of a named rule."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError

Verdict: TypeAlias = Literal["in", "out", "not shown"]

_ROOT_2: Final = math.sqrt(2.0)


def normal_cdf(z: float) -> float:
    """Return the standard normal distribution function.

    Args:
        z: standardised value.

    Returns:
        Probability of a value up to z.
    """
    return 0.5 * math.erfc(-z / _ROOT_2)


def conformance_probability(size: float, u: float, lower: float, upper: float) -> float:
    """Return the probability that what was measured lies within limits, for a normal distribution.

    ``p = Phi((T_U - y)/u) - Phi((T_L - y)/u)``.

    Args:
        size: best estimate y.
        u: its standard uncertainty, same unit, larger than 0.
        lower: lower limit T_L; minus infinity for none.
        upper: upper limit T_U; infinity for none.

    Returns:
        The probability, 0 to 1.

    Raises:
        EntryError: u is not larger than 0, or the limits are the wrong way round.

    Source: [jcgm106] 7.3 and 7.4.
    """
    if not u > 0:
        raise EntryError(
            "A standard uncertainty must be larger than 0.",
            given=u,
            right="Give one over 0, and check its unit.",
            where="u",
        )
    if not lower < upper:
        raise EntryError(
            "The lower limit must be below the upper.",
            given=(lower, upper),
            right="Give the lower first.",
            where="limits",
        )
    return normal_cdf((upper - size) / u) - normal_cdf((lower - size) / u)


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule by which a size is judged.

    Args:
        name: ``proof``: in only where the probability of lying within limits is at least ``confidence``;
            ``simple``: in where the size lies within limits, if the tolerance is at least ``ratio`` times 2U;
            ``guarded``: in where it lies inside both limits by ``bands`` times U, out where it lies outside by as much.
        confidence: how sure proof must be, 0.5 to 1.
        ratio: the N of N:1, tolerance over 2U with U = 2u.
        bands: guard band over U with U = 2u.
        probe_counts: whether readings of the machine's own probe may release a bore.
    """

    name: Literal["proof", "simple", "guarded"]
    confidence: float = 0.95
    ratio: float = 4.0
    bands: float = 1.0
    probe_counts: bool = False

    @property
    def text(self) -> str:
        """The rule in words, as it stands on every verdict."""
        return self._text + ("; the machine's own probe counts" if self.probe_counts else "")

    @property
    def _text(self) -> str:
        if self.name == "proof":
            return f"proof at {self.confidence * 100:g} %"
        if self.name == "guarded":
            return f"guarded by {self.bands:g} U"
        return f"simple acceptance, measurement capable {self.ratio:g}:1"

    def judge(self, size: float, u: float, lower: float, upper: float) -> tuple[Verdict, float]:
        """Judge a size.

        Args:
            size: best estimate.
            u: its standard uncertainty, same unit.
            lower: lower limit.
            upper: upper limit.

        Returns:
            The verdict, and the probability that the size lies within limits.

        Raises:
            EntryError: u is not larger than 0, or the limits are the wrong way round.

        Source: [jcgm106] for the probability and for guard bands (8.3), [b89731] for simple acceptance; the form of
        proof follows ISO 14253-1, from memory.
        """
        inside = conformance_probability(size, u, lower, upper)
        if self.name == "proof":
            if inside >= self.confidence:
                return "in", inside
            beyond = max(normal_cdf((lower - size) / u), normal_cdf((size - upper) / u))
            return ("out" if beyond >= self.confidence else "not shown"), inside
        if self.name == "guarded":
            band = self.bands * 2.0 * u
            if lower + band <= size <= upper - band:
                return "in", inside
            return ("out" if not lower - band < size < upper + band else "not shown"), inside
        if upper - lower < self.ratio * 4.0 * u:
            return "not shown", inside
        return ("in" if lower <= size <= upper else "out"), inside

    def can_show(self, u: float, tolerance: float) -> bool:
        """Tell whether any size could be judged in.

        Args:
            u: standard uncertainty of a size.
            tolerance: upper limit minus lower.

        Returns:
            Whether the best possible size, in the middle, would be judged in.
        """
        return self.judge(0.0, u, -tolerance / 2.0, tolerance / 2.0)[0] == "in"

    def guard(self, u: float, tolerance: float = math.inf) -> float:
        """Return how far inside a limit a size must lie to be judged in.

        For proof it is ``g u`` with ``Phi(g) - Phi(g - tolerance/u) = confidence``; with the other limit far away
        ``g`` is the one-sided quantile. A guarded rule names its band itself.

        Args:
            u: standard uncertainty of a size, larger than 0.
            tolerance: upper limit minus lower, same unit.

        Returns:
            The guard band, same unit; 0 for simple acceptance. Where no size can be judged in, half the tolerance.

        Source: [jcgm106] 8.3 for guard bands; the equation is 7.4 with the confidence on its left.
        """
        if not math.isinf(tolerance) and not self.can_show(u, tolerance):
            return 0.5 * tolerance
        if self.name == "simple":
            return 0.0
        if self.name == "guarded":
            return self.bands * 2.0 * u
        low = normal_quantile(self.confidence)
        high = 0.5 * tolerance / u
        if math.isinf(high) or normal_cdf(low) - normal_cdf(low - tolerance / u) >= self.confidence:
            return low * u
        for _ in range(60):
            middle = 0.5 * (low + high)
            if normal_cdf(middle) - normal_cdf(middle - tolerance / u) < self.confidence:
                low = middle
            else:
                high = middle
        return high * u


def normal_quantile(probability: float) -> float:
    """Return the standardised value below which a share of a normal distribution lies.

    Args:
        probability: the share, between 0 and 1.

    Returns:
        z with ``Phi(z)`` equal to it.

    Raises:
        EntryError: the share is not between 0 and 1.
    """
    if not 0.0 < probability < 1.0:
        raise EntryError(
            "A probability lies between 0 and 1.",
            given=probability,
            right="Give a share such as 0.95.",
            where="probability",
        )
    from statistics import NormalDist  # slow to import, and not needed to start

    return NormalDist().inv_cdf(probability)
