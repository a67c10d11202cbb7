"""The plain statement of the model that samplers are told of, and the samplers where the answer is known."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from tests.prove.drawing import Peak, Straight, Values, ensemble, peak, slices
from tests.prove.story import Entry, Posterior, told
from tests.unit.sizing.plain import DIAL, DIRECT, bore

SAMPLERS = {"ensemble": ensemble, "slices": slices}


def passed_and_read(*sizes: str, trial: bool = False) -> list[Entry]:
    passed: Entry = {"event": "passed", "depth": "trial" if trial else "full"}
    warm: Entry = {"event": "temperature", "of": "part", "celsius": "21.2"}
    read: list[Entry] = [{"event": "read", "as_read": each} for each in sizes]
    return [passed, warm, *read]


def shown(locked: str, unlocked: str) -> Entry:
    return {"event": "moved", "shown_locked": locked, "shown_unlocked": unlocked}


SET: list[Entry] = [{"event": "set", "diameter": "39.700 mm"}, {"event": "seated"}]
ONCE_MOVED = [*SET, *passed_and_read("39.678 mm", "39.679 mm"), shown("0.310 mm", "0.308 mm")]
STORIES: dict[str, list[Entry]] = {
    "a dial": [
        *SET,
        *passed_and_read("39.678 mm", "39.679 mm"),
        {"event": "moved", "lines": "+150"},
        *passed_and_read("39.979 mm"),
    ],
    "a readout": [*ONCE_MOVED, *passed_and_read("39.986 mm")],
    "moves one after the other under a readout": [
        *ONCE_MOVED,
        *(shown(*each) for each in (("-0.005 mm", "-0.006 mm"), ("0.006 mm", "0.003 mm"), ("-0.002 mm", "-0.004 mm"))),
        *passed_and_read(),
    ],
    "a trial's land read three times": [
        *SET,
        *passed_and_read("39.678 mm", "39.679 mm", "39.678 mm", trial=True),
        {"event": "moved", "lines": "+150"},
        *passed_and_read(),
    ],
}


def story_of(name: str) -> tuple[Bore, Posterior]:
    entries = STORIES[name]
    begun = bore(adjuster=DIRECT if "readout" in name else DIAL, temperature={"spread": "1", "within": "0.4"})
    for entry in entries:
        begun.record(entry)
    return begun, Posterior(told(begun.model, entries))


@pytest.mark.parametrize("name", STORIES)
def test_the_plain_statement_is_of_the_model_of_the_belief(name: str) -> None:
    """Along straight lines through its most probable point it gives the belief, as far as the lines are the same."""
    begun, posterior = story_of(name)
    mean, sd = Straight(posterior, peak(posterior)).known
    now = begun.belief.now
    assert not begun.belief.doubts
    assert now.at(State.HOLE) == pytest.approx(mean, abs=0.05 * sd)
    assert now.sd(State.HOLE) == pytest.approx(sd, rel=0.015)


@pytest.mark.parametrize("name", SAMPLERS)
def test_a_sampler_finds_a_normal_distribution_in_many_dimensions(name: str) -> None:
    _, posterior = story_of("moves one after the other under a readout")
    about = peak(posterior)
    straight = Straight(posterior, about)
    mean, sd = straight.known
    drawn = SAMPLERS[name](straight, about, 1500, 1)
    assert len(about.moved) > 15
    assert drawn.independent > 4000
    assert drawn.mean == pytest.approx(mean, abs=0.05 * sd)
    assert drawn.sd == pytest.approx(sd, rel=0.03)


class Bent:
    """Two numbers, of which ``exp(a) + b = 2`` was seen with a deviation of 1; the hole is ``exp(a)``."""

    size = 2

    def residuals(self, z: Values) -> Values:
        """Return the numbers and what was seen."""
        return np.column_stack([z, (np.exp(z[:, 0]) + z[:, 1] - 2.0)])

    def holes(self, z: Values) -> Values:
        """Return the hole."""
        return np.asarray(np.exp(z[:, 0]))


@pytest.mark.parametrize("name", SAMPLERS)
def test_a_sampler_finds_a_bent_distribution(name: str) -> None:
    """Against sums over a fine grid; straight lines alone are more than a tenth off."""
    bent = Bent()
    along = np.linspace(-6.0, 6.0, 1201)
    grid = np.stack(np.meshgrid(along, along, indexing="ij"), axis=-1).reshape(-1, 2)
    weights = np.exp(-0.5 * (bent.residuals(grid) ** 2).sum(axis=1))
    holes = bent.holes(grid)
    mean = float(np.average(holes, weights=weights))
    sd = float(np.sqrt(np.average((holes - mean) ** 2, weights=weights)))
    about: Peak = peak(bent)
    drawn = SAMPLERS[name](bent, about, 6000, 1)
    assert drawn.independent > 3000
    assert drawn.mean == pytest.approx(mean, abs=0.06 * sd)
    assert drawn.sd == pytest.approx(sd, rel=0.04)
    assert abs(Straight(bent, about).known[1] / sd - 1.0) > 0.1
