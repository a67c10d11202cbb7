"""Every kind of event has its payload, its fold, a fixture, and a line in the reference: one test holds the four."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import pytest

from borewright.errors import EntryError
from borewright.record.effect import NEVER_CORRECTED, UPGRADES
from borewright.record.entry import read_entry
from borewright.record.fields import Payload, payload_plain, read_payload
from borewright.record.kinds import BEGINNINGS, EVENT_KINDS, EventKind, event_kind
from borewright.record.schema import entry_schema
from borewright.sizing.folding import _FOLDS
from tests.unit.record.fixtures import ENTRIES

PAGE = Path(__file__).parents[3] / "docs" / "reference" / "events.md"
TEACHES_NOTHING = {
    ("bore", "opened"),  # the belief begins with it
    ("bore", "advised"),  # keeps what was said
    ("bore", "noted"),
    ("bore", "corrected"),  # changes what stands elsewhere
    ("tool", "assembled"),  # the opening carries the adjuster
    ("tool", "noted"),
    ("tool", "corrected"),
    ("gauge", "certified"),  # what was set on the master names it
    ("gauge", "noted"),
    ("gauge", "corrected"),
}
"""Kinds of event that the fold passes over, because they say nothing of bore, tool or gauge."""

_LINE = re.compile(r"\| (?P<stream>\w+) \| `(?P<kind>\w+)` \| (?P<says>[^|]+) \|(?: `(?P<example>.*)`)? \|")


def lines() -> dict[tuple[str, str], re.Match[str]]:
    found = [_LINE.fullmatch(line) for line in PAGE.read_text(encoding="utf-8").splitlines()]
    return {(line["stream"], line["kind"]): line for line in found if line}


def test_payload_fold_fixture_and_line_stand_together() -> None:
    for key, kind in EVENT_KINDS.items():
        assert key == (kind.stream, kind.name)
        assert issubclass(kind.payload, Payload)
        assert all((*key, version) in UPGRADES for version in range(1, kind.version))
        assert (key in _FOLDS) != (key in TEACHES_NOTHING), f"{key}: neither a fold nor known to teach nothing, or both"
    assert set(_FOLDS) <= set(EVENT_KINDS)
    assert set(ENTRIES) == set(EVENT_KINDS)
    assert set(lines()) == set(EVENT_KINDS)


@pytest.mark.parametrize("key", EVENT_KINDS, ids="/".join)
def test_the_line_of_a_kind_says_something_and_its_example_can_be_entered(key: tuple[str, str]) -> None:
    line = lines()[key]
    assert line["says"].strip().endswith(".")
    if key[1] in BEGINNINGS:
        assert line["example"] is None
        return
    example = json.loads(line["example"])
    kind, payload = read_entry(example, "mm")
    assert (kind.stream, kind.name) == key
    assert payload_plain(payload) is not None
    jsonschema.Draft202012Validator(entry_schema(kind)).validate(example)


@pytest.mark.parametrize("key", EVENT_KINDS, ids="/".join)
def test_the_fixture_of_a_kind_has_every_field_and_reads_the_same_when_stored(key: tuple[str, str]) -> None:
    kind, payload = read_entry(ENTRIES[key], "mm")  # type: ignore[index]  # keys of the same shape
    assert (kind.stream, kind.name) == key
    stored = payload_plain(payload)
    assert payload_plain(read_payload(kind.payload, stored, None)) == stored


def test_what_is_never_corrected_are_kinds_of_event() -> None:
    names = {kind.name for kind in EVENT_KINDS.values()}
    assert names >= NEVER_CORRECTED
    assert BEGINNINGS <= NEVER_CORRECTED


def test_every_kind_says_what_it_is() -> None:
    for kind in EVENT_KINDS.values():
        assert kind.about.endswith(".")


@pytest.mark.parametrize(
    ("name", "stream", "found"),
    [
        ("read", None, "bore"),
        ("moved", None, "tool"),
        ("set_on", None, "gauge"),
        ("noted", None, "bore"),
        ("noted", "tool", "tool"),
        ("corrected", "gauge", "gauge"),
    ],
)
def test_a_kind_is_found_by_its_name(name: str, stream: str | None, found: str) -> None:
    assert event_kind(name, stream).stream == found


@pytest.mark.parametrize(
    ("name", "stream", "right"),
    [
        ("reed", None, "Did you mean read?"),
        ("rad", "bore", "Did you mean read?"),
        ("xyz", "gauge", "Known: certified, corrected, described, noted, rechecked, set_on, studied."),
        (None, None, "Known: "),
        (7, None, "Known: "),
        ("assemble", None, "Known: "),
    ],
)
def test_what_is_no_kind_is_refused_with_what_was_likely_meant(name: object, stream: object, right: str) -> None:
    with pytest.raises(EntryError) as caught:
        event_kind(name, stream)
    assert caught.value.where == "event"
    assert right in caught.value.right


def test_kinds_are_told_of_by_their_payload() -> None:
    assert event_kind("seated") == EventKind("seated", "tool", EVENT_KINDS["tool", "seated"].payload)
    assert event_kind("seated").about == "The tool was put in the spindle."
