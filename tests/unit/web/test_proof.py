"""The page that proves an adjuster: one number at a time through the API, and the entry that keeps it."""

from __future__ import annotations

from typing import Any

from borewright.sizing.adjuster_proof import places
from tests.unit.sizing.proved_slides import adjuster
from tests.unit.web.visitor import Visitor

RADII = [0.15, 0.1515, 0.007] * 5 + [0.0, 0.001, 0.002, 0.003, 0.004, 0.005]
SHOWN = [{"at": at, "shown": f"{radius:+.4f}"} for at, radius in zip(places(adjuster()), RADII, strict=True)]


def looked(visitor: Visitor, bore: str, shown: list[dict[str, str]], **more: object) -> Any:  # noqa: ANN401
    return visitor.post(f"/bores/{bore}/proof", {"step": "0.0005", "shown": shown, **more})


def test_it_asks_for_the_indicator_first(visitor: Visitor) -> None:
    page = visitor.get(f"/bores/{visitor.open()}/prove")
    assert page.status_code == 200
    assert 'data-field="step"' in page.text
    assert "Stop the spindle and lock it out" in page.text


def test_it_leads_from_reading_to_reading(visitor: Visitor) -> None:
    bore = visitor.open()
    first = looked(visitor, bore, []).json()
    assert (first["done"], first["of"], first["next"]["at"]) == (0, 21, "opened")
    assert "open 150 lines" in first["next"]["do"]
    second = looked(visitor, bore, SHOWN[:1]).json()
    assert second["next"]["do"] == "Lock it as you always do."
    assert "Reading 2 of 21" in second["html"]
    assert 'data-with="{&#34;at&#34;:&#34;locked&#34;}"' in second["html"]


def test_a_reading_that_cannot_be_is_refused_and_nothing_is_recorded(visitor: Visitor) -> None:
    bore = visitor.open()
    before = visitor.look(bore)["numbers"]
    refused = looked(visitor, bore, [{"at": "opened", "shown": "-0.15"}])
    assert refused.status_code == 422
    assert refused.json()["where"] == "readings.shown[0].shown"
    assert "plus where the tip moves outward" in refused.json()["right"]
    assert looked(visitor, bore, [{"at": "opened", "shown": "much"}]).status_code == 422
    inch = looked(visitor, bore, [*SHOWN[:2], {"at": "back", "shown": "-0.007 in"}]).json()["wrong"]
    assert inch == "-0.007 in is -0.178 mm. Did you mean mm? It is closed further than it was opened."
    assert visitor.post(f"/bores/{bore}/proof", {"step": "", "shown": []}).status_code == 422
    assert visitor.look(bore)["numbers"] == before


def test_what_is_found_is_kept_with_its_readings(visitor: Visitor) -> None:
    bore = visitor.open()
    done = looked(visitor, bore, SHOWN).json()
    assert "next" not in done
    assert [row["what"] for row in done["found"]][:2] == ["a line, on the diameter", "backlash"]
    assert "data-keep-proof" in done["html"]
    back = "The tool now stands 5 lines open of where you began: close past the backlash, come up to your starting line"
    assert f"{back}, lock." in done["html"]
    assert done["left"].startswith(back)
    assert back in looked(visitor, bore, SHOWN[:-1]).json()["next"]["do"], "said with the last instruction too"
    assert "0.002 mm" not in done["html"].split("What it showed")[0], "no digit more or less than its width leaves"
    assert "% less than told, ± " in done["html"] or "% more than told, ± " in done["html"]
    kept = visitor.enter(bore, done["entry"])
    assert kept["recorded"]["event"] == "proved"
    assert len(kept["recorded"]["understood"]["readings"]["shown"]) == 21


def test_figures_of_the_other_measure_are_said_and_not_kept(visitor: Visitor) -> None:
    bore = visitor.open()
    doubled = [{"at": one["at"], "shown": f"{2.0 * float(one['shown']):+.4f}"} for one in SHOWN]
    found = looked(visitor, bore, doubled).json()
    assert "entry" not in found
    assert "speak of the radius" in found["say"]
    assert "data-keep-proof" not in found["html"]
