"""Two general-purpose samplers that know nothing of the program, each shown right where the answer is known.

One moves an ensemble of points, with emcee; the other slices ellipses [murray2010]. They share no line but the density.
Where the normal distribution that straight lines through its most probable point make of a posterior stands in its
place, mean and deviation are known exactly; what either sampler gives there, run alike, says how far to trust it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol

import emcee
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

Values = NDArray[np.float64]

WALKERS_A_DIMENSION: Final = 12

BURNT: Final = 0.25
"""Share of a run that is thrown away."""

THIN: Final = 5
"""One of so many steps of the ensemble is kept."""

ELLIPSES: Final = 200
"""Chains of the sampler that slices ellipses."""

STEPS_A_SLICE: Final = 10
"""Steps of the ensemble for each slice through every chain."""

WIDENED: Final = 1.15
"""How much wider than the posterior's own the ellipses are drawn, so that its tails are reached."""


class Weighed(Protocol):
    """A posterior over numbers that are standard normal before anything was seen."""

    size: int
    """How many numbers."""

    def residuals(self, z: Values) -> Values:
        """Return all residuals in standard deviations, shape (n, size + seen): the numbers first."""

    def holes(self, z: Values) -> Values:
        """Return the hole in the end, mm, shape (n,)."""


def log_probability(weighed: Weighed, z: Values) -> Values:
    """Return the logarithm of the posterior but for a constant, shape (n,)."""
    residuals = weighed.residuals(z)
    found = -0.5 * (residuals * residuals).sum(axis=1)
    return np.where(np.isfinite(found), found, -np.inf)


@dataclass(frozen=True, slots=True)
class Peak:
    """The most probable point of a posterior, and what straight lines through it make of the posterior.

    Args:
        at: the point, shape (size,).
        residuals: the residuals there, shape (size + seen,).
        slopes: how they change with the numbers, shape (size + seen, size).
        moved: the numbers on which anything that was seen rests.
        root: root of the covariance of these, lower triangle.
    """

    at: Values
    residuals: Values
    slopes: Values
    moved: NDArray[np.intp]
    root: Values

    def whole(self, points: Values, still: Values | None = None) -> Values:
        """Return all numbers, those moved at ``points`` of shape (n, moved), the others at nought or as given."""
        z = np.zeros((len(points), len(self.at))) if still is None else still.copy()
        z[:, self.moved] = points
        return z


def peak(weighed: Weighed) -> Peak:
    """Find the most probable point."""

    def residuals(z: Values) -> Values:
        return np.asarray(weighed.residuals(z[None, :])[0])

    best = least_squares(residuals, np.zeros(weighed.size))
    slopes = np.asarray(best.jac)
    moved = np.flatnonzero(np.abs(slopes[weighed.size :]).max(axis=0) > 0.0)
    covariance = np.linalg.inv((slopes.T @ slopes)[np.ix_(moved, moved)])
    return Peak(np.asarray(best.x), np.asarray(best.fun), slopes, moved, np.linalg.cholesky(covariance))


