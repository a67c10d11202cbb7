"""The demo's own scenario: an invented shop, an invented part, five bores, and the machine behind each.

The job files beside this module are read like anybody's. What is kept apart here is only what no job file may know:
which simulated machine stands behind a bore, and the seed of its hidden truth.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from importlib.resources import files
from typing import Final

from borewright.exchange.jobfile import Job, JobBore, read_job
from borewright.rehearsal.kinds import KINDS, Kind

TENTH_UM: Final = 2.54
"""A ten-thousandth of an inch, in µm."""


@dataclass(frozen=True, slots=True)
class DemoBore:
    """A bore of the demo.

    Args:
        file: its job file, beside this module.
        name: its name in that file.
        kind: the simulated machine that it is cut on.
        seed: the seed of the hidden truth.
    """

    file: str
    name: str
    kind: Kind
    seed: int

    def job(self) -> Job:
        """Read its job file.

        Returns:
            The job.
        """
        return read_job(files("borewright.exchange").joinpath("jobs", self.file).read_text("utf-8"), self.file)

    def bore(self) -> JobBore:
        """Read it from its job file.

        Returns:
            The bore as the file has it.
        """
        return self.job().bore(self.name)


def _inch(kind: Kind, tenths_per_line: float) -> Kind:
    """Give a kind a dial and a gauge that are graduated in inches."""
    gauge_um = TENTH_UM / 2
    return replace(
        kind,
        line_um=tenths_per_line * TENTH_UM,
        lines_per_turn=50,
        gauge_step_um=gauge_um,
        gauge_scatter_um=gauge_um,
        common=replace(kind.common, bench_step_um=gauge_um),
    )


_KIND: Final = {
    "pinion seat": replace(KINDS["middle head, carbon steel"], size_mm=46.520, tolerance_um=8.0, lines_per_turn=50),
    "ring gear register": replace(KINDS["large bridge, alloy steel"], size_mm=103.4, tolerance_um=6.0),
    "encoder hub": replace(KINDS["warm aluminium"], size_mm=117.011, tolerance_um=11.0),
    "lens cell": replace(
        _inch(KINDS["slender bar, alloy steel"], 1), size_mm=0.5840 * 25.4, tolerance_um=3.5 * TENTH_UM
    ),
    "trunnion": replace(_inch(KINDS["coarse dial, grey iron"], 5), size_mm=2.2470 * 25.4, tolerance_um=4 * TENTH_UM),
}

DEMO_BORES: Final = (
    DemoBore("dome-drive.toml", "pinion seat", _KIND["pinion seat"], 57),
    DemoBore("dome-drive.toml", "ring gear register", _KIND["ring gear register"], 4767),
    DemoBore("dome-drive.toml", "encoder hub", _KIND["encoder hub"], 2051),
    DemoBore("finder-mount.toml", "lens cell", _KIND["lens cell"], 350),
    DemoBore("finder-mount.toml", "trunnion", _KIND["trunnion"], 4497),
)
