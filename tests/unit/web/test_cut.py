"""The Cut page, and the physics beside the plans of a bore."""

from __future__ import annotations

import re
from urllib.parse import urlencode

import pytest

from borewright.errors import EntryError
from borewright.sizing.cut_outlook import look_at_cut
from borewright.web.cut import FIELDS, asked_cut, passes_asked
from tests.unit.web.visitor import Visitor

ASKED = {
    "callout": "62 H6",
    "unit": "mm",
    "hole": "61.5",
    "material": "42CrMo4",
    "feed": "0.08",
    "nose": "0.4",
    "bar": "40",
    "overhang": "180",
    "length": "70",
    "wall": "8",
    "finish": "1.6 µm",
}


def address(**fields: str) -> str:
    return f"/cut?{urlencode({**ASKED, **fields})}"


def test_the_form_stands_alone_until_something_is_asked(visitor: Visitor) -> None:
    page = visitor.get("/cut")
    assert page.status_code == 200
    assert all(f'name="{name}"' in page.text for name in (*FIELDS, "passes"))
    assert "What it rests on" not in page.text


def test_what_could_go_wrong_stands_before_every_figure(visitor: Visitor) -> None:
    page = visitor.get(address())
    assert page.status_code == 200
    text = page.text
    assert text.index("Can lose the hole") < text.index("<dt>push-off</dt>") < text.index("What it rests on")
    assert "Cut and measure a pass before it" in text
    assert text.count("<dt>force</dt>") == 2
    assert 'class="cut"' in text
    assert 'value="42CrMo4"' in text


def test_passes_and_unit_may_be_chosen(visitor: Visitor) -> None:
    assert visitor.get(address(passes="3")).text.count("<dt>force</dt>") == 3
    inch = visitor.get(f"/cut?{urlencode({'callout': '1.5000-1.5010', 'unit': 'in', 'hole': '1.485', **TOOL})}")
    assert "ft/min" in inch.text


TOOL = {"material": "6061-T6", "feed": ".003", "nose": "1/64", "load": "50", "gives": ".0004"}


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"feed": "0.5"}, "does not allow this feed"),
        ({"material": "oak"}, "No cutting force is held"),
        ({"material": ""}, "material"),
        ({"bar": ""}, "How the tool gives way is missing"),
        ({"load": "100"}, "gives"),
        ({"speed": "2800"}, "rpm or feet a minute"),
        ({"speed": "2800 rpm"}, "Revolutions are no cutting speed"),
        ({"speed": "5 knots"}, "no unit of a cutting speed"),
        ({"unit": "in", "callout": "1.5000-1.5010", "hole": "61.5"}, "No stock is left"),
        ({"angle": "120"}, "That is above 110"),
        ({"wiper": "3"}, "flat is not that long"),
        ({"load": "100", "gives": "0.01", "at": "80", "load2": "100", "gives2": "0.012"}, "at two overhangs"),
        ({"load": "100", "gives": "2.5"}, "100 N give less than 1.0000 mm"),
        ({"passes": "2.5"}, "whole number"),
        ({"passes": "9"}, "above 6"),
        ({"callout": "62"}, "no tolerance"),
    ],
)
def test_each_bad_entry_is_told_and_keeps_what_was_typed(visitor: Visitor, fields: dict[str, str], says: str) -> None:
    page = visitor.get(address(**fields))
    assert page.status_code == 422
    assert says in page.text
    assert 'value="61.5"' in page.text


def test_empty_fields_are_left_out() -> None:
    assert asked_cut({"callout": " 62 H6 ", "feed": "", "load": "100", "gives": "0.01", "bar": " ", "taper": "x"}) == {
        "callout": "62 H6",
        "cut": {"push_test": [{"load": "100", "gives": "0.01", "overhang": None}]},
    }
    second = {"load": "100", "gives": "0.01", "at": "80", "load2": "100", "gives2": "0.02", "at2": "140"}
    assert asked_cut(second)["cut"] == {
        "push_test": [
            {"load": "100", "gives": "0.01", "overhang": "80"},
            {"load": "100", "gives": "0.02", "overhang": "140"},
        ]
    }
    assert passes_asked(" ") is None
    assert passes_asked("3") == 3
    with pytest.raises(EntryError):
        passes_asked("0")


