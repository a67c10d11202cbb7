"""Who is let in, and what every answer carries; each refusal shown to bite, and to store nothing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from borewright.web import guard
from borewright.web.app import create_app
from tests.unit.web.visitor import GIVEN, HEADERS, OWN, SEAT, Visitor

BODY = json.dumps({"key": "k", "given": GIVEN})
ELSEWHERE = OWN.replace("127.0.0.1:8137", "evil.example")
JSON = {"Content-Type": "application/json"}
GOOD = {**HEADERS, **JSON}


def bores(visitor: Visitor) -> list[object]:
    found: list[object] = visitor.get("/api/v1/bores").json()["bores"]
    return found


def without(name: str) -> dict[str, str]:
    return {key: value for key, value in GOOD.items() if key != name}


def test_a_page_of_ours_may_write(visitor: Visitor) -> None:
    assert visitor.client.post("/api/v1/bores", content=BODY, headers=GOOD).status_code == 200
    assert len(bores(visitor)) == 1


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        pytest.param({**GOOD, "Host": "borewright.example:8137"}, 421, id="another name that means this machine"),
        pytest.param({**GOOD, "Host": "127.0.0.1.example"}, 421, id="a name that begins like ours"),
        pytest.param({**GOOD, "Host": "192.168.1.20:8137"}, 421, id="this machine's address for others"),
        pytest.param({**GOOD, "Host": ""}, 421, id="no name at all"),
        pytest.param({**GOOD, "Sec-Fetch-Site": "cross-site"}, 403, id="another site"),
        pytest.param({**GOOD, "Sec-Fetch-Site": "same-site"}, 403, id="another port of this machine"),
        pytest.param({**GOOD, "Sec-Fetch-Site": "none"}, 403, id="typed, which no page does"),
        pytest.param({**GOOD, "Origin": ELSEWHERE}, 403, id="another origin"),
        pytest.param({**GOOD, "Origin": "http://127.0.0.1:9999"}, 403, id="another port's origin"),
        pytest.param({**GOOD, "Origin": "null"}, 403, id="an origin that hides"),
        pytest.param({**without("Sec-Fetch-Site"), "Origin": "null"}, 403, id="an old browser's hidden origin"),
        pytest.param({"X-Borewright": "1", **JSON}, 403, id="nobody says from where"),
        pytest.param(without("X-Borewright"), 403, id="our header missing"),
        pytest.param({**GOOD, "X-Borewright": "yes"}, 403, id="our header with another value"),
        pytest.param(without("Content-Type"), 415, id="no kind"),
        pytest.param({**GOOD, "Content-Type": "text/plain"}, 415, id="plain text, as a form can send it"),
        pytest.param({**GOOD, "Content-Type": "application/x-www-form-urlencoded"}, 415, id="a form"),
        pytest.param({**GOOD, "Content-Type": "multipart/form-data; boundary=x"}, 415, id="a form with files"),
    ],
)
def test_what_may_not_write_is_refused_and_stores_nothing(
    visitor: Visitor, headers: dict[str, str], status: int
) -> None:
    answer = visitor.client.post("/api/v1/bores", content=BODY.encode(), headers=headers)
    assert answer.status_code == status
    assert answer.json()["problem"] == "refused"
    assert answer.json()["wrong"]
    assert answer.json()["right"]
    assert not bores(visitor)


def test_a_form_that_another_page_sends_is_refused(visitor: Visitor) -> None:
    headers = {"Origin": ELSEWHERE, "Sec-Fetch-Site": "cross-site"}
    answer = visitor.client.post("/api/v1/bores", data={"key": "k", "given": "{}"}, headers=headers)
    assert answer.status_code == 403
    assert not bores(visitor)


def test_two_names_at_once_are_refused(visitor: Visitor) -> None:
    headers = [("Host", "127.0.0.1:8137"), ("Host", "evil.example")]
    assert visitor.client.get("/", headers=headers).status_code == 421


@pytest.mark.parametrize("origin", ["http://127.0.0.1:8137", "http://localhost:8137", "http://[::1]:8137"])
def test_every_own_name_may_write_from_its_own_origin(visitor: Visitor, origin: str) -> None:
    headers = {**GOOD, "Host": origin.partition("//")[2], "Origin": origin}
    assert visitor.client.post("/api/v1/bores", content=BODY, headers=headers).status_code == 200


def test_one_own_name_may_not_write_from_another(visitor: Visitor) -> None:
    headers = {**GOOD, "Host": "localhost:8137", "Origin": "http://127.0.0.1:8137"}
    assert visitor.client.post("/api/v1/bores", content=BODY, headers=headers).status_code == 403


@pytest.mark.parametrize("missing", ["Sec-Fetch-Site", "Origin"])
def test_one_word_of_where_it_comes_from_is_enough(visitor: Visitor, missing: str) -> None:
    assert visitor.client.post("/api/v1/bores", content=BODY, headers=without(missing)).status_code == 200


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "BORE"])
def test_other_methods_do_nothing(visitor: Visitor, method: str) -> None:
    answer = visitor.client.request(method, "/api/v1/bores", content=BODY, headers=GOOD)
    assert answer.status_code == 405
    assert "access-control-allow-origin" not in answer.headers


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
@pytest.mark.parametrize("path", ["/api/v1/bores", "/api/v1/live", "/", "/static/app.js"])
def test_other_sites_read_nothing(visitor: Visitor, site: str, path: str) -> None:
    answer = visitor.get(path, **{"Sec-Fetch-Site": site, "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"})
    assert answer.status_code == 403


def test_no_page_is_shown_inside_another_site(visitor: Visitor) -> None:
    framed = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}
    assert visitor.get("/", **framed).status_code == 403


def test_a_link_from_elsewhere_leads_to_a_page_but_not_into_the_api(visitor: Visitor) -> None:
    followed = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}
    assert visitor.get("/", **followed).status_code == 200
    assert visitor.get("/api/v1/bores", **followed).status_code == 403


def test_a_long_body_is_refused_whether_it_says_so_or_not(visitor: Visitor) -> None:
    long = json.dumps({"key": "k", "given": {**GIVEN, "name": "x" * guard.MOST_BODY}}).encode()

    def in_pieces() -> Iterator[bytes]:
        yield from (long[start : start + 4096] for start in range(0, len(long), 4096))

    assert visitor.client.post("/api/v1/bores", content=long, headers=GOOD).status_code == 413
    assert visitor.client.post("/api/v1/bores", content=in_pieces(), headers=GOOD).status_code == 413
    assert not bores(visitor)


def test_every_answer_carries_the_policy_and_no_cookie(demo: Visitor) -> None:
    answers = [
        demo.get("/"),
        demo.get(f"/bores/{SEAT}"),
        demo.get("/api/v1/bores"),
        demo.get("/bores/none"),
        demo.get("/nothing/here"),
        demo.get("/static/nothing.js"),
        demo.get("/", Host="evil.example"),
        demo.post("/bores", {"key": "k", "given": {}}),
        demo.client.put("/"),
    ]
    assert [answer.status_code for answer in answers] == [200, 200, 200, 404, 404, 404, 421, 422, 405]
    for answer in answers:
        assert answer.headers["content-security-policy"] == guard.POLICY
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert "set-cookie" not in answer.headers
        assert "access-control-allow-origin" not in answer.headers
        if not str(answer.url.path).startswith("/static/"):
            assert answer.headers["cache-control"] == "no-store"


def test_the_policy_lets_nothing_in_from_elsewhere_and_nothing_written_into_a_page() -> None:
    allowed = {rule.split()[0]: rule.split()[1:] for rule in guard.POLICY.split("; ")}
    assert allowed["default-src"] == ["'none'"]
    assert all(sources in (["'self'"], ["'none'"]) for sources in allowed.values())
    assert {"frame-ancestors", "base-uri", "form-action"} <= set(allowed)


@pytest.mark.parametrize("path", ["/bores/x", "/api/v1/bores/x"])
def test_a_fault_of_the_program_is_told_without_a_traceback(
    folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, path: str
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    app = create_app(folder, demo=False)

    def broken(_: object) -> None:
        raise ZeroDivisionError("secret inside")

    monkeypatch.setattr(app.state.office.records, "stand", broken)
    with TestClient(app, base_url=OWN) as client:
        answer = client.get(path)
    assert answer.status_code == 500
    assert answer.json()["problem"] == "fault"
    assert answer.headers["content-security-policy"] == guard.POLICY
    assert "Traceback" not in answer.text
    assert "secret" not in answer.text
    kept = [file.read_text(encoding="utf-8") for file in tmp_path.glob("borewright-fault-*.txt")]
    assert len(kept) == 1
    assert "ZeroDivisionError: secret inside" in kept[0]
