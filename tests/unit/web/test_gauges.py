"""The Gauges page and its acts over HTTP."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tests.unit.cli.test_gauges import CUT
from tests.unit.shop.test_acts import GIVEN
from tests.unit.web.visitor import Visitor

PAPER = {"event": "certified", "size": "53.1502 mm", "expanded": "0.8 µm", "due": "2020-03-01", "report": "R-17"}


def act(visitor: Visitor, gauge: str, entry: Mapping[str, object], **more: object) -> dict[str, Any]:
    return visitor.done(f"/gauges/{gauge}/entries", {"entry": entry, **more})


def test_with_nothing_on_record_the_page_says_how_to_begin(visitor: Visitor) -> None:
    page = visitor.get("/gauges").text
    assert "No gauge is on record yet" in page
    assert "No ring is on record yet" in page
    assert visitor.get("/api/v1/gauges").json() == {"gauges": []}


def test_a_gauge_is_set_on_a_ring_of_the_list(visitor: Visitor) -> None:
    act(visitor, "ring-53", PAPER, number=0)
    act(visitor, "gauge-2", {"event": "described", "instrument": "dial bore gauge", "needle": "minus"})
    answer = act(visitor, "gauge-2", {"event": "set_on", "master": "ring-53", "celsius": "20.5"}, number=1)
    assert "was due on 2020-03-01" in answer["recorded"]["warnings"][0]
    page = visitor.get("/part/gauges").text
    assert 'value="ring-53"' in page
    assert "overdue" in page
    assert "Checked on its ring again" in page
    (ring, gauge) = visitor.get("/api/v1/gauges").json()["gauges"]
    assert (ring["gauge"], ring["standing"], ring["due"]) == ("ring-53", "overdue", "2020-03-01")
    assert (gauge["gauge"], gauge["set_on"], gauge["standing"]) == ("gauge-2", "ring-53", "overdue")


def test_whatever_was_said_of_a_gauge_stands_on_its_page(visitor: Visitor) -> None:
    said = {"instrument": "dial bore gauge", "needle": "minus", "step": "1 µm", "travel": "0.5 mm"}
    act(visitor, "gauge-2", {"event": "described", **said})
    page = visitor.get("/part/gauges").text
    for label, value in (("smallest step", "0.001 mm"), ("goes either way of its zero", "0.5 mm")):
        assert f"<dt>{label}</dt><dd>{value}</dd>" in page
    assert "<dt>a larger hole shows</dt><dd>minus</dd>" in page


def test_the_page_that_starts_a_bore_offers_gauges_and_tools_that_were_named(visitor: Visitor) -> None:
    act(visitor, "ring-53", PAPER)
    act(visitor, "gauge-2", {"event": "set_on", "master": "ring-53"})
    visitor.done("/bores", {"given": GIVEN})
    visitor.done("/bores", {"given": {name: GIVEN[name] for name in GIVEN if name not in {"tool", "gauge_id"}}})
    page = visitor.get("/start").text
    assert '<datalist id="gauges"><option value="gauge-2"></option></datalist>' in page
    assert '<datalist id="tools"><option value="head-4"></option></datalist>' in page


def test_a_recheck_says_which_bores_it_touches(visitor: Visitor) -> None:
    act(visitor, "ring-53", PAPER)
    act(visitor, "gauge-2", {"event": "set_on", "master": "ring-53"})
    bore = str(visitor.done("/bores", {"given": GIVEN})["bore"])
    for entry in CUT:
        visitor.enter(bore, entry)
    answer = act(visitor, "gauge-2", {"event": "rechecked", "master": "ring-53", "as_read": "53.170 mm"})
    assert answer["recorded"]["moved"] is True
    assert bore in answer["said"]
    assert "the setting has moved" in answer["said"]


def test_what_cannot_be_is_refused_with_its_field(visitor: Visitor) -> None:
    refused = visitor.post("/gauges/ring-53/entries", {"key": "k", "entry": {**PAPER, "expanded": "0.8 mm"}})
    assert refused.status_code == 422
    assert refused.json()["where"] == "expanded"
    stale = visitor.post("/gauges/ring-53/entries", {"key": "k", "entry": PAPER, "number": 4})
    assert stale.status_code == 409


def test_a_study_is_worked_out_on_the_page(visitor: Visitor) -> None:
    rows = [f"{part},{who},{0.01 * part + 0.001 * trial}" for part in range(1, 6) for who in "AB" for trial in (1, 2)]
    text = "\n".join(["part,who,reading", *rows])
    answer = visitor.post("/studies", {"text": text, "unit": "mm", "tolerance": "19 µm"})
    assert answer.status_code == 200, answer.text
    said = answer.json()
    assert "Average and range" in said["html"]
    assert "B alone" in said["html"]
    assert "tolerance of 19 µm" in said["what_to_do"]
    assert said["recorded"] is False
    assert visitor.get("/api/v1/gauges").json() == {"gauges": []}
    kept = visitor.done("/studies", {"text": text, "unit": "mm", "gauge": "gauge-2"})
    assert kept["recorded"] is True
    assert "The study by part and by person" in kept["html"]
    assert visitor.get("/api/v1/gauges").json()["gauges"][0]["scatter"] == said["scatter"]
    assert visitor.post("/studies", {"text": "part,who\n1,A"}).status_code == 422
    assert visitor.post("/studies", {"unit": "mm"}).status_code == 422


def test_a_rule_is_decided_on_the_page(visitor: Visitor) -> None:
    assert "Not decided yet" in visitor.get("/gauges").text
    assert visitor.post("/rule", {"name": "simple", "ratio": "10"}).json() == {
        "rule": "simple acceptance, measurement capable 10:1"
    }
    assert "simple acceptance, measurement capable 10:1" in visitor.get("/part/gauges").text
    assert "as the shop decided: simple acceptance, measurement capable 10:1" in visitor.get("/start").text
    assert visitor.post("/rule", {"name": "guarded", "bands": "1.5"}).json() == {"rule": "guarded by 1.5 U"}
    assert visitor.post("/rule", {"name": "guess"}).status_code == 422


def test_too_narrow_a_tolerance_is_said_before_cutting(visitor: Visitor) -> None:
    asked = "/api/v1/callout?text=62+±0.004&unit=mm"
    assert visitor.get(asked).json()["narrow"] == []
    (said,) = visitor.get(f"{asked}&step=0.01").json()["narrow"]
    assert said.startswith("No reading of this gauge can show a bore in")
    assert said in visitor.get(f"{asked}&step=0.01").json()["html"]
    assert visitor.get(f"{asked}&step=0.0005&scatter=0.0005&bias=0.0005").json()["narrow"] == []
    assert visitor.get(f"{asked}&step=0.0005&scatter=0.0005&bias=0.0005&rule=simple").json()["narrow"] != []
    described = {"event": "described", "instrument": "dial bore gauge", "step": "10 µm"}
    visitor.done("/gauges/bore-gauge-2/entries", {"entry": described})
    (said,) = visitor.get(asked).json()["narrow"]
    assert said.startswith("bore-gauge-2: No reading of this gauge")
    page = visitor.get("/callout?text=62+±0.004&unit=mm").text
    assert said in page
    assert "to be shown in by proof at 95 %" in page
