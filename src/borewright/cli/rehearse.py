"""``borewright rehearse``: policies side by side on simulated machines."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Final

from numpy.random import default_rng
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table

from borewright.cli.spread import spread
from borewright.drawing.compared import closed_words, draw_compared
from borewright.errors import EntryError
from borewright.rehearsal.compare import POLICIES, PRACTICE, size_all, tasks_of
from borewright.rehearsal.figures import KindFigures, figures_of, figures_plain
from borewright.rehearsal.intervals import Figure
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.outcome import TARIFF, Outcome

MOST_WORKERS: Final = 256


def run_rehearse(
    kinds: Sequence[str],
    policies: Sequence[str],
    *,
    bores: int,
    seed: int,
    workers: int | None,
    picture: Path | None,
    as_json: bool,
) -> int:
    """Size rehearsed bores by several policies and show how each did.

    Args:
        kinds: the kinds of job; all where none is given.
        policies: the policies; all where none is given.
        bores: how many bores of each kind.
        seed: the first seed.
        workers: processes; as many as there are processors where it is left out.
        picture: file for the picture, or None.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.

    Raises:
        EntryError: a number makes no sense.
        NotHeldError: a kind or a policy is not known.
    """
    processes = workers if workers is not None else os.cpu_count() or 1
    if not 1 <= processes <= MOST_WORKERS:
        raise EntryError("That many workers cannot be had.", given=processes, right="Use 1 to 256.", where="workers")
    tasks = list(tasks_of(kinds or tuple(KINDS), bores, seed, policies or tuple(POLICIES)))
    done = [outcome for outcomes in _watched(spread(size_all, tasks, processes), len(tasks)) for outcome in outcomes]
    figures = figures_of(done, default_rng(seed))
    if picture is not None:
        picture.write_text(draw_compared(figures), encoding="utf-8")
    if as_json:
        answer = {"seed": seed, "bores": bores, "costs": asdict(TARIFF), "kinds": figures_plain(figures)}
        print(json.dumps(answer, ensure_ascii=False))
        return 0
    console = Console(highlight=False)
    for each in figures:
        _show(console, each)
    print("Each figure with the interval that holds it 95 times in 100. A simulated machine; no metal was cut.")
    return 0


def _watched(coming: Iterator[tuple[Outcome, ...]], count: int) -> Iterator[tuple[Outcome, ...]]:
    """Show how far it is while outcomes come, where somebody looks."""
    columns = (TextColumn("Rehearsing"), BarColumn(), MofNCompleteColumn(), TextColumn("bores"), TimeRemainingColumn())
    console = Console(stderr=True)
    with Progress(*columns, console=console, disable=not console.is_terminal, transient=True) as progress:
        yield from progress.track(coming, total=count)


HEADINGS: Final = {PRACTICE: "equal passes, at 20 °C", "clairvoyant": "sees the hole"}
"""How a policy is called where its own name is too wide for a column."""

ROWS: Final = (
    ("good, %", "released_good", 100.0, 1),
    ("escaped, %", "escaped", 100.0, 1),
    ("scrapped, %", "scrapped", 100.0, 1),
    ("set aside, %", "quarantined", 100.0, 1),
    ("passes", "passes", 1.0, 2),
    ("trial cuts", "trial_cuts", 1.0, 2),
    ("measured", "measurements", 1.0, 2),
    ("cost, passes", "cost", 1.0, 2),
)
"""What the table shows: heading, figure, what it is multiplied by, decimals."""


def _show(console: Console, each: KindFigures) -> None:
    table = Table(
        box=None,
        pad_edge=False,
        padding=(0, 1, 0, 0),
        collapse_padding=True,
        title=f"{each.kind}, {each.bores} bores",
        title_justify="left",
    )
    table.add_column("", no_wrap=True)
    for name in each.policies:
        table.add_column(HEADINGS.get(name, name), justify="right", min_width=10)
    for heading, column, times, decimals in ROWS:
        shown = (getattr(done, column) for done in each.policies.values())
        table.add_row(heading, *(_with_ends(figure, times, decimals) for figure in shown))
    console.print(table)
    words = closed_words(each.closed)
    console.print(f"The advice: {words}.\n" if words else "")


def _with_ends(figure: Figure, times: float, decimals: int) -> str:
    value, low, high = (f"{times * end:.{decimals}f}" for end in (figure.value, figure.low, figure.high))
    return f"{value}\n{low}-{high}"
