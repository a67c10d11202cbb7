"""How fast forces and push-off come, against the same formulas in a plain loop over pieces of edge."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from borewright.cutting.chip import chip_of
from borewright.cutting.compliance import joint_of, plain_bar
from borewright.cutting.force import Coefficients, force_of
from borewright.cutting.least_chip import edge_of
from borewright.cutting.prior import push_off_prior
from borewright.cutting.pushoff import DOUBTS, Cut, push_off_for
from borewright.materials.bar import bar_of
from borewright.materials.work import find_work
from borewright.materials.work_tables import WORK

FORCES, ONE_BY_ONE = 10_000, 100
"""Forces at once, and forces of the plain loop; it is to be read a hundred times as long."""

KAPPA = math.radians(95.0)
BY = Coefficients(kc=2500.0, exponent=0.25, edge=10.0)


def plain_force(depth: float, feed: float, nose: float, pieces: int = 36) -> float:
    """Add the cutting force up piece by piece, as one would on paper."""
    start, end = -math.asin(feed / (2.0 * nose)), math.acos(1.0 - depth / nose)
    step, force = (end - start) / pieces, 0.0
    for place in range(pieces):
        angle = start + (place + 0.5) * step
        groove = nose + feed * math.sin(angle) - math.sqrt(nose**2 - (feed * math.cos(angle)) ** 2)
        thickness = max(min(groove, nose - (nose - depth) / math.cos(angle)), 1e-9)
        force += (2500.0 * thickness**0.75 + 10.0) * nose * step
    return force


@pytest.mark.benchmark(group="cut: 10,000 forces at once against 100 one by one")
def bench_ten_thousand_forces(benchmark: BenchmarkFixture) -> None:
    depths = np.linspace(0.05, 0.35, FORCES)
    forces = benchmark(lambda: force_of(chip_of(depths, 0.08, 0.4, KAPPA), BY).cutting)
    assert float(forces[0]) == pytest.approx(plain_force(0.05, 0.08, 0.4, 2000), rel=1e-3)


@pytest.mark.benchmark(group="cut: 10,000 forces at once against 100 one by one")
def bench_a_hundred_plain_forces(benchmark: BenchmarkFixture) -> None:
    depths = np.linspace(0.05, 0.35, ONE_BY_ONE).tolist()
    benchmark(lambda: [plain_force(depth, 0.08, 0.4) for depth in depths])


def cut() -> Cut:
    compliance = plain_bar(bar_of("steel"), 25.0, 110.0, 23.0, joint_of("steep 40"))
    return Cut(find_work("EN-GJL-250", WORK), 0.1, 0.4, 95.0, 2.0, edge_of("honed carbide"), compliance)


@pytest.mark.benchmark(group="cut: the distribution of push-off, carried through against drawn 10,000 times")
def bench_push_off_carried_through(benchmark: BenchmarkFixture) -> None:
    made = cut()
    assert benchmark(push_off_prior, made, 0.25, 0.003).width > 0.0


@pytest.mark.benchmark(group="cut: the distribution of push-off, carried through against drawn 10,000 times")
def bench_push_off_drawn(benchmark: BenchmarkFixture) -> None:
    made, doubt = cut(), np.random.default_rng(1).standard_normal((10_000, DOUBTS))
    assert float(benchmark(push_off_for, made, 0.25, doubt).std()) > 0.0