def test_speed_in_feet_two_overhangs_edge_angle_and_wiper_are_taken(visitor: Visitor) -> None:
    pushed = {"load": "200", "gives": "0.0079", "at": "100", "load2": "200", "gives2": "0.0277", "at2": "180"}
    page = visitor.get(address(speed="600 sfm", angle="75", wiper="0.5", **pushed))
    assert page.status_code == 200
    assert "push tests at two overhangs" in page.text
    assert "edge angle" not in page.text.partition("What it rests on")[2].partition("<form")[0]
    assert 'value="600 sfm"' in page.text
    short = visitor.get(address(wiper="0.05")).text
    assert "is shorter than the feed: it wipes nothing" in short
    inch = visitor.get(address(unit="in", callout="1.5000-1.5010", hole="1.485", feed=".02", nose="1/64", wiper=""))
    assert "A nose of 0.015625 in does not allow this feed" in inch.text
    assert "Feed at most 0.00781 in a turn" in inch.text


def test_a_spindle_and_a_finish_of_before_are_taken(visitor: Visitor) -> None:
    page = visitor.get(address(spindle="2000 rpm 0.4 kW; 4000 rpm 0.4 kW", measured="2.6 µm"))
    assert page.status_code == 200
    assert "the spindle has 0.19 kW and 1.9 N m at 950 rpm" in page.text
    wrong = visitor.get(address(spindle="2000 rpm 5 hp x"))
    assert wrong.status_code == 422
    assert "A point of a spindle&#39;s curve is a speed and the power there." in wrong.text
    assert "of another unit or another tool" in visitor.get(address(measured="2")).text


OWN = {"kc": "2400", "exponent": "0.24", "source": "dynamometer, May trial", "certainty": "measured"}


def test_the_shops_own_force_is_kept_shown_and_goes_into_looks_and_openings(visitor: Visitor) -> None:
    assert "the tables hold" in visitor.get("/cut").text
    kept = visitor.post("/materials", {"material": "4140", "given": OWN, "by": "I. Thorne"})
    assert kept.status_code == 200
    assert kept.json()["kept"]["material"] == "42CrMo4"
    assert visitor.get("/api/v1/materials").json()["kept"][0]["by"] == "I. Thorne"
    page = visitor.get(address())
    assert page.text.count("the shop&#39;s own: dynamometer, May trial; measured on metal; entered by I. Thorne") == 2
    cut = {"feed": "0.08", "nose": "0.4", "push_test": [{"load": "100", "gives": "0.012"}]}
    bore = visitor.open(material="42CrMo4", cut=cut)
    assert "dynamometer, May trial" in visitor.get(f"/bores/{bore}/passes").text
    assert visitor.post("/materials/forget", {"material": "42CrMo4", "by": "I. Thorne"}).status_code == 200
    assert "the tables hold" in visitor.get("/cut").text
    assert "dynamometer, May trial" in visitor.get(f"/bores/{bore}/passes").text


@pytest.mark.parametrize(
    ("material", "given", "by", "where"),
    [
        ("42CrMo4", {"kc": "2400", "source": "x", "certainty": "read"}, "I. Thorne", "exponent"),
        ("42CrMo4", {"exponent": "0.2", "source": "x", "certainty": "read"}, "I. Thorne", "kc"),
        ("42CrMo4", {**OWN, "certainty": "guessed"}, "I. Thorne", "certainty"),
        ("42CrMo4", {**OWN, "on": "2020-01-01"}, "I. Thorne", "on"),
        ("42CrMo4", OWN, None, "by"),
        ("steel", OWN, "I. Thorne", "material"),
    ],
)
def test_what_cannot_be_kept_of_a_material_says_why(
    visitor: Visitor, material: str, given: dict[str, str], by: str | None, where: str
) -> None:
    refused = visitor.post("/materials", {"material": material, "given": given, "by": by})
    assert refused.status_code == 422
    assert refused.json()["where"] == where


def test_the_outlook_is_told_over_http_as_the_terminal_tells_it(visitor: Visitor) -> None:
    given = {**asked_cut(ASKED), "unit": "mm"}
    found = visitor.post("/cut", {"given": given, "passes": 3})
    assert found.status_code == 200
    assert found.json() == look_at_cut(given, 3).plain()
    assert visitor.post("/cut", {"given": given, "show": "in"}).json()["passes"][0]["aim"].endswith(" in")
    assert visitor.post("/cut", {"given": {**given, "material": "oak"}}).json()["where"] == "material"
    assert visitor.post("/cut", {"given": given, "passes": 9}).status_code == 422


def test_a_bore_opened_by_its_cut_has_it_beside_its_plans(visitor: Visitor) -> None:
    cut = {"feed": "0.08", "nose": "0.4", "push_test": [{"load": "100", "gives": "0.012"}]}
    with_cut = visitor.open(material="42CrMo4", cut=cut)
    without = visitor.open(name="lower eye")
    assert "What it rests on" in visitor.get(f"/bores/{with_cut}/passes").text
    assert " in" in visitor.get(f"/bores/{with_cut}/passes?show=in").text
    assert "What it rests on" not in visitor.get(f"/bores/{without}/passes").text


