"""The reference of the door is complete: every field that goes in or comes out stands on its page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from borewright import errors
from borewright.errors import BorewrightError
from borewright.sizing.schema import VERSION, door_schema
from docs import made

PAGES = Path(__file__).parents[2] / "docs" / "reference"
DEFS = door_schema()["$defs"]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The parts of the pages that follow from the code."""
    folder = tmp_path_factory.mktemp("made")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(made, "session", dict)  # a whole demo, and nothing of it stands in the reference
        made.write(folder)
    return folder


def page(name: str, written: Path) -> str:
    """Return a page of the reference with what it includes."""

    def part(found: re.Match[str]) -> str:
        return (written / found[1]).read_text(encoding="utf-8")

    return re.sub(r"```\{include\} \.\./_made/(\S+)\n```", part, (PAGES / name).read_text(encoding="utf-8"))


def fields(schema: Any, outer: str = "") -> Iterator[tuple[str, Any]]:  # noqa: ANN401  # any part of a schema
    """List every field of a schema by its path."""
    for name, field in schema.get("properties", {}).items():
        yield f"{outer}{name}", field
        for inner in (field, *field.get("anyOf", ())):
            yield from fields(inner, f"{outer}{name}.")
        yield from fields(field.get("items", {}), f"{outer}{name}[].")


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("start.md", "start"),
        ("advice.md", "recorded"),
        ("advice.md", "advice"),
        ("advice.md", "problem"),
        ("plans.md", "plans"),
    ],
)
def test_every_field_and_choice_stands_on_its_page(written: Path, name: str, part: str) -> None:
    text = page(name, written)
    listed = dict(fields(DEFS[part]))
    assert len(listed) > 6
    for path, field in listed.items():
        words = ", ".join(f"`{word}`" for word in field["enum"]) if "enum" in field else ""
        rows = re.findall(rf"^\| `{re.escape(path)}` \| (?:yes)? ?\| (.+) \| (.+) \|$", text, re.MULTILINE)
        assert [says for says, takes in rows if says == field["description"] and takes.startswith(words)], path


@pytest.mark.parametrize("name", DEFS["entry"]["anyOf"], ids=lambda ref: str(ref["$ref"]))
def test_every_field_of_an_entry_stands_under_its_kind(written: Path, name: dict[str, str]) -> None:
    key = name["$ref"].rpartition("/")[2]
    stream, _, kind = key.partition(".")
    section = page("events.md", written).partition(f"### {stream}: {kind}\n")[2].partition("\n### ")[0]
    assert section
    for path, _ in fields(DEFS[key]):
        assert path in {"event", "stream", "at", "by"} or f"| `{path}` |" in section, path


def test_the_fields_of_every_event_are_told_of(written: Path) -> None:
    text = page("events.md", written).partition("| of a |")[0]
    assert all(f"`{name}`" in text for name in ("event", "stream", "at", "by"))


def test_every_error_of_the_family_is_told_of(written: Path) -> None:
    family = [kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, BorewrightError)]
    assert len(family) > 5
    assert all(f"| `{kind.__name__}` | `{kind.name}` |" in page("errors.md", written) for kind in family)


def test_the_schema_page_tells_of_every_part() -> None:
    text = (PAGES / "schema.md").read_text(encoding="utf-8")
    assert f"<../schema/borewright-{VERSION}.json>" in text
    kinds = {ref["$ref"].rpartition("/")[2] for ref in DEFS["entry"]["anyOf"]}
    assert not [part for part in DEFS.keys() - kinds if f"`{part}`" not in text]


def test_every_page_is_in_the_list() -> None:
    listed = (PAGES / "index.md").read_text(encoding="utf-8").split("```")[1].split()
    assert sorted(path.stem for path in PAGES.glob("*.md") if path.stem != "index") == sorted(
        name for name in listed if name.isidentifier() or "-" in name.strip("-:")
    )
