"""The API: each act reaches the record once, and what cannot be done is said in the family's own way."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from borewright.web.app import create_app
from borewright.web.records import REHEARSALS
from tests.unit.web.visitor import GIVEN, HEADERS, OWN, SEAT, Visitor

READ = {"event": "read", "as_read": "33.281 mm"}
SET = {"event": "set", "diameter": "33.300 mm"}


def until_measured(visitor: Visitor) -> str:
    bore = visitor.open()
    for entry in (SET, {"event": "seated"}, {"event": "passed"}, {"event": "read", "as_read": "33.281 mm"}):
        visitor.enter(bore, entry)
    return bore


@pytest.fixture(scope="module")
def measured(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Visitor, str]]:
    """A visitor at a bore that was measured, for what leaves the record as it was."""
    with TestClient(create_app(tmp_path_factory.mktemp("measured") / "data", demo=False), base_url=OWN) as client:
        visitor = Visitor(client)
        yield visitor, until_measured(visitor)


def history(visitor: Visitor, bore: str) -> list[tuple[str, int, str]]:
    """Read the record past the pages."""
    records = visitor.client.app.state.office.records  # type: ignore[attr-defined]  # the application's own
    return [(event.stream.partition("/")[0], event.number, event.event) for event in records.stand(bore).history]


def test_a_bore_is_opened_sized_and_looked_at(visitor: Visitor) -> None:
    bore = visitor.open()
    found = visitor.look(bore)
    assert found["numbers"] == {"bore": 1, "tool": 1, "gauge": 0}
    assert found["wanted"]["field"] == "diameter"
    assert found["wanted"]["entry"] == {"event": "set"}
    assert found["wanted"]["order"] == {"event": "set", **found["advice"]["set"]}
    assert found["advice"]["callout"] == "33.4 H7"
    answer = visitor.enter(bore, SET, by="Ada Quill")
    assert answer["recorded"]["event"] == "set"
    assert answer["recorded"]["understood"] == {"diameter": "33.300 mm"}
    assert answer["numbers"]["tool"] == 2
    assert "Set, not in the spindle" in answer["html"]
    assert answer["numbers"] == visitor.look(bore)["numbers"]
    assert answer["html"] == visitor.look(bore)["html"] == visitor.get(f"/bores/{bore}/part").text


def test_what_acts_on_the_advice_in_view_keeps_it_and_what_does_not_keeps_none(visitor: Visitor) -> None:
    bore = visitor.open(tool={"proved": True})
    assert visitor.look(bore)["advice"]["action"] == "set"
    visitor.enter(bore, {"event": "noted", "text": "film wiped", "stream": "bore"})
    visitor.enter(bore, SET)
    visitor.enter(bore, SET)  # nothing asked for that
    visitor.enter(bore, {"event": "seated"})
    assert visitor.look(bore)["advice"]["action"] == "move_and_cut"
    visitor.done(f"/bores/{bore}/entries", {"saw": None, "entry": {"event": "moved", "lines": "+1"}})  # not in view
    visitor.enter(bore, {"event": "moved", "lines": "+1"})
    told = ["opened", "noted", "advised", "set", "set", "seated", "moved", "advised", "moved"]
    assert [event for _, _, event in history(visitor, bore)] == told


def test_an_entry_that_is_sent_again_is_stored_once_even_after_the_work_went_on(visitor: Visitor) -> None:
    bore = visitor.open(hole={"size": "33.28", "within": "0.002"})
    body = {"key": "one", "saw": visitor.look(bore)["numbers"], "entry": SET}
    first = visitor.post(f"/bores/{bore}/entries", body).json()
    assert visitor.post(f"/bores/{bore}/entries", body).json()["recorded"] == first["recorded"]
    visitor.enter(bore, {"event": "seated"})
    again = visitor.post(f"/bores/{bore}/entries", body)
    assert again.status_code == 200
    assert again.json()["recorded"] == first["recorded"]
    assert again.json()["numbers"] == visitor.look(bore)["numbers"]
    assert [event for _, _, event in history(visitor, bore)] == ["opened", "advised", "set", "seated"]


def test_the_same_key_with_another_entry_is_a_conflict(visitor: Visitor) -> None:
    bore = visitor.open()
    body: dict[str, Any] = {"key": "one", "saw": None, "entry": SET}
    visitor.post(f"/bores/{bore}/entries", body)
    answer = visitor.post(f"/bores/{bore}/entries", {**body, "entry": {**SET, "diameter": "33.301 mm"}})
    assert answer.status_code == 409
    assert answer.json()["where"] == "key"


def test_who_saw_less_is_told_what_came_since_on_every_stream(visitor: Visitor) -> None:
    bore = until_measured(visitor)
    saw = visitor.look(bore)["numbers"]
    visitor.enter(bore, {"event": "moved", "lines": "+9"}, by="Bert Rood")
    visitor.enter(bore, {"event": "passed"})
    late = visitor.post(f"/bores/{bore}/entries", {"key": "late", "saw": saw, "entry": READ})
    assert late.status_code == 409
    problem = late.json()
    assert problem["problem"] == "conflict"
    said = [event["said"] for event in problem["since"] if event["event"] != "advised"]
    assert said == ["opened 9 lines", "cut through"]
    assert "Bert Rood" in {event["by"] for event in problem["since"]}
    again = visitor.post(f"/bores/{bore}/entries", {"key": "late", "saw": visitor.look(bore)["numbers"], "entry": READ})
    assert again.status_code == 200


def test_a_number_is_kept_as_the_decimal_it_was_written_as(visitor: Visitor) -> None:
    bore = until_measured(visitor)
    body = '{"key": "n", "entry": {"event": "read", "as_read": 33.2800}}'
    headers = {**HEADERS, "Content-Type": "application/json"}
    answer = visitor.client.post(f"/api/v1/bores/{bore}/entries", content=body, headers=headers)
    assert answer.json()["recorded"]["understood"]["as_read"] == "33.2800 mm"


def test_the_unit_shown_changes_nothing_that_is_kept(visitor: Visitor) -> None:
    bore = until_measured(visitor)
    shown = visitor.get(f"/api/v1/bores/{bore}?show=in").json()
    assert shown["advice"]["now"]["size"].endswith(" in")
    answer = visitor.enter(bore, {"event": "read", "as_read": "1.31025 in"}, show="in")
    assert answer["recorded"]["understood"]["as_read"] == "1.31025 in"
    assert visitor.look(bore)["advice"]["now"]["size"].endswith(" mm")
    assert 'data-unit="in"' in answer["html"]


def test_an_undo_is_a_correction_that_withdraws(visitor: Visitor) -> None:
    bore = until_measured(visitor)
    numbers = visitor.look(bore)["numbers"]
    answer = visitor.done(f"/bores/{bore}/withdraw", {"saw": numbers, "stream": "bore", "number": numbers["bore"]})
    assert answer["recorded"]["event"] == "corrected"
    assert answer["recorded"]["state"] == "cut, not measured"
    assert history(visitor, bore)[-1][2] == "corrected"
    refused = visitor.post(f"/bores/{bore}/withdraw", {"key": "x", "stream": "bore", "number": 1})
    assert (refused.status_code, refused.json()["problem"]) == (409, "out of turn")


def test_a_bore_is_set_aside_and_taken_up_again_by_name(visitor: Visitor) -> None:
    bore = until_measured(visitor)
    nobody = visitor.post(f"/bores/{bore}/quarantine", {"key": "q", "reason": "scored", "by": "  "})
    assert (nobody.status_code, nobody.json()["where"]) == (422, "by")
    aside = visitor.done(f"/bores/{bore}/quarantine", {"reason": "scored", "by": "Ada Quill"})
    assert aside["recorded"]["state"] == "quarantined"
    closed = visitor.post(f"/bores/{bore}/entries", {"key": "c", "entry": READ})
    assert (closed.status_code, closed.json()["problem"]) == (409, "out of turn")
    opened = visitor.done(f"/bores/{bore}/reopen", {"reason": "it was a chip", "by": "Ada Quill"})
    assert opened["recorded"]["state"] == "measured"


def test_a_release_stands_on_the_numbers_in_view(demo: Visitor) -> None:
    look = finish(demo, SEAT)
    shown = {name: look["advice"]["release"][name] for name in ("verdict", "probability", "rule", "size", "expanded")}
    saw = look["numbers"]
    other = {**shown, "size": "46.5170 mm"}
    wrong = demo.post(f"/bores/{SEAT}/release", {"key": "r", "saw": saw, "shown": other, "by": "Ada Quill"})
    assert (wrong.status_code, wrong.json()["where"]) == (422, "size")
    unsigned = demo.post(f"/bores/{SEAT}/release", {"key": "r", "saw": saw, "shown": shown})
    assert (unsigned.status_code, unsigned.json()["where"]) == (422, "by")
    done = demo.done(f"/bores/{SEAT}/release", {"saw": saw, "shown": shown, "by": "Ada Quill"})
    assert done["recorded"]["state"] == "released"


def finish(visitor: Visitor, bore: str) -> dict[str, Any]:
    """Size a bore as the advice says, on the simulated machine behind it, until it can be released."""
    for _ in range(60):
        look = visitor.look(bore)
        wanted = look["wanted"]["order"]
        if wanted["event"] == "released":
            return look
        shown = visitor.post(f"/rehearsals/{bore}/machine", {"action": wanted})
        assert shown.status_code == 200, shown.text
        for entry in shown.json()["entries"]:
            visitor.enter(bore, entry)
    raise AssertionError("It does not come to an end.")


@pytest.mark.parametrize(
    ("field", "text", "understood"),
    [("as_read", "33,281", "33.281 mm"), ("as_read", "1.31028 in", "1.31028 in"), ("lines", "-3.5", "-3.5")],
)
def test_what_is_typed_is_understood_without_being_kept(
    measured: tuple[Visitor, str], field: str, text: str, understood: str
) -> None:
    visitor, bore = measured
    before = visitor.look(bore)
    answer = visitor.post(f"/bores/{bore}/understand", {"field": field, "text": text})
    assert answer.status_code == 200, answer.text
    assert answer.json()["text"] == understood
    assert answer.json()["said"]
    assert visitor.look(bore) == before


def test_a_surprising_value_is_told_before_it_is_kept(visitor: Visitor) -> None:
    bore = until_measured(visitor)
    answer = visitor.post(f"/bores/{bore}/understand", {"field": "as_read", "text": "33.391"})
    assert answer.json()["warnings"]
    slip = visitor.post(f"/bores/{bore}/understand", {"field": "as_read", "text": "16.641"})
    assert slip.status_code == 422
    assert "radius" in slip.json()["right"]


@pytest.mark.parametrize(
    ("path", "body", "status", "where"),
    [
        ("/bores", {"given": GIVEN}, 422, "key"),
        ("/bores", {"key": "k"}, 422, "given"),
        ("/bores", {"key": "k", "given": {**GIVEN, "callout": "33.4 Q7"}}, 422, "callout"),
        ("/bores", {"key": "k", "given": {**GIVEN, "hole": "40"}}, 422, "hole.size"),
        ("/bores", {"key": "k", "given": GIVEN, "becouse": 1}, 422, "becouse"),
        ("/bores", {"key": 7, "given": GIVEN}, 422, "key"),
        ("/bores", {"key": "with a space", "given": GIVEN}, 422, "key"),
        ("/bores/none/entries", {"key": "k", "entry": READ}, 404, "bore"),
        ("/bores/no such/entries", {"key": "k", "entry": READ}, 404, "bore"),
        ("/bores/{bore}/entries", {"key": "k", "entry": {"event": "bored"}}, 422, "event"),
        ("/bores/{bore}/entries", {"key": "k", "entry": {"event": "read"}}, 422, "as_read"),
        ("/bores/{bore}/entries", {"key": "k", "entry": READ, "saw": {"bore": "7"}}, 422, "saw"),
        ("/bores/{bore}/entries", {"key": "k", "entry": READ, "saw": {"head": 7}}, 422, "saw"),
        ("/bores/{bore}/entries", {"key": "k", "entry": READ, "show": "cm"}, 422, "show"),
        ("/bores/{bore}/entries", {"key": "k", "entry": [READ]}, 422, "entry"),
        ("/bores/{bore}/withdraw", {"key": "k", "stream": "bore", "number": "2"}, 422, "number"),
        ("/bores/{bore}/withdraw", {"key": "k", "stream": "hole", "number": 2}, 422, "stream"),
        ("/bores/{bore}/understand", {"field": "depth", "text": "1"}, 422, ""),
        ("/rehearsals", {"key": "k", "kind": "a lathe", "seed": 1}, 422, "kind"),
        ("/rehearsals", {"key": "k", "kind": "titanium", "seed": 0}, 422, "seed"),
        ("/rehearsals", {"key": "k", "kind": "titanium", "seed": "1"}, 422, "seed"),
        ("/rehearsals/{bore}/machine", {"action": "read"}, 404, "bore"),
    ],
)
def test_what_cannot_be_done_is_said(
    measured: tuple[Visitor, str], path: str, body: dict[str, object], status: int, where: str
) -> None:
    visitor, bore = measured
    before = history(visitor, bore)
    answer = visitor.post(path.format(bore=bore), body)
    assert answer.status_code == status, answer.text
    problem = answer.json()
    assert set(problem) >= {"problem", "where", "given", "wrong", "right"}
    assert problem["where"] == where
    assert problem["wrong"].endswith(".")
    assert history(visitor, bore) == before


@pytest.mark.parametrize("event", ["released", "quarantined", "reopened", "corrected"])
def test_what_somebody_signs_is_not_entered_like_a_reading(measured: tuple[Visitor, str], event: str) -> None:
    visitor, bore = measured
    before = history(visitor, bore)
    answer = visitor.post(f"/bores/{bore}/entries", {"key": "k", "entry": {"event": event, "reason": "why not"}})
    assert (answer.status_code, answer.json()["where"]) == (422, "entry.event")
    assert history(visitor, bore) == before


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b'"x"', b"\xff\xfe", b'{"key": NaN}', b'{"key": "a", "key": "b"}', b"[" * 3000, b'{"k": 1e999}'],
)
def test_what_is_no_object_is_refused(visitor: Visitor, body: bytes) -> None:
    headers = {**HEADERS, "Content-Type": "application/json"}
    answer = visitor.client.post("/api/v1/bores", content=body, headers=headers)
    assert answer.status_code == 422
    assert answer.json()["problem"] == "entry"


def test_a_callout_is_understood_with_its_picture(visitor: Visitor) -> None:
    found = visitor.get("/api/v1/callout?text=62+H6").json()
    assert (found["lower"], found["upper"]) == ("62.000 mm", "62.019 mm")
    assert all(picture.startswith("<svg") for picture in found["pictures"].values())
    assert "62.019" in found["html"]
    wrong = visitor.get("/api/v1/callout?text=62+h6")
    assert wrong.status_code == 422
    assert wrong.json()["right"]


def test_a_rehearsal_begins_once_for_one_key_and_apart_from_the_shops_record(visitor: Visitor, folder: Path) -> None:
    body = {"key": "again", "kind": "titanium", "seed": 7}
    assert not (folder / REHEARSALS).exists()
    first = visitor.post("/rehearsals", body).json()
    assert visitor.post("/rehearsals", body).json()["bore"] == first["bore"]
    other = visitor.post("/rehearsals", {**body, "key": "another"}).json()
    assert other["bore"] != first["bore"]
    assert visitor.get("/api/v1/bores").json()["bores"] == []
    assert first["bore"] in visitor.get("/rehearse").text
    assert first["bore"] not in visitor.get("/").text


def test_the_machine_shows_and_keeps_nothing_until_it_is_entered(visitor: Visitor) -> None:
    bore = str(visitor.done("/rehearsals", {"kind": "slide driven by the control", "seed": 3})["bore"])
    before = visitor.look(bore)
    entry = {"event": "hole_checked"}
    shown = [visitor.post(f"/rehearsals/{bore}/machine", {"action": entry}).json() for _ in range(2)]
    assert shown[0] == shown[1]
    assert visitor.look(bore) == before
    visitor.enter(bore, shown[0]["entries"][0])
    early = visitor.post(f"/rehearsals/{bore}/machine", {"action": {"event": "seated"}})
    assert (early.status_code, early.json()["problem"]) == (409, "out of turn")


def test_the_demo_opens_its_bores_once(demo: Visitor) -> None:
    listed = [line["bore"] for line in demo.get("/api/v1/bores").json()["bores"]]
    assert len(listed) == 5
    demo.client.app.state.office.records._open_demo()  # type: ignore[attr-defined]  # a second run of it
    assert [line["bore"] for line in demo.get("/api/v1/bores").json()["bores"]] == listed


def test_the_api_describes_itself(visitor: Visitor) -> None:
    described = visitor.get("/api/v1/openapi.json").json()
    assert "/api/v1/bores/{bore}/entries" in described["paths"]
    assert "://" not in json.dumps(described)
