"""What waiting buys, on the page: from what is on record, in words."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest

from borewright.gauging.soak import soak_clock
from borewright.shop.kept import Kept, kept_events
from borewright.sizing.bore import Bore
from borewright.web.soaking import SoakView, soak_of
from tests.unit.sizing.plain import Entry, bore, setting

BEGIN = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
WARM: dict[str, object] = {
    "callout": "120 ±0.011 mm",
    "hole": {"size": "119.4 mm", "within": "0.016 mm"},
    "material": "aluminium",
    "temperature": {"within": "0.4", "spread": "3"},
}
TOOL: tuple[Entry, ...] = ({"event": "set", "diameter": "119.99 mm"}, {"event": "seated"}, {"event": "passed"})


def part(celsius: float, minutes: float, of: str = "part") -> Entry:
    at = (BEGIN + timedelta(minutes=minutes)).isoformat()
    return {"event": "temperature", "of": of, "celsius": str(celsius), "at": at}


def read(mm: float) -> Entry:
    return {"event": "read", "as_read": f"{mm:.3f} mm"}


def kept(worked: Bore) -> tuple[Kept, ...]:
    return kept_events([*worked.events("bore"), *worked.events("tool"), *worked.events("gauge")])


def seen(*entries: Entry) -> SoakView | None:
    worked = bore(*TOOL, *entries, **WARM)
    return soak_of(worked, kept(worked), "mm")


def test_one_temperature_tells_nothing_nor_two_at_once_nor_one_from_before_the_cut() -> None:
    assert seen(part(26.0, 0)) is None
    assert seen(part(26.0, 0), part(25.0, 1)) is None
    assert seen(part(26.0, 0), {"event": "passed"}, part(24.0, 10)) is None
    assert seen(part(26.0, 0), {**part(24.0, 10), "when": "cut"}) is None


def test_before_a_reading_it_says_how_fast_it_cools() -> None:
    view = seen(part(26.0, 0), part(23.0, 10))
    assert view is not None
    clock = soak_clock(26.0, 23.0, 10.0, 20.0, 0.4)
    assert f"within 1 K of its room in {clock.until(1.0):.0f} minutes" in view.said
    assert "From 26 to 23 °C in 10 minutes" in view.said
    assert view.more == ("Nobody took the room's temperature: 20 °C is taken.",)


def test_with_readings_it_says_what_waiting_buys_in_odds() -> None:
    """120 mm of aluminium, known to 1 K: 2.8 µm of doubt that goes as the part comes to its room."""
    told = {**WARM, "temperature": {"within": "1", "spread": "3"}}
    size = 120.0062 + 120.0 * 23.1e-6 * 2.0
    worked = bore(*TOOL, part(30.0, 0), part(22.0, 20), read(size), read(size), **told)
    view = soak_of(worked, kept(worked), "mm")
    assert view is not None
    assert re.match(
        r"Wait \d+ minutes: it is then \d+ % likely to be shown in, read now <0.1 %\. At 2\d\.\d °C the size is known "
        r"within ± 0\.00\d\d mm\.",
        view.said,
    )


def test_where_it_is_shown_in_already_waiting_buys_nothing() -> None:
    warm = 120.0 * 23.1e-6 * 1.0
    view = seen(part(23.0, 0), part(21.0, 10), read(120.0 + warm), read(120.0 + warm))
    assert view is not None
    assert view.said == "It is shown in as it was read: waiting for the part buys nothing."


def test_where_no_waiting_helps_it_says_so() -> None:
    warm = 120.0 * 23.1e-6 * 1.0
    view = seen(part(23.0, 0), part(21.0, 10), read(119.5 + warm), read(119.5 + warm))
    assert view is not None
    assert view.said.startswith("Waiting for the part buys next to nothing: after 120 minutes it is <0.1 %")


def test_the_room_counts_once_somebody_takes_it() -> None:
    view = seen(part(26.0, 0), part(24.0, 10), part(22.0, 11, "room"))
    assert view is not None
    assert view.more == ("The room is at 22 °C.",)
    assert f"in {soak_clock(26.0, 24.0, 10.0, 22.0, 0.4).until(1.0):.0f} minutes" in view.said


def test_temperatures_too_near_to_each_other_say_so() -> None:
    view = seen(part(23.0, 0), part(22.9, 5))
    assert view is not None
    assert view.said == "The temperatures do not yet tell what waiting buys."
    assert "Wait longer than 5 minutes" in view.more[0]


@pytest.mark.parametrize("of", ["part", "room"])
def test_the_rooms_temperature_teaches_the_belief_nothing(of: str) -> None:
    plain, told = bore(*setting(39.7)), bore(*setting(39.7), part(25.0, 0, of))
    same = bool((plain.belief.now.mean == told.belief.now.mean).all())
    assert same is (of == "room")
