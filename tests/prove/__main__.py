"""``make prove``: the proof at full size, written to docs/results with what is needed to make it again.

``python -m tests.prove --bores 3000`` sizes so many bores of every kind by every policy, and compares the belief with
general-purpose samplers; ``--only`` makes one part alone. The page of the docs is written from the results.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Final, TypeVar

from numpy.random import default_rng
from rich.console import Console
from rich.progress import track

from borewright.rehearsal.figures import figures_of, figures_plain
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.outcome import Outcome
from borewright.rehearsal.watched import Watched
from tests.prove import page, sampler
from tests.prove.bores import proved
from tests.prove.calibration import calibrated
from tests.prove.foreseen import all_spent, by_kind
from tests.prove.history import BEFORE, proved_tools

Done = TypeVar("Done")

ROOT: Final = Path(__file__).parents[2]
FORESEEN: Final = 500
"""Bores of each kind, at most, whose first plans are held to their word."""

RESULTS: Final = ROOT / "docs" / "results"
PARTS: Final = ("bores", "history", "sampler", "foreseen")


def main() -> int:
    """Make what was asked for."""
    asked = _asked()
    made = {
        "seed": asked.seed,
        "commit": _commit(),
        "command": f"python -m tests.prove {' '.join(sys.argv[1:])}".strip(),
    }
    RESULTS.mkdir(exist_ok=True)
    if asked.only in {None, "bores"}:
        _bores(asked.bores, asked.seed, asked.workers, made)
    if asked.only in {None, "history"}:
        _history(asked.tools, asked.seed, asked.workers, made)
    if asked.only in {None, "sampler"}:
        _write("sampler.json", {**made, **sampler.agreement(asked.seed, asked.steps)})
    if asked.only in {None, "foreseen"}:
        _foreseen(min(asked.bores, FORESEEN), asked.seed, asked.workers, made)
    page.write()
    return 0


def _bores(bores: int, seed: int, workers: int, made: dict[str, object]) -> None:
    outcomes: list[Outcome] = []
    advised: dict[str, list[Watched]] = {kind: [] for kind in KINDS}
    for each in _tracked(proved(bores, seed, workers), "Proving bores", len(KINDS) * bores):
        outcomes += each.outcomes
        advised[each.advice.outcome.kind].append(each.advice)
    draws = default_rng(seed)
    _write("comparison.json", {**made, "bores": bores, "kinds": figures_plain(figures_of(outcomes, draws))})
    together = [bore for done in advised.values() for bore in done]
    kinds = {kind: calibrated(done, draws) for kind, done in (*advised.items(), ("all kinds", together))}
    _write("calibration.json", {**made, "bores": bores, "kinds": kinds})


def _tracked(coming: Iterable[Done], what: str, total: int) -> Iterable[Done]:
    console = Console(stderr=True)
    return track(coming, what, total, console=console, disable=not console.is_terminal)


def _history(tools: int, seed: int, workers: int, made: dict[str, object]) -> None:
    coming = proved_tools(tools, seed, workers)
    outcomes = [outcome for each in _tracked(coming, "Proving tools", len(KINDS) * tools) for outcome in each]
    figures = figures_plain(figures_of(outcomes, default_rng(seed)))
    _write("history.json", {**made, "tools": tools, "before": BEFORE, "kinds": figures})


def _foreseen(bores: int, seed: int, workers: int, made: dict[str, object]) -> None:
    done = list(_tracked(all_spent(bores, seed, workers), "Holding plans to their word", len(KINDS) * bores))
    _write("foreseen.json", {**made, "bores": bores, "kinds": by_kind(done)})


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.prove", description=__doc__)
    parser.add_argument("--bores", type=int, default=3000, help="bores of each kind")
    parser.add_argument("--tools", type=int, default=300, help="tools of each kind that have cut twenty bores before")
    parser.add_argument("--seed", type=int, default=1_000_000, help="the first seed")
    parser.add_argument("--workers", type=int, default=2, help="processes")
    parser.add_argument("--steps", type=int, default=20_000, help="steps of the samplers")
    parser.add_argument("--only", choices=PARTS, help="make one part alone")
    return parser.parse_args()


def _commit() -> str:
    """Return the commit, and say so where the folder differs from it."""

    def git(*words: str) -> str:
        return subprocess.run(["git", *words], cwd=ROOT, capture_output=True, check=True, text=True).stdout.strip()

    changed = git("status", "--porcelain", "--", "src", "tests")
    return git("rev-parse", "HEAD") + (" with changes" if changed else "")


def _write(name: str, result: dict[str, object]) -> None:
    (RESULTS / name).write_text(json.dumps(result, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
