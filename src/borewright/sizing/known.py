"""What earlier bores taught, as a bore is opened with it: some priors in place of those typed or assumed.

Where priors were learned together, such as the bench's reading and push-off, of which each measured pass shows the
difference alone, they come with their correlations.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Final, TypeAlias

import numpy as np

from borewright.errors import DamagedRecordError
from borewright.record.payloads.opened import Together
from borewright.sizing.gaussian import Matrix, State, Vector
from borewright.sizing.priors import Prior, Priors

LEARNABLE: Final[dict[str, State]] = {
    "gain": State.GAIN,
    "lock_mean": State.LOCK_MEAN,
    "bench": State.BENCH,
    "backlash": State.BACKLASH,
    "push_off": State.PUSH_OFF,
    "exponent": State.EXPONENT,
    "edge": State.EDGE,
}
"""What one bore teaches that holds for the next: the prior's name, and the state that it is the prior of."""

Pair: TypeAlias = tuple[str, str, float]
_DECIMALS: Final = 12
_TOLERANCE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Known:
    """What is known from earlier bores when a bore is opened.

    Args:
        priors: those that were learned, by name.
        together: pairs of them by name, with their correlation.
    """

    priors: Mapping[str, Prior] = field(default_factory=dict)
    together: tuple[Pair, ...] = ()


NOTHING: Final = Known()


def with_known(priors: Priors, known: Known) -> Priors:
    """Put what was learned in the place of what was typed or assumed.

    Args:
        priors: from what was typed.
        known: what was learned.

    Returns:
        The priors of the bore.
    """
    return replace(priors, **known.priors)


def joint_covariance(variance: Vector, together: Sequence[Pair]) -> Matrix:
    """Return the covariance of priors of which some were learned together: ``C_ij = r_ij s_i s_j``.

    Args:
        variance: the variance of each state, shape (22,).
        together: pairs of priors by name, with their correlation.

    Returns:
        Shape (22, 22).
    """
    covariance = np.diag(variance)
    for first, second, correlation in together:
        i, j = LEARNABLE[first], LEARNABLE[second]
        covariance[i, j] = covariance[j, i] = correlation * math.sqrt(variance[i] * variance[j])
    return covariance


def freeze_together(known: Known) -> tuple[Together, ...] | None:
    """Write which priors were learned together as it is stored with the opening.

    Args:
        known: what was learned.

    Returns:
        One record for each pair, to twelve decimals; None where there is none.
    """
    return (
        tuple(
            Together(first=first, second=second, correlation=Decimal(f"{correlation:.{_DECIMALS}f}"))
            for first, second, correlation in known.together
        )
        or None
    )


def thaw_together(stored: Iterable[Together] | None) -> tuple[Pair, ...]:
    """Read which priors were learned together from the opening.

    Args:
        stored: the records, or None.

    Returns:
        The pairs.

    Raises:
        DamagedRecordError: a name is unknown, or no belief can have these correlations.
    """
    pairs = tuple((pair.first, pair.second, float(pair.correlation)) for pair in stored or ())
    whole, places = np.eye(len(LEARNABLE)), {name: place for place, name in enumerate(LEARNABLE)}
    for first, second, correlation in pairs:
        if first not in places or second not in places or first == second:
            raise DamagedRecordError("These priors cannot be learned together.", given=f"{first}, {second}")
        whole[places[first], places[second]] = whole[places[second], places[first]] = correlation
    if float(np.linalg.eigvalsh(whole)[0]) < -_TOLERANCE:
        raise DamagedRecordError("No belief can have these correlations.", where="together")
    return pairs
