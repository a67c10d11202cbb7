"""The commands about gauges, rings and studies, run as a shop runs them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from borewright.cli.app import app
from borewright.cli.studies import run_study_form
from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.shop import acts
from borewright.shop.store import Store
from tests.published.test_study_10_3_3 import READINGS
from tests.unit.exchange.test_measurements import WHOLE
from tests.unit.shop.test_acts import GIVEN, to_size

CUT = (
    {"event": "set", "diameter": "52.800"},
    {"event": "seated"},
    {"event": "passed"},
    {"event": "read", "as_read": "52.783"},
    {"event": "read", "as_read": "52.784"},
)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of records."""
    monkeypatch.setenv("BOREWRIGHT_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "88")
    return tmp_path


def run(*words: str) -> Result:
    """Run a command; an error of the family comes through."""
    done = CliRunner().invoke(app, words)
    if isinstance(done.exception, BorewrightError):
        raise done.exception
    assert done.exit_code == 0, done.output
    return done


def answer(*words: str) -> Any:  # noqa: ANN401  # JSON
    return json.loads(run(*words, "--json").stdout)


def test_a_gauge_is_set_on_a_ring_and_both_are_listed(shop: Path) -> None:
    del shop
    run("certify", "ring-53", "53.1502 mm", "0.8 µm", "--due", "2099-03-01", "--report", "R-17", "--by", "I. Thorne")
    run("describe-gauge", "gauge-2", "dial bore gauge", "--needle", "minus", "--travel", "0.5 mm", "--step", "1 µm")
    run("set-gauge", "gauge-2", "ring-53", "--celsius", "20.5")
    listed = run("gauges").stdout
    assert "ring-53  ring; valid, due 2099-03-01" in listed
    assert "gauge-2  dial bore gauge; set on ring-53; that certificate valid, due 2099-03-01" in listed
    shown = answer("gauge", "gauge-2")
    assert shown["described"]["needle"] == "minus"
    assert shown["settings"][0]["size"] == "53.1502 mm"
    assert "53.1502 mm" in run("gauge", "gauge-2").stdout


def test_nothing_on_record_is_said(shop: Path) -> None:
    del shop
    assert "No gauge is on record" in run("gauges").stdout
    assert answer("gauges") == []


def test_an_overdue_ring_warns(shop: Path) -> None:
    del shop
    run("certify", "ring-53", "53.1502", "0.0008", "--unit", "mm", "--due", "2020-03-01")
    assert "was due on 2020-03-01" in run("set-gauge", "gauge-2", "ring-53").stdout


def test_a_recheck_names_the_release_that_does_not_follow_any_more(shop: Path) -> None:
    run("certify", "ring-53", "53.1502 mm", "0.8 µm")
    run("set-gauge", "gauge-2", "ring-53", "--celsius", "20.5")
    with Store.open(shop / "data") as store:
        bore = str(acts.open_bore(store, GIVEN)["bore"])
        for entry in CUT:
            acts.record(store, bore, entry)
        acts.release(store, bore, to_size(store, bore), by="I. Thorne")
    said = " ".join(run("recheck", "gauge-2", "ring-53", "53.160 mm", "--celsius", "20.5").stdout.split())
    assert "the setting has moved" in said
    assert bore in said
    assert "reopen it and measure again" in said


@pytest.mark.parametrize(
    ("words", "error", "says"),
    [
        (("set-gauge", "gauge-2", "ring-9"), NotHeldError, "neither a ring on record nor a size"),
        (("certify", "ring-53", "53", "0.8", "--unit", "mm"), EntryError, "No certificate is that uncertain"),
        (("certify", "ring-53", "53", "0.8", "--unit", "cm"), EntryError, "no such unit"),
        (("certify", "ring-53", "53 mm", "1 µm", "--due", "soon"), EntryError, "not a day"),
        (("study", "none.csv"), EntryError, "cannot be read"),
        (("measure", "none.toml"), EntryError, "cannot be read"),
    ],
)
def test_what_cannot_be_is_refused(shop: Path, words: tuple[str, ...], error: type[BorewrightError], says: str) -> None:
    del shop
    with pytest.raises(error, match=says):
        run(*words)


def study_file(folder: Path) -> str:
    rows = ["part,who,reading"]
    for line in READINGS.split("\n"):
        if line:
            who, *readings = line.split()
            rows += [f"{part},{who},{reading}" for part, reading in enumerate(readings, 1)]
    (folder / "study.csv").write_text("\n".join(rows), "utf-8")
    return str(folder / "study.csv")


def test_a_study_is_found_both_ways_and_recorded(shop: Path) -> None:
    ranges, variance = answer("study", study_file(shop), "--unit", "mm", "--tolerance", "8", "--gauge", "gauge-2")
    assert ranges["gauge_mm"] == pytest.approx(0.30578, abs=5e-6)
    assert variance["gauge_mm"] == pytest.approx(0.30237, abs=5e-6)
    assert variance["of_tolerance"] == pytest.approx(6 * 0.30237 / 8, abs=1e-5)
    assert "usable with care" in variance["what_to_do"]
    studied = answer("gauge", "gauge-2")["studied"]
    assert studied["scatter"].startswith("0.1999")
    assert studied["readings"] == 90
    words = run("study", study_file(shop), "--unit", "mm").stdout
    assert "5 kinds" in words
    assert "Average and range" in words
    assert "Variance without interaction" in words


def test_a_form_holds_the_whole_study_shuffled(shop: Path) -> None:
    del shop
    done = run("study-form", "Ann", "Bo", "--parts", "4", "--trials", "2", "--seed", "3")
    rows = [line for line in done.stdout.splitlines() if line.endswith(",")]
    assert len(rows) == 16
    assert done.stdout == run("study-form", "Ann", "Bo", "--parts", "4", "--trials", "2", "--seed", "3").stdout


def test_a_form_takes_as_many_parts_as_know_the_scatter_so_well(shop: Path) -> None:
    del shop
    done = run("study-form", "Ann", "Bo", "Cy", "--within", "1.5")
    parts = {line.split(",")[0] for line in done.stdout.splitlines() if line.endswith(",")}
    assert "within a factor of 1.50" in done.stderr
    assert f"{len(parts) * 9} readings" in done.stderr
    with pytest.raises(EntryError, match="two ways to say one thing"):
        run_study_form(["Ann", "Bo"], 4, 3, "1.5", 1)


def toml(value: object, prefix: str = "") -> str:
    """Write plain values as TOML."""
    assert isinstance(value, dict)
    lines = [f"{name} = {json.dumps(each)}" for name, each in value.items() if not isinstance(each, dict | list)]
    for name, each in value.items():
        if isinstance(each, dict):
            lines += [f"[{prefix}{name}]", toml(each, f"{prefix}{name}.")]
        elif isinstance(each, list):
            for inner in each:
                lines += [f"[[{prefix}{name}]]", toml(inner)]
    return "\n".join(lines)


def test_a_measurement_becomes_a_size_with_budget_form_and_verdict(shop: Path) -> None:
    file = shop / "m.toml"
    file.write_text(toml(WHOLE), "utf-8")
    found = answer("measure", str(file), "--draws", "200000")
    assert found["verdict"] == "in"
    assert sum(row["share"] for row in found["budget"]) == pytest.approx(1.0)
    assert found["drawn"]["settled"]
    assert found["drawn"]["mean_mm"] == pytest.approx(found["size_mm"], abs=1e-5)
    picture = shop / "b.svg"
    words = run("measure", str(file), "--picture", str(picture)).stdout
    assert "Shown within limits: proof at 95 %" in words
    assert "Three or five lobes" in words
    assert picture.read_text("utf-8").startswith("<svg")


def test_a_measurement_near_a_limit_says_what_would_settle_it(shop: Path) -> None:
    given = {**WHOLE, "reading": [{"shown": "-0.0147"}, {"shown": "-0.0147"}], "part": {"material": "steel"}}
    file = shop / "m.toml"
    file.write_text(toml(given), "utf-8")
    found = answer("measure", str(file))
    assert found["verdict"] == "not shown"
    names = {each["name"] for each in found["settled_by"]}
    assert {"read 4 times more", "take the temperature of part and master"} <= names
    assert all(each["shown_in"] + each["shown_out"] <= 1.0 for each in found["settled_by"])


def test_plugs_and_a_process_are_weighed_in(shop: Path) -> None:
    given = {
        **WHOLE,
        "plug": [{"size": "50.004", "u": "0.0005", "entered": True}],
        "process": {"mean": "50.008", "sd": "0.003"},
    }
    file = shop / "m.toml"
    file.write_text(toml(given), "utf-8")
    found = answer("measure", str(file))
    assert found["with_plugs"]["sd_mm"] <= found["u_mm"]
    assert found["risks"]["consumers"] < found["risks"]["bad"]
    words = run("measure", str(file)).stdout
    assert "with what they did" in words
    assert "that are bad and refuses" in words


def test_a_part_that_cools_is_told_by_its_clock_and_what_waiting_buys(shop: Path) -> None:
    file = shop / "m.toml"
    file.write_text(toml({**WHOLE, "part": {"material": "aluminium", "celsius": "26"}}), "utf-8")
    found = answer("soak", "30", "26", "--minutes", "10", "--measured", str(file))
    assert found["time_constant_minutes"] == pytest.approx(19.576, abs=5e-4)
    assert found["from_minutes"] < found["time_constant_minutes"] < found["to_minutes"]
    widths = [each["u_mm"] for each in found["waiting"]]
    assert widths[-1] < widths[0]
    assert all(0.0 <= each["proves"] <= 1.0 for each in found["waiting"])
    words = run("soak", "86 F", "26", "--minutes", "10").stdout
    assert "Time constant 20 minutes" in words
    assert "after 60 minutes" in words


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("26", "30", "--minutes", "10"), "come nearer"),
        (("30", "26", "--minutes", "0"), "some minutes"),
        (("30", "26 K", "--minutes", "5"), "Kelvin"),
        (("300", "26", "--minutes", "5"), "not a temperature"),
        (("30", "29.9", "--minutes", "5"), "too near"),
    ],
)
def test_what_no_part_does_is_refused(shop: Path, words: tuple[str, ...], says: str) -> None:
    del shop
    with pytest.raises(EntryError, match=says):
        run("soak", *words)


