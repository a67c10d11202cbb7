"""How warm the part is when it is cut and when it is read."""

from __future__ import annotations

import math
from dataclasses import dataclass

TWENTY = 20.0  # °C, the reference temperature of ISO 1


@dataclass(slots=True)
class Warmth:
    """The part's temperature: a part that lasts through the job and a part that passes from act to act.

    At any act, before any waiting, its distance from 20 °C has the standard deviation ``sd_k``.

    Args:
        sd_k: standard deviation of the part's distance from 20 °C, K.
        lasting: share of ``sd_k`` that lasts; the passing share is sqrt(1 - lasting²).
        memory: correlation of the passing share from one act to the next.
        lasting_z: the lasting warmth of this bore, in standard deviations.
        passing_z: the passing warmth now, in standard deviations.
        occasion: how often the temperature has changed.
    """

    sd_k: float
    lasting: float
    memory: float
    lasting_z: float
    passing_z: float
    occasion: int = 0

    @property
    def celsius(self) -> float:
        """Return the part's temperature now, °C."""
        passing = math.sqrt(1.0 - self.lasting**2)
        return TWENTY + self.sd_k * (self.lasting * self.lasting_z + passing * self.passing_z)

    def pass_on(self, fresh_z: float) -> None:
        """Let time pass to the next act.

        Args:
            fresh_z: a standard normal draw.
        """
        self.passing_z = self.memory * self.passing_z + math.sqrt(1.0 - self.memory**2) * fresh_z
        self.occasion += 1

    def settle(self, left: float) -> None:
        """Wait for the part to come nearer 20 °C.

        Args:
            left: share of its distance that is left.
        """
        self.lasting_z *= left
        self.passing_z *= left
        self.occasion += 1
