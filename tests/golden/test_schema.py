"""The schema of the door: kept in the docs as it is today, and never changed so that it breaks what others built on it.

``schema_1.json`` is the door as others rely on it. It is never edited. When a release adds to the door, and this file
passes, it is replaced as a whole::

    borewright schema > tests/golden/schema_1.json

A change that breaks something makes version 2, with a copy of its own, and a door that still answers version 1.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

import jsonschema
import pytest

from borewright.sizing.schema import VERSION, door_schema, door_text
from tests.golden.compatible import breaking_changes

ROOT = Path(__file__).parents[2]
FROZEN: Any = json.loads(Path(__file__).with_name(f"schema_{VERSION}.json").read_text(encoding="utf-8"))

Parts: TypeAlias = dict[str, Any]
Change: TypeAlias = Callable[[Parts], object]


def test_the_schema_in_the_docs_is_that_of_today() -> None:
    kept = ROOT / "docs" / "schema" / f"borewright-{VERSION}.json"
    assert kept.read_bytes() == door_text().encode(), (
        "Write it again: borewright schema > docs/schema/borewright-1.json"
    )
    assert json.loads(door_text()) == door_schema()


def test_it_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(door_schema())


def test_nothing_that_others_rely_on_is_broken() -> None:
    assert breaking_changes(FROZEN, door_schema()) == []


def start(defs: Parts) -> Parts:
    fields: Parts = defs["start"]["properties"]
    return fields


def read(defs: Parts) -> Parts:
    fields: Parts = defs["bore.read"]["properties"]
    return fields


def advice(defs: Parts) -> Parts:
    fields: Parts = defs["advice"]["properties"]
    return fields


def need(name: str, kind: str = "start") -> Change:
    return lambda defs: defs[kind]["required"].append(name)


def widen(defs: Parts) -> None:
    start(defs)["adjuster"] = {"anyOf": [{"type": "string"}, start(defs)["adjuster"]]}


def add_a_kind(defs: Parts) -> None:
    defs["bore.polished"] = {"type": "object", "required": ["event"], "properties": {"event": {"const": "polished"}}}
    defs["entry"]["anyOf"].append({"$ref": "#/$defs/bore.polished"})


BREAKING: tuple[tuple[Change, str], ...] = (
    (lambda defs: start(defs).pop("material"), "start.material: is gone"),
    (lambda defs: start(defs)["gauge"]["properties"].pop("bias"), "start.gauge.bias: is gone"),
    (
        lambda defs: start(defs)["adjuster"]["properties"]["kind"]["enum"].remove("offset"),
        "start.adjuster.kind: the choice 'offset' is gone",
    ),
    (need("gauge_id"), "start.gauge_id: is needed now"),
    (
        lambda defs: (start(defs).update(spindle={"type": "string"}), need("spindle")(defs)),
        "start.spindle: is needed now",
    ),
    (need("place", "bore.read"), "bore.read.place: is needed now"),
    (
        lambda defs: read(defs)["as_read"].update(type="string"),
        "bore.read.as_read: does not take integer, number any more",
    ),
    (
        lambda defs: start(defs)["hole"]["anyOf"].pop(0),
        "start.hole: the short way is gone",
    ),
    (lambda defs: start(defs)["hole"]["anyOf"].pop(), "start.hole: the way with fields is gone"),
    (
        lambda defs: start(defs)["hole"]["anyOf"][1]["properties"].pop("within"),
        "start.hole.within: is gone",
    ),
    (lambda defs: start(defs).update(name={"enum": ["front", "rear"]}), "start.name: takes only some words now"),
    (lambda defs: start(defs)["name"].update(pattern="^[a-z]+$"), "start.name: pattern was None, is ^[a-z]+$"),
    (lambda defs: start(defs)["name"].update(maxLength=20), "start.name: maxLength was 2000, is 20"),
    (
        lambda defs: start(defs)["push_off"]["anyOf"][1]["properties"]["factor"].update(maximum=2),
        "start.push_off.factor: maximum was 5, is 2",
    ),
    (lambda defs: start(defs)["ovality"].update(exclusiveMinimum=0), "start.ovality: exclusiveMinimum was None, is 0"),
    (lambda defs: read(defs)["event"].update(const="reading"), "bore.read.event: is now 'reading', not 'read'"),
    (lambda defs: defs.pop("tool.moved"), "tool.moved: is gone"),
    (lambda defs: defs["entry"]["anyOf"].pop(3), "entry: bore.temperature is gone"),
    (lambda defs: defs["question"]["anyOf"].pop(), "question: advise is gone"),
    (
        lambda defs: defs["question"]["anyOf"][0]["required"].append("bore"),
        "question.bore: is needed now",
    ),
    (
        lambda defs: defs["bore.advised"]["properties"]["shown"].update(additionalProperties=False),
        "bore.advised.shown: does not take further fields any more",
    ),
    (lambda defs: advice(defs).pop("why"), "advice.why: is gone"),
    (lambda defs: defs["recorded"]["properties"].pop("hash"), "recorded.hash: is gone"),
    (lambda defs: advice(defs)["odds"]["properties"].pop("undersize"), "advice.odds.undersize: is gone"),
    (lambda defs: advice(defs)["questions"]["items"]["properties"].pop("check"), "advice.questions[].check: is gone"),
    (lambda defs: defs["advice"]["required"].remove("steps"), "advice.steps: may be missing now"),
    (lambda defs: advice(defs)["cost"].update(type="string"), "advice.cost: may now be string"),
    (
        lambda defs: advice(defs)["passes_left"].update(type=["integer", "null"]),
        "advice.passes_left: may now be null",
    ),
    (lambda defs: advice(defs)["action"]["enum"].remove("cut"), "advice.action: the choice 'cut' is gone"),
    (lambda defs: advice(defs).update(state={"type": "string"}), "advice.state: may now be any words"),
    (
        lambda defs: advice(defs)["odds"]["properties"]["oversize"].update(maximum=100),
        "advice.odds.oversize: maximum was 1, is 100",
    ),
    (
        lambda defs: defs["problem"]["properties"]["line"].pop("minimum"),
        "problem.line: minimum was 0, is None",
    ),
    (
        lambda defs: defs["recorded"]["properties"]["hash"].pop("pattern"),
        "recorded.hash: pattern was ^[0-9a-f]{64}$, is None",
    ),
    (lambda defs: defs["answer"]["anyOf"].pop(), "answer: problem is gone"),
    (
        lambda defs: start(defs)["name"].update(format="hostname"),
        "start.name: the comparison does not know format",
    ),
)
"""Changes of the parts of the schema, each with what it breaks."""

HARMLESS: tuple[Change, ...] = (
    lambda defs: start(defs).update(spindle={"type": "string"}),
    lambda defs: read(defs).update(light={"enum": ["day", "lamp"]}),
    lambda defs: start(defs)["adjuster"]["properties"]["kind"]["enum"].append("wedge"),
    lambda defs: start(defs).update(unit={"type": "string"}),
    lambda defs: start(defs)["name"].update(type=["string", "number"]),
    lambda defs: start(defs)["name"].update(maxLength=4000),
    lambda defs: start(defs)["name"].pop("minLength"),
    lambda defs: start(defs)["name"].update(description="what it goes by."),
    lambda defs: read(defs)["at"].pop("pattern"),
    lambda defs: defs["start"]["required"].remove("push_off"),
    lambda defs: defs["start"].update(additionalProperties=True),
    lambda defs: defs["bore.clamped"]["properties"]["event"].update(readOnly=False),
    widen,
    add_a_kind,
    lambda defs: advice(defs).update(spindle={"type": "string"}),
    lambda defs: defs["advice"]["required"].append("tool"),
    lambda defs: advice(defs)["action"]["enum"].append("rest"),
    lambda defs: advice(defs)["cost"].update(type="integer"),
    lambda defs: advice(defs)["cost"].update(minimum=0),
    lambda defs: defs["problem"]["properties"]["given"].update(type=["string", "null"]),
    lambda defs: defs["recorded"].update(additionalProperties=False),
    lambda defs: defs.update(reserved={"type": "string"}),
)
"""Changes that break nothing."""


@pytest.mark.parametrize(("change", "breaks"), BREAKING, ids=[breaks for _, breaks in BREAKING])
def test_a_change_that_breaks_something_is_told_with_its_place(change: Change, breaks: str) -> None:
    changed = copy.deepcopy(FROZEN)
    change(changed["$defs"])
    assert breaks in breaking_changes(FROZEN, changed)


@pytest.mark.parametrize("change", HARMLESS)
def test_a_change_that_breaks_nothing_is_let_through(change: Change) -> None:
    changed = copy.deepcopy(FROZEN)
    change(changed["$defs"])
    assert changed != FROZEN
    assert breaking_changes(FROZEN, changed) == []


def test_every_field_and_choice_that_is_taken_away_is_missed() -> None:
    changed = copy.deepcopy(FROZEN)
    found = places(changed["$defs"])
    assert len(found) > 200
    for holder, key in found:
        taken = holder.pop(key)
        assert breaking_changes(FROZEN, changed), f"{key}: {taken}"
        holder.insert(key, taken) if isinstance(holder, list) else holder.update({key: taken})
    assert changed == FROZEN


def places(schema: object) -> list[tuple[Any, Any]]:
    """List every field and every choice of a schema, as what holds it and its key there."""
    found: list[tuple[Any, Any]] = []
    if isinstance(schema, dict):
        for name, inner in schema.items():
            if name == "properties":
                found += [(inner, field) for field in inner]
            if name == "enum":
                found += [(inner, index) for index in range(len(inner))]
            found += places(inner)
    elif isinstance(schema, list):
        for inner in schema:
            found += places(inner)
    return found
