"""What the push-off of physics is worth in rehearsal, against a guess: ``python -m tests.prove.physics --bores 100``.

The simulated machine knows no bar, nose or feed: it draws push-off about a median for its kind. So nothing here shows
that physics is right. It shows what physics is worth *if it is as right as it says*: the level is drawn about the truth
with the width that physics states for a tool of that kind, and the shape is the one that physics states, whatever the
truth's is. The same bores, with the same fortune, begin with a guess, with physics of a bar that is only named, with
physics after a push test, and with the level known to 5 %; and the twin that knows the tool sizes them too. A hundred
bores of each of the eight kinds take under ten minutes on one core; ``--kind`` makes one kind anew and leaves
the others as they stand.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from time import process_time
from typing import Final

import numpy as np
from numpy.random import default_rng

from borewright.cutting.compliance import Compliance, joint_of, plain_bar
from borewright.cutting.least_chip import edge_of
from borewright.cutting.prior import PushOffPrior, push_off_prior
from borewright.cutting.pushoff import Cut
from borewright.cutting.starting import starting_of
from borewright.materials.bar import bar_of
from borewright.materials.work import find_work
from borewright.materials.work_tables import WORK
from borewright.rehearsal.advised import sized, start_of
from borewright.rehearsal.kinds import KINDS, Kind
from borewright.rehearsal.outcome import TARIFF
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.twin import knowing_twin
from borewright.sizing.bore import Bore
from borewright.sizing.known import Known
from borewright.sizing.model import MODEL
from borewright.sizing.priors import shape_by_physics
from borewright.sizing.pushoff import SIGN_SCALE_MM
from tests.prove.__main__ import _commit

RESULT: Final = Path(__file__).parents[2] / "docs" / "results" / "physics.json"
MOST_GUESSED: Final = 0.9
"""Of the reference depth: nobody guesses more."""

# An invented tool of each kind: bar diameter and overhang, nose, feed, mm.
TOOLS: Final[Mapping[str, tuple[float, float, float, float]]] = {
    "large bridge, alloy steel": (60.0, 200.0, 0.4, 0.08),
    "middle head, carbon steel": (25.0, 110.0, 0.4, 0.08),
    "slender bar, alloy steel": (11.0, 60.0, 0.2, 0.06),
    "coarse dial, grey iron": (32.0, 150.0, 0.4, 0.10),
    "warm aluminium": (63.0, 200.0, 0.4, 0.10),
    "titanium": (16.0, 75.0, 0.2, 0.06),
    "slide driven by the control": (80.0, 220.0, 0.4, 0.08),
    "thin wall, stainless": (40.0, 140.0, 0.4, 0.08),
}
ARMS: Final = ("guess", "a named bar", "a push test", "level known")


@dataclass(frozen=True, slots=True)
class Arm:
    """What a bore begins with.

    Args:
        log_sd: standard deviation of the logarithm of the level.
        shape: physics whose shape it begins with, or None for the usual one.
    """

    log_sd: float
    shape: PushOffPrior | None


def arms_of(kind: Kind, told_log_sd: float) -> dict[str, Arm]:
    """Return what each arm begins with; the widths are those that physics states of the invented tool."""
    bar, overhang, nose, feed = TOOLS[kind.name]
    work = find_work(kind.material, WORK)
    compliance = plain_bar(bar_of("steel"), bar, overhang, 0.5 * kind.size_mm, joint_of("steep 40"))
    tested = Compliance(compliance.radial, compliance.outward, 0.08, compliance.outward_sd, "push test")
    named, pushed = (
        push_off_prior(Cut(work, feed, nose, 95.0, 6.0, edge_of(starting_of(work).edge), give), 0.25, SIGN_SCALE_MM)
        for give in (compliance, tested)
    )
    return {
        "guess": Arm(told_log_sd, None),
        "a named bar": Arm(log_width(named), named),
        "a push test": Arm(log_width(pushed), pushed),
        "level known": Arm(0.05, None),
    }


def log_width(prior: PushOffPrior) -> float:
    """Turn the width of the coordinate into that of the logarithm."""
    return prior.width * math.hypot(prior.reference, prior.scale) / abs(prior.reference)


def cost(kind: Kind, seed: int, arm: Arm) -> float:
    """Size one bore that begins so."""
    truth = Truth.draw(kind, seed)
    told = truth.told()
    actual = truth.tool.push_off.at_reference_mm
    # The same fortune in every arm: how far off the told guess is, in standard deviations.
    standard = math.log(told.push_off_guess_mm / actual) / told.push_off_log_sd
    guess = min(actual * math.exp(arm.log_sd * standard), MOST_GUESSED * told.push_off_at_mm)
    given = {
        **start_of(told),
        "push_off": {
            "guess": f"{guess:.5f} mm",
            "at": f"{told.push_off_at_mm} mm",
            "factor": f"{max(math.exp(arm.log_sd), 1.01):.4f}",
        },
    }
    known = Known()
    if arm.shape is not None:
        known = Known(shape_by_physics(arm.shape))
    return sized(Bore.start(given, known=known), truth).cost(TARIFF)


def compared(name: str, bores: int, seed: int) -> dict[str, object]:
    """Size bores of one kind in every arm and by the twin."""
    kind, place = KINDS[name], list(KINDS).index(name)
    seeds = [seed + len(KINDS) * number + place for number in range(bores)]
    arms = arms_of(kind, kind.common.guess_log_sd)
    costs = {arm: np.array([cost(kind, each, arms[arm]) for each in seeds]) for arm in ARMS}
    costs["twin"] = np.array([knowing_twin(Truth.draw(kind, each)).cost(TARIFF) for each in seeds])
    return {
        "kind": name,
        "bores": bores,
        "log_sd": {arm: round(arms[arm].log_sd, 3) for arm in ARMS},
        "cost": {arm: round(float(values.mean()), 4) for arm, values in costs.items()},
        "lost": {arm: int((values >= TARIFF.loss).sum()) for arm, values in costs.items()},
        "work": {arm: round(float(values[values < TARIFF.loss].mean()), 4) for arm, values in costs.items()},
        "saved": {arm: saved_by(costs, arm, seed) for arm in ARMS[1:]},
    }


def saved_by(costs: Mapping[str, np.ndarray], arm: str, seed: int) -> dict[str, float]:
    """Return what an arm saves against the guess, with its paired 95 % interval, and the gap from guess to twin."""
    saved, gap = costs["guess"] - costs[arm], costs["guess"] - costs["twin"]
    drawn = default_rng(seed).integers(0, saved.size, (4000, saved.size))
    means = saved[drawn].mean(axis=1)
    low, high = np.quantile(means, [0.025, 0.975])
    return {
        "saved": round(float(saved.mean()), 4),
        "low": round(float(low), 4),
        "high": round(float(high), 4),
        "gap": round(float(gap.mean()), 4),
    }


def main() -> int:
    """Compare, and keep the result of each kind beside those of the others."""
    parser = argparse.ArgumentParser(prog="python -m tests.prove.physics", description=__doc__)
    parser.add_argument("--bores", type=int, default=100, help="bores of each kind")
    parser.add_argument("--seed", type=int, default=5_000_000, help="the first seed")
    parser.add_argument("--kind", action="append", choices=list(KINDS), help="one kind alone; may be given again")
    asked = parser.parse_args()
    kept = json.loads(RESULT.read_text(encoding="utf-8"))["kinds"] if RESULT.is_file() else []
    by_kind = {each["kind"]: each for each in kept}
    commit = _commit()
    for name in asked.kind or KINDS:
        command = f"python -m tests.prove.physics --bores {asked.bores} --seed {asked.seed} --kind '{name}'"
        began = process_time()
        made_by = {"command": command, "commit": commit, "model": MODEL}
        by_kind[name] = {**compared(name, asked.bores, asked.seed), **made_by, "seconds": round(process_time() - began)}
        made = {"kinds": [by_kind[each] for each in KINDS if each in by_kind]}
        RESULT.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