def test_a_shop_decides_on_its_rule_once(shop: Path) -> None:
    del shop
    assert "Not decided yet" in run("rule").stdout
    assert "proof at 99 %" in run("rule", "proof", "--confidence", "0.99", "--by", "I. Thorne").stdout
    assert "The shop's rule: proof at 99 %." in run("rule").stdout
    assert "guarded by 0.8 U" in run("rule", "guarded", "--bands", "0.8").stdout
    assert "the machine's own probe counts" in run("rule", "proof", "--probe-counts").stdout
    with pytest.raises(EntryError, match="has no guard band"):
        run("rule", "proof", "--bands", "1")
    with pytest.raises(EntryError, match="not one of the choices"):
        run("rule", "guess")


def test_a_study_is_drawn_by_part_and_by_person(shop: Path, tmp_path: Path) -> None:
    del shop
    file, picture = tmp_path / "study.csv", tmp_path / "study.svg"
    rows = [f"{part},{who},{62.0 + 0.001 * part}" for part in (1, 2, 3) for who in ("Ann", "Bo") for _ in range(2)]
    file.write_text("\n".join(["part,who,reading", *rows]), encoding="utf-8")
    run("study", str(file), "--unit", "mm", "--picture", str(picture))
    assert picture.read_text(encoding="utf-8").startswith("<svg")
    with pytest.raises(EntryError, match="cannot be written") as refused:
        run("study", str(file), "--unit", "mm", "--picture", str(tmp_path))
    assert refused.value.where == "picture"
