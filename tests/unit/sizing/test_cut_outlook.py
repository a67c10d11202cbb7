"""The physics of a bore's passes as a plain mapping."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.quantity.say import say_two_digits
from borewright.sizing.cut_outlook import look_at_cut
from borewright.sizing.cut_words import pass_said

CUT: dict[str, object] = {
    "feed": "0.08",
    "nose": "0.4",
    "overhang": "180",
    "bar": {"diameter": "40"},
    "depth_of_bore": "70",
    "wall": "8",
    "finish": "1.6 µm",
    "rated_rpm": "3000",
    "spindle": [{"rpm": "1500", "kw": "11"}, {"rpm": "6000", "kw": "11"}],
}
ASKED: dict[str, object] = {"callout": "62 H6", "unit": "mm", "hole": "61.5", "material": "42CrMo4", "cut": CUT}


def asked(**cut: object) -> dict[str, object]:
    return {**ASKED, "cut": {name: value for name, value in {**CUT, **cut}.items() if value is not None}}


def plain(given: dict[str, object], passes: int | None = None) -> Any:  # noqa: ANN401  # what JSON gives
    return json.loads(json.dumps(look_at_cut(given, passes).plain()))


def test_what_could_lose_the_hole_comes_first() -> None:
    answer = plain(ASKED)
    assert list(answer)[2] == "first"
    assert answer["first"][0]["how_bad"] == "can lose the hole"
    assert answer["first"][0]["pass"] == 2
    for one in answer["passes"]:
        assert list(one)[:2] == ["number", "could_go_wrong"]
        assert {"push_off", "force", "chip", "finish", "edge", "warmth", "minutes", "rougher"} <= one.keys()


def test_the_push_test_is_what_narrows_a_bar() -> None:
    answer = plain(ASKED)
    assert "a push test at the tip" in answer["narrows"]
    tested = plain(asked(bar=None, push_test=[{"load": "50", "gives": "0.007"}, {"load": "100", "gives": "0.0138"}]))
    assert "a push test" not in tested["narrows"]
    assert tested["push_off"]["factor"] < answer["push_off"]["factor"]


def test_parts_make_the_whole() -> None:
    parts = plain(ASKED)["push_off"]["parts"]
    assert sum(part["share"] for part in parts) == pytest.approx(1.0, abs=0.001)


def test_what_was_said_is_not_assumed() -> None:
    silent = {line["what"] for line in plain(ASKED)["assumptions"]}
    spoken = {line["what"] for line in plain(asked(speed="160", edge="cermet", rake="8"))["assumptions"]}
    assert silent - spoken == {"cutting speed", "kind of edge", "rake"}


def test_a_speed_that_nobody_said_is_the_middle_of_the_usual() -> None:
    assert plain(ASKED)["speed"]["m_min"] == 185.0
    assert plain(asked(speed="150"))["speed"]["m_min"] == 150.0


def test_what_a_pass_costs_the_edge_is_said_with_the_force_that_it_then_takes() -> None:
    looked = look_at_cut(ASKED)
    wear = looked.passes[0].wear
    assert wear is not None
    said = dict(pass_said(looked, looked.passes[0]))["time"]
    assert f"adds {say_two_digits(40.0 / wear.passes)} % to the force" in said


def test_the_shops_own_force_is_told_with_its_source() -> None:
    answer = plain(asked(force={"kc": "2400", "exponent": "0.24", "source": "our test of May"}))
    assert answer["material"]["certainty"] == "the shop's own"
    assert "our test of May" in answer["material"]["family"]


def test_measured_finish_feeds_back() -> None:
    rough = asked(measured=[{"ra": "2.4 µm", "feed": "0.08", "nose": "0.4"}] * 3)
    assert plain(rough)["passes"][0]["finish"]["measured"] == 3
    assert plain(rough)["passes"][1]["rougher"] > 0.5 > plain(ASKED)["passes"][1]["rougher"]


def test_passes_are_as_many_as_the_usual_depth_wants_and_two_at_least() -> None:
    assert len(plain(ASKED)["passes"]) == 2
    assert len(plain({**ASKED, "hole": "61.9"})["passes"]) == 2
    assert len(plain({**ASKED, "hole": "60.8"})["passes"]) == 3
    assert len(plain(ASKED, 1)["passes"]) == 1


def test_inches() -> None:
    answer = plain(
        {
            "callout": "1.5000-1.5010",
            "unit": "in",
            "hole": "1.485",
            "material": "6061-T6",
            "cut": {"feed": ".003", "nose": "1/64", "push_test": [{"load": "50", "gives": ".0004"}]},
        }
    )
    assert answer["passes"][0]["aim"].endswith(" in")
    assert answer["passes"][-1]["aim"] == "1.50050 in"


@pytest.mark.parametrize(
    ("given", "where", "wrong", "error"),
    [
        ({**ASKED, "callout": None}, "callout", "The callout is missing.", EntryError),
        ({**ASKED, "callout": "62"}, "callout", "There is no tolerance in it.", EntryError),
        ({**ASKED, "unit": "cm"}, "unit", "That is not one of the choices.", EntryError),
        ({**ASKED, "material": None}, "material", "It is missing.", EntryError),
        ({**ASKED, "material": "oak"}, "material", "No cutting force is held", NotHeldError),
        ({**ASKED, "hole": "62.2"}, "hole", "No stock is left", EntryError),
        (asked(feed="0.5"), "cut.feed", "A nose of 0.4 mm does not allow", EntryError),
        (asked(speed="1900"), "cut.speed", "42CrMo4 is not cut at 1900 m/min", EntryError),
        (asked(finish="0.8"), "cut.finish", "No bore is asked to be that rough", EntryError),
        (asked(finish="32 in"), "cut.finish", "No bore is asked to be that rough", EntryError),
        (asked(bar=None), "cut.push_test", "How the tool gives way is missing", EntryError),
        (asked(measured=[{"ra": "2", "feed": "0.08", "nose": "0.4"}]), "cut.measured", "A measured finish", EntryError),
        (
            asked(spindle=[{"rpm": "3000", "kw": "5"}, {"rpm": "1000", "kw": "5"}]),
            "cut.spindle",
            "A spindle's curve",
            EntryError,
        ),
    ],
)  # fmt: skip
def test_each_bad_input_has_its_message(
    given: dict[str, object], where: str, wrong: str, error: type[BorewrightError]
) -> None:
    with pytest.raises(error) as caught:
        look_at_cut(given)
    assert caught.value.where == where
    assert caught.value.wrong.startswith(wrong)
    assert caught.value.right


def test_push_off_that_makes_the_hole_larger_is_said_without_a_sign() -> None:
    spread = {"bar": None, "overhang": "120", "push_test": [{"load": "100", "gives": "0.009"}]}
    deep = look_at_cut({**asked(**spread), "callout": "200 H7", "hole": "190"})
    said = dict(pass_said(deep, deep.passes[0]))["push-off"]
    assert deep.passes[0].push_off < 0.0
    assert "larger than set" in said
    assert "minus" not in said
    open_sign = replace(deep.passes[0], push_off=0.002, low=-0.004, high=0.011)
    assert dict(pass_said(deep, open_sign))["push-off"] == (
        "comes out 2 µm smaller than set; 4 µm larger to 11 µm smaller 95 times in 100"
    )
