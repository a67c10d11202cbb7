"""The command that lists what was learned."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from borewright.cli.learned import lesson_rows, run_learned
from borewright.learning.ledger import ledger
from borewright.learning.taught import IN_DOUBT
from borewright.shop.store import Store
from tests.unit.learning.shop_floor import taught


def test_a_lesson_says_value_interval_and_what_it_rests_on() -> None:
    (lesson,) = ledger([taught(1), taught(2), taught(3, evidence=None, left_out=IN_DOUBT)], {}, None)
    text = "\n".join(row.text for row in lesson_rows(lesson, 100))
    assert text.startswith("head in carbon steel\n  2 bores, 2031-01-02 to 2031-01-03\n")
    assert "Push-off where 0.25 mm comes off: 2" in text
    assert "learned: 2 bores of this tool in this material, last on 2031-01-03" in text
    assert f"bore-3: {IN_DOUBT}" in text
    assert all(len(row.text) <= 100 for row in lesson_rows(lesson, 100))


@pytest.mark.parametrize("kept", [False, True])
def test_with_nothing_finished_it_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str], kept: bool) -> None:
    if kept:
        Store.open(tmp_path).close()
    assert run_learned(tmp_path, as_json=False) == 0
    assert "Nothing is learned yet" in capsys.readouterr().out
    assert run_learned(tmp_path, as_json=True) == 0
    assert json.loads(capsys.readouterr().out) == []
