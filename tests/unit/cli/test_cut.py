"""``borewright cut`` on a terminal: what could go wrong first, then each pass, from options or a job file."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from borewright.cli.cut import cut_rows, run_cut, strip_rows
from borewright.cli.cut_options import CutOptions, push_of
from borewright.errors import EntryError
from borewright.sizing.cut_outlook import look_at_cut
from borewright.sizing.cut_words import grounds_said, pass_said

OPTIONS = CutOptions(
    bore={"hole": "61.5", "material": "42CrMo4", "unit": None},
    cut={"feed": "0.08", "nose": "0.4", "overhang": "180", "depth_of_bore": "70", "wall": "8", "finish": "1.6 µm"},
    bar={"diameter": "40", "material": None, "taper": None},
)
JOB = """\
borewright = 1
units = "mm"
job = "sluice hinge 4"
material = "42CrMo4"
adjuster = { kind = "dial", line = 0.002, on = "diameter" }
gauge = { step = 0.001 }
[[bore]]
name = "upper eye"
callout = "33.4 H7"
hole = 33.0
cut = { feed = 0.08, nose = 0.4, push_test = [{ load = 100, gives = 0.012 }] }
[[bore]]
name = "lower eye"
callout = "40 H7"
hole = 39.5
push_off = 0.02
"""


def printed(capsys: pytest.CaptureFixture[str], of: str, options: CutOptions = OPTIONS, **rest: object) -> str:
    settings: dict[str, object] = {"passes": None, "picture": None, "as_json": False, **rest}
    assert run_cut(of, None, options, **settings) == 0  # type: ignore[arg-type]  # a test's own settings
    return capsys.readouterr().out


def test_what_could_go_wrong_stands_before_any_figure(capsys: pytest.CaptureFixture[str]) -> None:
    said = printed(capsys, "62 H6")
    assert said.index("What could go wrong") < said.index("push-off   ") < said.index("force  ")
    assert said.index("can lose the hole") < said.index("spoils it") < said.index("Pass 1 of 2")
    assert "instead: Cut and measure a pass before it" in said
    assert "borewright passes plans with" in said


@pytest.mark.parametrize("width", [40, 60, 88])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    looked = look_at_cut({**OPTIONS.fields(), "callout": "62 H6", "unit": "mm"})
    assert all(len(row.text) <= width for row in cut_rows(looked, width))


def test_strip_shows_limits_aim_and_spread() -> None:
    looked = look_at_cut({**OPTIONS.fields(), "callout": "62 H6", "unit": "mm"})
    first, last = (strip_rows(looked, one, 80)[0].text for one in looked.passes)
    for strip in (first, last):
        assert strip.count("[") == strip.count("]") == strip.count("#") == 1
        assert strip.rstrip().endswith("/")
    assert first.index("#") < first.index("[")
    assert last.index("[") < last.index("#") < last.index("]")
    assert "=" in first


def test_json_is_the_same_outlook(capsys: pytest.CaptureFixture[str]) -> None:
    answer = json.loads(printed(capsys, "62 H6", as_json=True))
    assert answer == json.loads(json.dumps(look_at_cut({**OPTIONS.fields(), "callout": "62 H6"}).plain()))


def test_a_job_file_is_taken_and_options_go_over_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "job.toml").write_text(JOB, "utf-8")
    of = str(tmp_path / "job.toml")
    plain = json.loads(printed(capsys, of, CutOptions(), as_json=True))
    faster = json.loads(printed(capsys, of, CutOptions(cut={"feed": "0.12"}), as_json=True))
    assert plain["callout"] == "33.4 H7"
    assert faster["passes"][0]["force"]["cutting_n"] > plain["passes"][0]["force"]["cutting_n"]
    assert run_cut(of, "lower eye", CutOptions(), passes=None, picture=None, as_json=True) == 2
    assert json.loads(capsys.readouterr().out)["where"] == "cut.feed"


def test_inches_are_told_in_inches(capsys: pytest.CaptureFixture[str]) -> None:
    options = CutOptions(
        bore={"hole": "1.485", "material": "6061-T6", "unit": "in"},
        cut={"feed": ".003", "nose": "1/64", "finish": "32 µin"},
        pushes=["50 N .0004"],
    )
    said = printed(capsys, "1.5000-1.5010", options)
    assert "ft/min" in said
    assert "µin" in said
    assert "tenth" in said


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("100 N 0.009 mm", {"load": "100", "gives": "0.009 mm"}),
        ("100N 9 µm", {"load": "100", "gives": "9 µm"}),
        ("100:0.009", {"load": "100", "gives": "0.009"}),
        ("100 N 0.009 mm at 80 mm", {"load": "100", "gives": "0.009 mm", "overhang": "80 mm"}),
    ],
)
def test_pushes(text: str, fields: dict[str, str]) -> None:
    assert push_of(text) == fields


def test_a_weak_spindle_and_a_measured_finish_are_taken_in_one_line_each(capsys: pytest.CaptureFixture[str]) -> None:
    weak = replace(OPTIONS, spindle="2000 rpm 0.4 kW; 4000 0.4", measured="2.2 µm; 2.3 µm")
    answer = json.loads(printed(capsys, "62 H6", weak, as_json=True))
    assert answer["passes"][0]["finish"]["measured"] == 2
    assert any("the spindle has 0.19 kW" in concern["what"] for concern in answer["first"])
    hp = replace(OPTIONS, spindle="2000 rpm")
    assert run_cut("62 H6", None, hp, passes=None, picture=None, as_json=True) == 2
    assert json.loads(capsys.readouterr().out)["where"] == "spindle"


def test_half_a_push(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(EntryError, match="A load and how far"):
        push_of("100 N")
    with pytest.raises(EntryError, match="in N"):
        push_of("22 lbf 0.0004 in")
    assert run_cut("62 H6", None, CutOptions(pushes=["100"]), passes=None, picture=None, as_json=False) == 2
    assert "push" in capsys.readouterr().err


def test_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "cut.svg"
    printed(capsys, "62 H6", picture=file)
    assert file.read_text("utf-8").startswith("<svg xmlns")
    gone = tmp_path / "no" / "cut.svg"
    assert run_cut("62 H6", None, OPTIONS, passes=None, picture=gone, as_json=False) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_every_label_stands_clear_of_its_words(capsys: pytest.CaptureFixture[str]) -> None:
    said = printed(capsys, "62 H6")
    assert "\n  power      0." in said
    looked = look_at_cut({**OPTIONS.fields(), "callout": "62 H6", "unit": "mm"})
    for label, words in (*pass_said(looked, looked.passes[0]), *grounds_said(looked)):
        assert f"{label} {' ' * (10 - len(label))}{words[:12]}" in said
