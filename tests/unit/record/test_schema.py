"""The schemas of what goes in follow the declarations of the payloads."""

from __future__ import annotations

from typing import Any

import jsonschema
import pytest

from borewright.record.entry import ENVELOPE
from borewright.record.fields import payload_schema
from borewright.record.kinds import BEGINNINGS, EVENT_KINDS
from borewright.record.schema import entry_schema, entry_schemas, start_schema
from tests.unit.door.sessions import FULL, LEAST, OFFSET, READOUT
from tests.unit.record.fixtures import ENTRIES

ENTERED = {key: kind for key, kind in EVENT_KINDS.items() if kind.name not in BEGINNINGS}


def accepts(schema: Any, given: object) -> bool:  # noqa: ANN401  # a schema as jsonschema takes it
    return bool(jsonschema.Draft202012Validator(schema).is_valid(given))


def test_every_event_but_the_beginnings_can_be_entered() -> None:
    assert list(entry_schemas()) == [f"{kind.stream}.{kind.name}" for kind in ENTERED.values()]


@pytest.mark.parametrize("kind", ENTERED.values(), ids=str)
def test_an_entry_has_the_fields_of_its_payload_and_those_of_the_event(kind: Any) -> None:  # noqa: ANN401
    payload: Any = payload_schema(kind.payload)
    schema = entry_schema(kind)
    assert not payload["properties"].keys() & set(ENVELOPE)
    assert schema["properties"].keys() == payload["properties"].keys() | set(ENVELOPE)
    assert set(schema["required"]) - set(ENVELOPE) == set(payload.get("required", ()))
    given = {name for name, field in schema["properties"].items() if field.get("readOnly")}
    assert given == {name for name in ("tool", "gauge", "certificate") if name in payload["properties"]}


@pytest.mark.parametrize("start", [LEAST, FULL, READOUT, OFFSET])
def test_starts_are_accepted(start: object) -> None:
    assert accepts(start_schema(), start)


@pytest.mark.parametrize("name", ["callout", "hole", "adjuster", "gauge"])
def test_a_start_needs_four_things_and_push_off_or_cut(name: str) -> None:
    assert not accepts(start_schema(), {key: value for key, value in LEAST.items() if key != name})


@pytest.mark.parametrize(
    "fields",
    [
        {"hole": [26.5]},
        {"hole": 0},
        {"hole": {"size": "26.5", "width": "1"}},
        {"unit": "cm"},
        {"pushoff": "0.02"},
        {"name": ""},
        {"adjuster": {"kind": "dial", "line": "0.002"}},
        {"adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "split": 11}},
        {"adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "split": 1.5}},
        {"push_off": {"guess": "0.02", "factor": 6}},
        {"temperature": {"part": 200}},
        {"gauge": {"step": -0.001}},
    ],
)
def test_a_start_that_the_reader_would_refuse_for_its_shape_is_not_accepted(fields: dict[str, object]) -> None:
    assert not accepts(start_schema(), {**LEAST, **fields})


@pytest.mark.parametrize("key", ENTERED, ids="/".join)
def test_the_entry_of_each_kind_is_accepted_by_its_own_schema_alone(key: tuple[Any, str]) -> None:
    entry = {**ENTRIES[key], "at": "2031-05-06T07:08:09.5+02:00", "by": "M. Ostrander"}
    accepting = [name for name, schema in entry_schemas().items() if accepts(schema, entry)]
    assert accepting == [".".join(key)]


def test_an_entry_needs_its_stream_where_the_bore_would_be_meant() -> None:
    schemas = entry_schemas()
    note = {"event": "noted", "text": "dry"}
    assert accepts(schemas["bore.noted"], note)
    assert not accepts(schemas["tool.noted"], note)
    assert accepts(schemas["tool.noted"], {**note, "stream": "tool"})
    assert not accepts(schemas["tool.noted"], {**note, "stream": "gauge"})
    assert accepts(schemas["tool.seated"], {"event": "seated"})


@pytest.mark.parametrize("fields", [{"at": "yesterday"}, {"at": "2031-05-06T07:08"}, {"by": ""}, {"who": "M. O."}])
def test_the_fields_of_the_event_are_checked(fields: dict[str, str]) -> None:
    assert not accepts(entry_schemas()["bore.clamped"], {"event": "clamped", **fields})


def test_every_field_says_what_it_is() -> None:
    for schema in [start_schema(), *entry_schemas().values()]:
        assert schema["description"].endswith(".")
        for name, field in fields_in(schema):
            assert field["description"].endswith("."), name


def fields_in(schema: Any) -> list[tuple[str, Any]]:  # noqa: ANN401
    found = []
    for name, field in schema.get("properties", {}).items():
        found.append((name, field))
        for inner in (field, field.get("items", {}), *field.get("anyOf", ())):
            found += fields_in(inner)
    return found