def test_measured_passes_stand_against_physics_on_the_page_and_over_http(visitor: Visitor) -> None:
    cut = {"feed": "0.08", "nose": "0.4", "push_test": [{"load": "100", "gives": "0.012"}]}
    bore = visitor.open(hole="33.0", material="42CrMo4", cut=cut)
    assert "Push-off, measured against physics" not in visitor.get(f"/bores/{bore}/passes").text
    for entry in (
        {"event": "set", "diameter": "33.200"},
        {"event": "seated"},
        {"event": "passed"},
        {"event": "read", "as_read": "33.190"},
    ):
        visitor.enter(bore, entry)
    page = visitor.get(f"/bores/{bore}/passes").text
    assert "Push-off, measured against physics" in page
    assert "Pass 1 took 0.19" in page
    assert "These are the passes of the plan that is advised" in page
    found = visitor.get(f"/api/v1/bores/{bore}/cut").json()["cut"]
    assert found["taught"][0]["pass"] == 1
    assert found["left"]["passes"][0]["number"] == 2
    without = visitor.open(name="lower eye")
    assert visitor.get(f"/api/v1/bores/{without}/cut").json()["cut"] is None
    assert visitor.get("/api/v1/bores/nobody/cut").status_code == 404


@pytest.mark.parametrize(
    ("fields", "name"),
    [
        ({"material": "oak"}, "material"),
        ({"feed": "0.5"}, "feed"),
        ({"bar": ""}, "load"),
        ({"load": "100"}, "gives"),
        ({"overhang": ""}, "overhang"),
        ({"speed": "2800"}, "speed"),
        ({"passes": "9"}, "passes"),
        ({"callout": "62"}, "callout"),
        ({"hole": "62.2"}, "hole"),
        ({"taper": "steep 7"}, "taper"),
    ],
)
def test_an_error_stands_beside_its_field_and_asks_for_none_that_is_not_there(
    visitor: Visitor, fields: dict[str, str], name: str
) -> None:
    text = visitor.get(address(**fields)).text
    assert text.count('role="alert"') == 1
    beside = text.split(f'id="c-{name}"')[1].split("</p>")[0]
    assert 'class="problem" role="alert"' in beside
    told = beside.split('role="alert">')[1].split("<")[0]
    assert not {"kc", "exponent", "push_test"} & set(told.replace(",", " ").split())


def test_the_empty_form_begins_with_what_could_lose_the_hole_and_takes_nothing_as_known(visitor: Visitor) -> None:
    text = visitor.get("/cut").text
    order = [text.index(f'name="{name}"') for name in ("hole", "callout", "load", "bar", "nose", "feed", "speed")]
    assert order == sorted(order)
    assert ">steep 40</option>" in text
    assert '<option value="">not said: counts as steep 40</option>' in text
    assert " selected" not in text


def test_risk_size_and_finish_stand_open_and_the_force_is_folded(visitor: Visitor) -> None:
    text = visitor.get(address()).text
    one = text.split('aria-label="Pass by pass"')[1].split("</details>")[0]
    shown, folded = one.split('<details class="fold">')
    assert all(f"<dt>{label}</dt>" in shown for label in ("set", "push-off", "over size", "finish"))
    assert all(f"<dt>{label}</dt>" in folded for label in ("force", "chip", "power"))
    assert not any(f"<dt>{label}</dt>" in shown for label in ("force", "chip", "power"))


def test_a_later_setting_is_none_yet_and_one_above_the_limit_leans(visitor: Visitor) -> None:
    said = re.findall(r"<dt>set</dt><dd>([^<]*)", visitor.get(address()).text)
    assert len(said) == 2
    assert re.match(r"61\.\d{4} mm, ", said[0])
    assert re.match(r"after pass 1 is read; about 62\.02\d\d mm; above the upper limit: leans on push-off", said[1])


def test_a_slender_bar_and_a_speed_without_a_rating_stand_out(visitor: Visitor) -> None:
    text = visitor.get(address()).text
    assert "Bar stands out 4.5 times its diameter: it may chatter; chatter is not checked here." in text
    assert "Rated speed of the tool not given: check it before 950 rpm." in text
    stout = visitor.get(address(overhang="150", rated="4000")).text
    assert "times its diameter" not in stout
    assert "Rated speed" not in stout
