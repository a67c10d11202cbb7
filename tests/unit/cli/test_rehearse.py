"""The rehearse command: its table, its JSON and its picture."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from borewright.cli.rehearse import run_rehearse
from borewright.errors import EntryError
from borewright.rehearsal.compare import PRACTICE

QUICK = ["equal passes", PRACTICE, "clairvoyant"]


def rehearse(*, as_json: bool = False, workers: int = 1, picture: Path | None = None) -> int:
    kinds = ["titanium", "thin wall, stainless"]
    return run_rehearse(kinds, QUICK, bores=5, seed=3, workers=workers, picture=picture, as_json=as_json)


def test_prints_a_table_for_each_kind(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    assert rehearse() == 0
    shown = capsys.readouterr()
    assert shown.err == ""
    for title in ("titanium, 5 bores", "thin wall, stainless, 5 bores", "all kinds, 10 bores"):
        assert title in shown.out
    assert max(len(line) for line in shown.out.splitlines()[:-1]) <= 80
    assert "…" not in shown.out
    assert "no metal was cut" in shown.out


def test_answers_the_same_json_with_any_number_of_workers(capsys: pytest.CaptureFixture[str]) -> None:
    assert rehearse(as_json=True) == 0
    alone = capsys.readouterr().out
    assert rehearse(as_json=True, workers=2) == 0
    assert capsys.readouterr().out == alone
    answer = json.loads(alone)
    assert (answer["seed"], answer["bores"], answer["costs"]["loss"]) == (3, 5, 60.0)
    assert [each["kind"] for each in answer["kinds"]] == ["titanium", "thin wall, stainless", "all kinds"]
    assert set(answer["kinds"][0]["policies"]) == set(QUICK)


def test_writes_a_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert rehearse(as_json=True, picture=tmp_path / "costs.svg") == 0
    assert (tmp_path / "costs.svg").read_text(encoding="utf-8").startswith("<svg")
    assert capsys.readouterr().out


def test_no_workers_can_do_nothing() -> None:
    with pytest.raises(EntryError, match="workers"):
        rehearse(workers=0)
