"""The writer killed at random, and the same test on writers that are wrong on purpose."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.crash.mutants import MUTANTS
from tests.crash.report import report
from tests.crash.shop_floor import run
from tests.crash.writer import Writer

SEED = 1
MUTANT_KILLS = 400
"""Each mutant was caught after 1 to 50 kills, 8 on average, in runs with ten seeds; the first fault ends a run."""


def test_nothing_acknowledged_is_lost_and_nothing_is_doubled(
    tmp_path: Path, kills: int, capsys: pytest.CaptureFixture[str]
) -> None:
    tally = run(tmp_path, kills, SEED)
    with capsys.disabled():
        print("\n" + report(tally, SEED, Writer.__name__))
    assert tally.faults == []
    assert tally.kills >= kills
    if kills >= 100:
        # Kills fell in the work, and some of them between the commit and its acknowledgement.
        assert tally.acknowledged > kills
        assert tally.stored_unacknowledged > 0


@pytest.mark.parametrize(
    ("mutant", "symptom"),
    [("acknowledges-before-commit", "lost"), ("forgets-the-key", "doubled"), ("stores-piece-by-piece", "by half")],
)
def test_the_crash_test_notices_a_writer_that_is_wrong(mutant: str, symptom: str, tmp_path: Path) -> None:
    tally = run(tmp_path, MUTANT_KILLS, SEED, MUTANTS[mutant], stop_at_fault=True)
    assert any(fault.startswith(symptom) for fault in tally.faults)