class Straight:
    """A posterior along straight lines through its most probable point: a normal distribution, known exactly."""

    def __init__(self, weighed: Weighed, about: Peak) -> None:
        self.size, self.about = weighed.size, about
        small = 1e-4 * np.eye(weighed.size)
        self.slope = (weighed.holes(about.at + small) - weighed.holes(about.at - small)) / 2e-4
        self.hole = float(weighed.holes(about.at[None, :])[0])

    def residuals(self, z: Values) -> Values:
        """Return all residuals, shape (n, size + seen)."""
        return self.about.residuals + (z - self.about.at) @ self.about.slopes.T

    def holes(self, z: Values) -> Values:
        """Return the hole in the end, mm, shape (n,)."""
        return self.hole + (z - self.about.at) @ self.slope

    @property
    def known(self) -> tuple[float, float]:
        """The hole's mean and standard deviation, mm: ``m - g C J'r`` and ``sqrt(g C g')`` with ``C = 1/(J'J)``."""
        slopes = self.about.slopes
        normal = slopes.T @ slopes
        mean = self.hole - self.slope @ np.linalg.solve(normal, slopes.T @ self.about.residuals)
        return float(mean), float(np.sqrt(self.slope @ np.linalg.solve(normal, self.slope)))


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a run of a sampler gives.

    Args:
        holes: the hole in the end at every point kept, mm.
        independent: how many independent points they are worth, for the hole.
    """

    holes: Values
    independent: float

    @property
    def mean(self) -> float:
        """Mean of the hole, mm."""
        return float(self.holes.mean())

    @property
    def sd(self) -> float:
        """Standard deviation of the hole, mm."""
        return float(self.holes.std())


def ensemble(weighed: Weighed, about: Peak, steps: int, seed: int) -> Drawn:
    """Run the ensemble sampler of emcee [foreman-mackey2013], begun about the most probable point.

    Points move by differences of others alone. The library's snooker move is left out: in release 3.1.6 it goes no unit
    vector along its line and weighs with half the exponent, and draws too narrow by an eighth in 33 dimensions.

    Source: emcee, pull request 531.
    """
    moved, draws = len(about.moved), np.random.default_rng(seed)
    walkers = 2 * (WALKERS_A_DIMENSION * moved // 2 + 1)
    start = about.at[about.moved] + draws.standard_normal((walkers, moved)) @ about.root.T
    sampler = emcee.EnsembleSampler(
        walkers,
        moved,
        lambda points: log_probability(weighed, about.whole(points)),
        moves=emcee.moves.DEMove(),
        vectorize=True,
    )
    # The library draws from a generator of NumPy's older kind.
    sampler.run_mcmc(emcee.State(start, random_state=np.random.RandomState(seed).get_state()), steps)
    return _drawn(weighed, about, sampler.get_chain(discard=int(BURNT * steps), thin=THIN), draws)


def slices(weighed: Weighed, about: Peak, steps: int, seed: int) -> Drawn:
    """Slice ellipses: each point goes to one on an ellipse through it and a normal draw, not below a level drawn.

    The normal is that of the straight lines, widened, and what the posterior is over it takes the likelihood's place.

    Source: [murray2010].
    """
    moved, draws = len(about.moved), np.random.default_rng(seed)
    root = WIDENED * about.root

    def over(v: Values) -> Values:
        z = about.whole(about.at[about.moved] + v @ root.T)
        return np.asarray(log_probability(weighed, z) + 0.5 * (v * v).sum(axis=1))

    at, chain = draws.standard_normal((ELLIPSES, moved)), []
    value = over(at)
    for _ in range(steps // STEPS_A_SLICE):
        at, value = _sliced(over, at, value, draws)
        chain.append(about.at[about.moved] + at @ root.T)
    return _drawn(weighed, about, np.array(chain[int(BURNT * len(chain)) :]), draws)


def _sliced(
    over: Callable[[Values], Values], at: Values, value: Values, draws: np.random.Generator
) -> tuple[Values, Values]:
    """Move every point once; the arc shrinks towards where the point stands until one on it is high enough."""
    count = len(at)
    other = draws.standard_normal(at.shape)
    level = value + np.log(draws.random(count))
    angle = 2.0 * np.pi * draws.random(count)
    low, high = angle - 2.0 * np.pi, angle.copy()
    after, found, left = at.copy(), value.copy(), np.arange(count)
    while left.size:
        turned = at[left] * np.cos(angle[left])[:, None] + other[left] * np.sin(angle[left])[:, None]
        reached = over(turned)
        taken = reached > level[left]
        after[left[taken]], found[left[taken]] = turned[taken], reached[taken]
        left = left[~taken]
        below = angle[left] < 0.0
        low[left[below]], high[left[~below]] = angle[left[below]], angle[left[~below]]
        angle[left] = low[left] + (high[left] - low[left]) * draws.random(left.size)
    return after, found


def _drawn(weighed: Weighed, about: Peak, chain: Values, draws: np.random.Generator) -> Drawn:
    """Return the holes of a chain of shape (steps, points, moved); what nothing seen rests on is drawn as believed."""
    points = chain.reshape(-1, chain.shape[2])
    still = draws.standard_normal((len(points), weighed.size))
    # The hole without what is drawn fresh: that would hide how slowly the rest moves.
    slow = weighed.holes(about.whole(points)).reshape(chain.shape[:2])
    lag = float(emcee.autocorr.integrated_time(slow[:, :, None], tol=0)[0])
    return Drawn(weighed.holes(about.whole(points, still)), slow.size / lag)
