"""Where a reading is taken, one tap away: what is offered, what comes next, and what is drawn."""

from __future__ import annotations

from borewright.sizing.bore import Bore
from borewright.web.where import Option, WhereView, where_of
from tests.unit.sizing.plain import Entry, bore, setting, temperature

PASS: Entry = {"event": "passed"}


def read(size: str = "40.000 mm", **more: object) -> Entry:
    return {"event": "read", "as_read": size, **more}


def at(depth: str, direction: str) -> Entry:
    return read(place={"depth": depth, "direction_deg": direction})


def measured(*entries: Entry, **changed: object) -> Bore:
    return bore(*setting(40.02), PASS, temperature(20.0), *entries, deep="30 mm", **changed)


def seen(worked: Bore) -> WhereView:
    view = where_of(worked, "mm")
    assert view is not None
    return view


def chosen(options: tuple[Option, ...]) -> list[str]:
    return [option.value for option in options if option.checked]


def test_it_is_folded_and_says_nothing_until_somebody_does() -> None:
    view = seen(measured())
    assert not view.open
    assert [option.value for option in view.depths] == ["", "3.0 mm", "15.0 mm", "27.0 mm"]
    assert chosen(view.depths) == chosen(view.directions) == chosen(view.held) == [""]
    assert view.note == ""
    assert view.picture.startswith("<svg")


def test_the_next_place_is_offered_once_one_was_said() -> None:
    view = seen(measured(at("3.0 mm", "0")))
    assert view.open
    assert (chosen(view.depths), chosen(view.directions)) == (["3.0 mm"], ["90"])
    view = seen(measured(at("3.0 mm", "0"), at("3.0 mm", "90"), at("15 mm", "180")))
    assert (chosen(view.depths), chosen(view.directions)) == (["15.0 mm"], ["90"])


def test_after_the_last_place_nothing_is_offered() -> None:
    places = [at(depth, direction) for depth in ("3 mm", "15 mm", "27 mm") for direction in ("0", "90")]
    view = seen(measured(*places))
    assert view.open
    assert chosen(view.depths) == chosen(view.directions) == [""]


def test_a_reading_without_its_place_leaves_it_at_that() -> None:
    assert chosen(seen(measured(at("3 mm", "0"), read())).depths) == [""]


def test_how_the_part_is_held_is_kept_from_the_reading_before() -> None:
    view = seen(measured(read(state="free")))
    assert view.open
    assert chosen(view.held) == ["free"]


def test_a_depth_that_nobody_gave_is_said() -> None:
    assert "as deep as it is wide" in seen(bore(*setting(40.02), PASS)).note


def test_inches_are_offered_in_inches() -> None:
    view = where_of(measured(at("0.12 in", "0")), "in")
    assert view is not None
    assert [option.value for option in view.depths] == ["", "0.12 in", "0.59 in", "1.06 in"]
    assert chosen(view.directions) == ["90"]


def test_a_land_is_one_place() -> None:
    assert where_of(bore(*setting(40.02), {"event": "passed", "depth": "trial"}), "mm") is None
