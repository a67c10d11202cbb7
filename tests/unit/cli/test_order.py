"""``borewright order``: the ways of a job file's like bores, as rows and as JSON, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from borewright.cli.order import run_order

NOTHING: dict[str, str | None] = {}
HEAD = """\
borewright = 1
units = "mm"
job = "sluice hinge 4"
adjuster = { kind = "dial", line = 0.002, on = "diameter" }
gauge = { step = 0.001 }
push_off = 0.02
tool = { id = "head-4", proved = true }
"""
EYES = "".join(
    f'[[bore]]\nname = "{name}"\ncallout = "33.4 H7"\nhole = 32.8\n' for name in ("upper", "middle", "lower")
)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    file = tmp_path / "job.toml"
    file.write_text(HEAD + EYES, "utf-8")
    return file


def asked(folder: Path, *of: Path | str, as_json: bool = True, one_part: bool = True) -> int:
    return run_order([str(one) for one in of], folder, one_part=one_part, minutes=NOTHING, as_json=as_json)


def test_the_bores_of_a_job_file_are_laid_side_by_side(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert asked(job.parent, job) == 0
    found = json.loads(capsys.readouterr().out)
    assert [bore["name"] for bore in found["bores"]] == ["upper", "middle", "lower"]
    assert found["one_part"] is True
    assert asked(job.parent, job, as_json=False) == 0
    said = " ".join(capsys.readouterr().out.split())
    for way in found["ways"]:
        assert f"costs {way['said']}" in said
    assert "1. tool to" in said
    assert "all bores in one part" in said


def test_what_cannot_be_ordered_is_said_on_stderr_with_code_2(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job.write_text(HEAD + EYES.replace('33.4 H7"', '33.4 H6"', 1), "utf-8")
    assert asked(job.parent, job, as_json=False) == 2
    assert "They have different callouts, 33.4 H6 and 33.4 H7." in capsys.readouterr().err
    assert asked(job.parent, job) == 2
    assert json.loads(capsys.readouterr().out)["where"] == "bores"
    assert asked(job.parent, "upper") == 2
