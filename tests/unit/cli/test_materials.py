"""``borewright material`` as a shop runs it, and the looks and plans that go by what it keeps."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from borewright.cli.app import app
from tests.unit.cli.test_cut import JOB

PAIR = ("--kc", "2400", "--exponent", "0.24", "--source", "dynamometer, May", "--certainty", "measured")
LOOK = ("--hole", "61.5", "--material", "4140", "--feed", "0.08", "--nose", "0.4", "--bar", "40", "--overhang", "180")


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of records."""
    monkeypatch.setenv("BOREWRIGHT_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "100")
    return tmp_path


def run(*words: str, code: int = 0) -> Result:
    done = CliRunner().invoke(app, words)
    assert done.exit_code == code, done.output
    return done


def answer(*words: str) -> Any:  # noqa: ANN401  # JSON
    return json.loads(run(*words, "--json").stdout)


def test_what_holds_is_shown_with_both_numbers_and_their_source() -> None:
    assert "keeps no cutting force of its own" in run("material").stdout
    assert "kc 2526 N/mm² ± 12 %, mc 0.25" in run("material", "4140").stdout
    said = run("material", "4140", *PAIR, "--by", "I. Thorne").stdout
    assert "kc 2400 N/mm² ± 10 %, mc 0.24" in said
    assert "the shop's own: dynamometer, May; measured on metal; entered by I. Thorne" in said
    assert "kc 2400 N/mm²" in run("material", "42CrMo4").stdout
    assert answer("material")["kept"][0]["material"] == "42CrMo4"
    gone = run("material", "42CrMo4", "--forget", "--by", "I. Thorne").stdout
    assert "no longer" in gone
    assert "kc 2526 N/mm²" in gone
    assert answer("material")["kept"] == []


def test_looks_and_plans_go_by_it(shop: Path) -> None:
    before = answer("cut", "62 H6", *LOOK)["material"]
    run("material", "42CrMo4", *PAIR, "--by", "I. Thorne")
    after = answer("cut", "62 H6", *LOOK)["material"]
    assert (before["kc_n_mm2"], after["kc_n_mm2"]) == (2525.7, 2400.0)
    assert after["entered_by"] == "I. Thorne"
    assert after["certainty"] == "the shop's own"
    assert "force law" in run("cut", "62 H6", *LOOK).stdout
    job = shop / "job.toml"
    job.write_text(JOB, encoding="utf-8")
    assert "dynamometer, May" in run("cut", str(job)).stdout
    plans = answer("passes", str(job))
    steps = next(plan["steps"] for plan in plans["plans"] if plan["advised"])
    sizes = [step["leaves"]["size"] for step in steps if not step["trial"]]
    assert [one["aim"] for one in plans["cut"]["left"]["passes"]] == sizes
    assert plans["cut"]["left"]["material"]["kc_n_mm2"] == 2400.0
    said = run("passes", str(job)).stdout
    assert f"Pass {len(sizes)} of {len(sizes)}: " in said
    assert "passes of the plan that is advised" in said
    assert "cut" not in answer("passes", str(job), "--bore", "lower eye")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("4140", "--kc", "2400", "--by", "me"), "are one law"),
        (("4140", *PAIR), "Nobody stands for this value"),
        (("steel", *PAIR, "--by", "me"), "names a kind"),
        (("--forget",), "The material is missing"),
        (("4140", *PAIR, "--forget", "--by", "me"), "either kept or forgotten"),
        (("4140", "--forget", "--by", "me"), "keeps no cutting force"),
        (("oak",), "No cutting force is held"),
    ],
)
def test_bad_entries_are_told_and_nothing_is_kept(words: tuple[str, ...], says: str) -> None:
    assert says in run("material", *words, code=2).stderr
    assert answer("material")["kept"] == []
