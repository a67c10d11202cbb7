"""Real answers, over whole sessions, are what the schema says; and all that the schema says is answered somewhere."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

import jsonschema
import pytest

from borewright import Bore
from borewright.cli.lines import Door
from borewright.errors import BorewrightError, ConflictError
from borewright.sizing.schema import door_schema
from tests.unit.door.refusals import ENTRIES, STATES
from tests.unit.door.sessions import LEAST, SESSIONS, Session, play

SCHEMA = door_schema()


def closed(schema: Any) -> Any:  # noqa: ANN401  # any part of a schema
    """Return the schema with nothing left open: a field that it does not tell of is refused."""
    if isinstance(schema, Mapping):
        inner = {name: closed(value) for name, value in schema.items()}
        return {"additionalProperties": False, **inner} if "properties" in schema else inner
    return [closed(value) for value in schema] if isinstance(schema, list) else schema


CLOSED = closed(SCHEMA)
VALIDATORS = {
    part: jsonschema.Draft202012Validator({"$defs": CLOSED["$defs"], **schema})
    for part, schema in CLOSED["$defs"].items()
}


def hold(part: str, answer: object) -> None:
    plain = json.loads(json.dumps(answer, allow_nan=False))
    assert plain == answer, "an answer holds something that JSON has not"
    VALIDATORS[part].validate(plain)


@pytest.mark.parametrize("session", SESSIONS.values(), ids=SESSIONS)
def test_real_answers_satisfy_the_schema(session: Session) -> None:
    hold("start", session.start)
    for entry in session.entries:
        hold("entry", entry)
    for asked, _, answer in play(session):
        hold("advice" if asked == "advise" else "recorded", answer)


@pytest.mark.parametrize(("state", "row"), ENTRIES[::4])
def test_real_problems_satisfy_the_schema(state: str, row: Any) -> None:  # noqa: ANN401
    bore = STATES[state]()
    with pytest.raises(BorewrightError) as caught:
        bore.record(row.given(bore) if callable(row.given) else row.given)
    hold("problem", caught.value.as_problem())
    hold("problem", {**caught.value.as_problem(), "line": 3})


def test_a_conflict_satisfies_the_schema() -> None:
    hold("problem", ConflictError("More was recorded.", since=[{"number": 3, "event": "read"}]).as_problem())


def test_what_is_entered_for_an_advice_or_a_release_satisfies_the_schema() -> None:
    for _, bore, answer in play(SESSIONS["dial, released"]):
        if "action" in answer:
            hold("entry", bore.advised(answer))
            return


@pytest.mark.parametrize("session", SESSIONS.values(), ids=SESSIONS)
def test_plans_satisfy_the_schema(session: Session) -> None:
    bore = Bore.start(session.start)
    hold("plans", bore.plans())
    for _, after, answer in play(session):
        if answer.get("state") in {"measured", "released", "quarantined"}:
            hold("plans", after.plans("in", pass_minutes=3))


def test_lines_satisfy_the_schema_both_ways() -> None:
    door = Door()
    lines: list[Any] = [{"start": LEAST}, {"record": {"event": "set", "diameter": 26.78}}, {"advise": {}}]
    lines += [{"plans": {}}, {"plans": {"pass_minutes": 4, "measurement_minutes": 1.5}}]
    for line in lines:
        hold("question", line)
        hold("answer", door.answer(json.dumps(line).encode()))


@pytest.mark.parametrize(
    "line",
    [
        {},
        {"begin": LEAST},
        {"start": LEAST, "advise": {}},
        {"advise": []},
        {"plans": {"pass": 3}},
        {"record": {"event": "read"}},
        {"start": {}},
    ],
)
def test_lines_that_are_not_questions_do_not(line: object) -> None:
    with pytest.raises(jsonschema.ValidationError):
        hold("question", line)


CUT: Mapping[str, object] = {
    "callout": "53.150 ±0.012",
    "unit": "mm",
    "hole": "52.480",
    "adjuster": {"kind": "dial", "on": "diameter", "line": "0.002"},
    "gauge": {"step": "0.001"},
    "material": "42CrMo4",
    "cut": {
        "feed": "0.08",
        "nose": "0.4",
        "push_test": [{"load": "100", "gives": "0.012"}],
        "depth_of_bore": "60",
        "wall": "6",
        "finish": "0.0016",
        "force": {"kc": "2400", "exponent": "0.24", "source": "dynamometer", "by": "I. Thorne", "on": "2027-03-01"},
    },
}


def test_the_cut_of_a_bore_satisfies_the_schema_and_every_field_of_it_occurs() -> None:
    door = Door()
    answer: Any = None
    asked: list[Any] = [
        {"start": CUT},
        {"record": {"event": "set", "diameter": "52.8"}},
        {"record": {"event": "seated"}},
    ]
    asked += [{"record": {"event": "passed"}}, {"record": {"event": "read", "as_read": "52.783"}}, {"cut": {}}]
    for line in asked:
        hold("question", line)
        answer = door.answer(json.dumps(line).encode())
        hold("answer", answer)
    hold("cut", answer)
    (outer,) = (way for way in SCHEMA["$defs"]["cut"]["properties"]["cut"]["anyOf"] if way["type"] != "null")
    (outlook,) = (way for way in outer["properties"]["left"]["anyOf"] if way["type"] != "null")
    assert sorted(set(told(outlook)) - set(found(answer["cut"]["left"]))) == []
    assert sorted(set(told(outer["properties"]["taught"]["items"])) - set(found(answer["cut"]["taught"][0]))) == []


def test_a_bore_without_a_cut_answers_that_it_has_none() -> None:
    door = Door()
    door.answer(json.dumps({"start": LEAST}, default=str).encode())
    assert door.answer(b'{"cut": {}}') == {"cut": None}
    with pytest.raises(BorewrightError, match="no such field"):
        door.answer(b'{"cut": {"passes": 2}}')


def test_a_broken_answer_does_not() -> None:
    answer: Any = Bore.start(LEAST).advise()
    for broken in (
        {**answer, "more": 1},
        {name: value for name, value in answer.items() if name != "odds"},
        {**answer, "action": "polish"},
        {**answer, "now": {**answer["now"], "size": "26.5"}},
        {**answer, "now": {**answer["now"], "size": 26.5}},
        {**answer, "odds": {**answer["odds"], "oversize": 1.5}},
        {**answer, "odds": {**answer["odds"], "oversize": Decimal("0.5")}},
    ):
        with pytest.raises((jsonschema.ValidationError, TypeError)):
            hold("advice", broken)


def told(schema: Any, where: str = "") -> Iterator[str]:  # noqa: ANN401
    for name, field in schema.get("properties", {}).items():
        yield f"{where}{name}"
        yield from told(field, f"{where}{name}.")
        yield from told(field.get("items", {}), f"{where}{name}[].")


def found(answer: Any, where: str = "") -> Iterator[str]:  # noqa: ANN401
    if isinstance(answer, Mapping):
        for name, value in answer.items():
            yield f"{where}{name}"
            yield from found(value, f"{where}{name}.")
            for item in value if isinstance(value, list) else ():
                yield from found(item, f"{where}{name}[].")


def test_every_field_that_the_schema_tells_of_plans_occurs() -> None:
    seen = {name for session in SESSIONS.values() for name in found(Bore.start(session.start).plans())}
    assert sorted(set(told(SCHEMA["$defs"]["plans"])) - seen) == []


def test_every_field_that_the_schema_tells_of_an_answer_occurs() -> None:
    seen: dict[str, set[str]] = {"advice": set(), "recorded": set()}
    for session in SESSIONS.values():
        for asked, _, answer in play(session):
            seen["advice" if asked == "advise" else "recorded"].update(found(answer))
    for part, names in seen.items():
        assert sorted(set(told(SCHEMA["$defs"][part])) - names) == []
