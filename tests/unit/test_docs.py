"""What the docs promise: links that lead somewhere, chores and commands that exist, tables that are not empty."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import cast, get_args

import pytest

from borewright.record.fields import payload_schema
from borewright.record.kinds import EVENT_KINDS
from borewright.sizing.choice import Action
from docs import made

ROOT = Path(__file__).parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
PAGES = [page for page in PAGES if not {"_build", "_made"} & set(page.parts)]
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")
CHORES = set(re.findall(r"^([a-z-]+):", MAKEFILE, re.MULTILINE)) - {"help"}


def said(page: Path) -> str:
    return page.read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_lead_to_files(page: Path) -> None:
    targets = re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", said(page))
    assert not [target for target in targets if not (page.parent / target).exists()]


def test_every_picture_is_shown_on_a_page_and_small() -> None:
    listed = ["git", "ls-files", "docs/pictures", "docs/results/*.svg"]
    tracked = subprocess.run(listed, cwd=ROOT, capture_output=True, check=True, text=True).stdout.split()
    shown = {
        (page.parent / name).resolve() for page in PAGES for name in re.findall(r"!\[[^]]+\]\(([^)]+)\)", said(page))
    }
    assert {ROOT / name for name in tracked} == shown
    assert all(picture.stat().st_size < 200_000 for picture in shown)


def test_every_chore_is_told_of_and_every_chore_told_of_exists() -> None:
    told = {name for page in PAGES for name in re.findall(r"`make ([a-z-]+)[^`]*`", said(page))}
    told |= {name for page in PAGES for name in re.findall(r"^    make ([a-z-]+)", said(page), re.MULTILINE)}
    assert told <= CHORES
    checks = {name for name in CHORES if name.startswith("check-")}  # the parts of make check
    assert CHORES - checks - {"clean"} <= told


def test_every_chore_is_in_the_help() -> None:
    offered = set(re.findall(r"@echo 'make ([a-z-]+)", MAKEFILE))
    assert offered == {name for name in CHORES if not name.startswith("check-")}


def test_chores_are_phony() -> None:
    phony = {name for line in re.findall(r"^\.PHONY: (.*)$", MAKEFILE, re.MULTILINE) for name in line.split()}
    assert phony == CHORES | {"help"}


def test_every_event_stands_in_the_reference_with_its_fields() -> None:
    text = made.events()
    for kind in EVENT_KINDS.values():
        assert f"### {kind.stream}: {kind.name}\n" in text
        for name in cast("dict[str, object]", payload_schema(kind.payload)["properties"]):
            assert f"| `{name}` |" in text


def test_every_action_of_the_advice_is_told_of() -> None:
    told = re.findall(r"^\| `(\w+)` \|", said(ROOT / "docs" / "theory" / "advice.md"), re.MULTILINE)
    assert sorted(told) == sorted(get_args(Action))


def test_fields_say_what_they_take() -> None:
    schema = {
        "properties": {
            "a": {"type": "string", "description": "one | two"},
            "b": {"anyOf": [{"type": "number"}, {"type": "object", "properties": {"c": {"enum": ["x", "y"]}}}]},
            "d": {"type": "array", "items": {"type": "object", "properties": {"e": {}}}},
        },
        "required": ["a"],
    }
    assert made.fields_table(schema).splitlines()[2:] == [
        "| `a` | yes | one \\| two | text |",
        "| `b` |  |  | number, or fields |",
        "| `b.c` |  |  | `x`, `y` |",
        "| `d` |  |  | a list |",
        "| `d[].e` |  |  | anything |",
    ]


def test_callouts_shown_as_refused_are_refused_and_the_others_read() -> None:
    assert made.refused().count("\n") == 2 + len(made.REFUSED)
    assert made.callouts().count("\n") == 2 + len(made.CALLOUTS)


def test_parts_are_written_once(tmp_path: Path) -> None:
    made.write(tmp_path / "made")
    before = {path.name: path.stat().st_mtime_ns for path in (tmp_path / "made").iterdir()}
    made.write(tmp_path / "made")
    after = {path.name: path.stat().st_mtime_ns for path in (tmp_path / "made").iterdir()}
    assert {name for name in after if before[name] != after[name]} <= {"end.txt"}  # it shows the hashes of that hour
    assert set(before) == set(re.findall(r"_made/(\w+\.\w+)", " ".join(map(said, PAGES))))


def test_the_example_of_the_readme_is_the_one_that_runs() -> None:
    code = (ROOT / "docs" / "example.py").read_text(encoding="utf-8").partition("annotations\n\n")[2]
    assert f"```python\n{code}```" in said(ROOT / "README.md")
    assert len(code.splitlines()) <= 32


def test_the_example_leads_on() -> None:
    lines = made.example().splitlines()
    assert lines[0].startswith("Set the tool to 38.")
    assert lines[1] == "measured []"
    assert lines[2].startswith("Open ")
