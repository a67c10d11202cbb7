"""The scatter of a gauge's readings, from holes that were read more than once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from borewright.learning.taught import Taught
from borewright.learning.words import counted, last_of
from borewright.sizing.priors import LEARNED, Prior

PRIOR_FREEDOM: Final = 8.0
"""Repeated readings that the scatter typed or assumed is worth. Chosen: a study of ten readings outweighs it."""

SMALLEST_MM: Final = 0.0002
"""No gauge is taken to scatter less, mm. Common practice, no source."""


def learned_scatter(before: Prior, taught: Sequence[Taught]) -> Prior | None:
    """Learn the scatter of one reading: ``s^2 = (w s_0^2 + sum of squares) / (w + n)``, less step and out of round.

    Args:
        before: the scatter before anything was learned, a setting.
        taught: finished bores that were measured with the gauge.

    Returns:
        The scatter with its standard deviation, ``s/sqrt(2(w + n))``, or None where no hole was read more than once.
    """
    freedom = sum(each.repeated.freedom for each in taught)
    if not freedom:
        return None
    own = sum(each.repeated.squares - each.floor_mm2 * each.repeated.freedom for each in taught)
    variance = (PRIOR_FREEDOM * before.value**2 + own) / (PRIOR_FREEDOM + freedom)
    told = [each for each in taught if each.repeated.freedom]
    origin = f"{LEARNED}: readings repeated with this gauge, {counted(len(told))}{last_of(told)}"
    scatter = math.sqrt(max(variance, SMALLEST_MM**2))
    return replace(before, value=scatter, width=scatter / math.sqrt(2.0 * (PRIOR_FREEDOM + freedom)), origin=origin)
