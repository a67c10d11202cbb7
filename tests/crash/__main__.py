"""Run the crash test by itself: ``python -m tests.crash --kills 1000``; exit code 1 where it found a fault."""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from tests.crash.mutants import MUTANTS
from tests.crash.report import report
from tests.crash.shop_floor import run
from tests.crash.writer import Writer


def main() -> int:
    """Kill, look, and say what was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.crash", description=__doc__)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--mutant", choices=sorted(MUTANTS), help="a writer that is wrong on purpose")
    given = parser.parse_args()
    kind = MUTANTS[given.mutant] if given.mutant else Writer
    with tempfile.TemporaryDirectory() as folder:
        tally = run(Path(folder), given.kills, given.seed, kind, stop_at_fault=kind is not Writer, say=print)
    print(report(tally, given.seed, kind.__name__))
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main())
