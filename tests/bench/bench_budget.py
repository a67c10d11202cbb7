"""How long a budget and a million draws take, against general libraries of uncertainty on the same model."""

from __future__ import annotations

import GTC
import metrolopy
import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from uncertainties import ufloat

from borewright.gauging.draws import draw_size
from tests.published.budgets import BUDGETS

BORE = BUDGETS["dial bore gauge, aluminium on a steel ring"]
DRAWS = 1_000_000


@pytest.mark.benchmark(group="budget: a bore against a ring, all causes")
def bench_budget(benchmark: BenchmarkFixture) -> None:
    assert benchmark(lambda: BORE.budget().expanded_mm) > 0.0


@pytest.mark.benchmark(group="budget: a bore against a ring, all causes")
def bench_budget_gtc(benchmark: BenchmarkFixture) -> None:
    causes = BORE.budget().causes

    def whole() -> float:
        size = BORE.size({cause.name: GTC.ureal(0.0, cause.u, cause.dof) for cause in causes})
        return float(GTC.reporting.k_factor(GTC.dof(size)) * GTC.uncertainty(size))

    assert benchmark(whole) > 0.0


@pytest.mark.benchmark(group="budget: a bore against a ring, all causes")
def bench_budget_uncertainties(benchmark: BenchmarkFixture) -> None:
    causes = BORE.budget().causes
    assert benchmark(lambda: float(BORE.size({cause.name: ufloat(0.0, cause.u) for cause in causes}).std_dev)) > 0.0


@pytest.mark.benchmark(group="budget: a million draws")
def bench_draws(benchmark: BenchmarkFixture) -> None:
    drawn = benchmark(lambda: draw_size(BORE, np.random.default_rng(1), most=DRAWS, all_of_them=True))
    assert drawn.draws == DRAWS


@pytest.mark.benchmark(group="budget: a million draws")
def bench_draws_metrolopy(benchmark: BenchmarkFixture) -> None:
    causes = BORE.budget().causes

    def whole() -> float:
        size = BORE.size({cause.name: metrolopy.gummy(0.0, u=cause.u, dof=cause.dof) for cause in causes})
        size.sim(n=DRAWS)
        return float(np.std(size.simdata))

    assert benchmark.pedantic(whole, rounds=3) > 0.0
