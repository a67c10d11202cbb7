"""How long a person waits before anything can begin.

The bars: ``--help`` within twice the import of the command line's library; the core imported within 150 ms.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

COMMAND = str(Path(sys.executable).with_name("borewright"))


def timed(benchmark: BenchmarkFixture, *command: str) -> None:
    benchmark.pedantic(
        subprocess.run,
        args=(command,),
        kwargs={"check": True, "stdout": subprocess.DEVNULL},
        rounds=20,
        warmup_rounds=3,
    )


@pytest.mark.benchmark(group="command line: --help against the import of its library")
def bench_import_typer(benchmark: BenchmarkFixture) -> None:
    timed(benchmark, sys.executable, "-c", "import typer")


@pytest.mark.benchmark(group="command line: --help against the import of its library")
def bench_help(benchmark: BenchmarkFixture) -> None:
    timed(benchmark, COMMAND, "--help")


@pytest.mark.benchmark(group="core: import against Python alone and NumPy alone")
def bench_python(benchmark: BenchmarkFixture) -> None:
    timed(benchmark, sys.executable, "-c", "pass")


@pytest.mark.benchmark(group="core: import against Python alone and NumPy alone")
def bench_import_numpy(benchmark: BenchmarkFixture) -> None:
    timed(benchmark, sys.executable, "-c", "import numpy")


@pytest.mark.benchmark(group="core: import against Python alone and NumPy alone")
def bench_import_core(benchmark: BenchmarkFixture) -> None:
    timed(benchmark, sys.executable, "-c", "from borewright import Bore")
