"""The order of several like bores: the ways, what they add up to, what is refused, and how it is said."""

from __future__ import annotations

import time
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.sizing.bore import Bore
from borewright.sizing.order import MOST_BORES
from borewright.sizing.order_words import check_alike, like_groups, order_of
from tests.unit.sizing.plain import bore, expected_reading_mm, read, setting

TOOL = {"id": "head-4", "bench": "0.004 mm", "seat": "0.004 mm", "proved": True}
CUT = (*setting(39.75), {"event": "passed", "depth": "full"})


def one(size: float = 39.4, **changed: object) -> Bore:
    return bore(**{"hole": {"size": f"{size:.3f} mm", "within": "0.016 mm"}, "tool": TOOL, **changed})


def several(count: int = 3, step: float = 0.0) -> dict[str, Bore]:
    return {f"eye-{number}": one(39.4 - step * number) for number in range(1, count + 1)}


def asked(bores: Mapping[str, Bore] | None = None, **how: object) -> dict[str, Any]:
    return order_of(several() if bores is None else bores, **how)  # type: ignore[arg-type]


def measured() -> Bore:
    """A first pass, read twice where it was expected."""
    done = bore(*CUT, tool=TOOL)
    for _ in range(2):
        done.record(read(expected_reading_mm(done)))
    return done


def test_all_three_kinds_stand_side_by_side_and_the_cheapest_is_advised() -> None:
    found = asked()
    assert {way["kind"] for way in found["ways"]} == {"each", "first", "together"}
    costs = [way["cost"] for way in found["ways"]]
    assert costs == sorted(costs)
    assert [way["advised"] for way in found["ways"]] == [True, *[False] * (len(costs) - 1)]
    keys = [(way["kind"], way["passes_first"], way["passes_rest"]) for way in (*found["ways"], *found["shut"])]
    assert len(keys) == len(set(keys))


def test_every_bore_is_cut_to_size_once_and_measured_then() -> None:
    for way in asked(several(4, 0.01))["ways"]:
        cuts = [cut for turn in way["turns"] for cut in turn["cuts"]]
        lasts = [cut for cut in cuts if cut["last"]]
        assert sorted(cut["bore"] for cut in lasts) == ["eye-1", "eye-2", "eye-3", "eye-4"]
        assert all(cut["measured"] for cut in lasts)
        assert cuts[0]["bore"] == way["order"][0]
        assert way["settings"] == len(way["turns"])
        assert way["measurements"] == sum(cut["measured"] for cut in cuts)


def test_brought_along_together_the_tool_is_moved_less_and_the_bores_are_changed_more() -> None:
    ways = {(way["kind"], way["passes_first"]): way for way in asked(several(5), one_part=True)["ways"]}
    assert ways["together", 2]["settings"] < ways["each", 2]["settings"]
    slow = {(way["kind"], way["passes_first"]): way for way in asked(several(5), between_minutes=30)["ways"]}
    assert slow["together", 2]["minutes"] - slow["each", 2]["minutes"] > 100.0


def test_minutes_add_up_by_hand() -> None:
    found = asked(several(2), pass_minutes=6, measurement_minutes=2, move_minutes=1.5, between_minutes=4)
    for way in found["ways"]:
        cuts = [(turn, place, cut) for turn in way["turns"] for place, cut in enumerate(turn["cuts"])]
        if any(cut["trial"] for _, _, cut in cuts):
            continue
        by_hand = sum(6.0 - 1.5 * (place > 0) + 2.0 * cut["measured"] for _, place, cut in cuts)
        by_hand += 1.5 * sum(turn["closed"] for turn in way["turns"])
        order = [cut["bore"] for _, _, cut in cuts]
        by_hand += 4.0 * sum(before != after for before, after in pairwise(order))
        by_hand += sum(end["undersize"] for end in way["ends"]) * 8.0
        assert way["minutes"] == pytest.approx(by_hand, abs=0.06)


def test_losses_of_all_are_no_less_than_of_any_and_add_up() -> None:
    for way in asked(several(4, 0.01))["ways"]:
        lost, each = way["lost"], [end["oversize"] for end in way["ends"]]
        assert lost["expected"] == pytest.approx(sum(each), abs=1e-5)
        assert lost["several"] <= lost["any"] <= lost["expected"] + 1e-4
        assert lost["any"] >= max(each) - 1e-4


def test_in_one_part_several_losses_cost_one_part() -> None:
    """The same minutes either way: what is left is the part, lost once however many of its bores are."""
    own = asked(several(4), between_minutes=1)["ways"]
    same = {way["says"]: way for way in asked(several(4), between_minutes=1, one_part=True)["ways"]}
    pairs = [(way, same[way["says"]]) for way in own if way["says"] in same]
    assert pairs
    assert all(one_part["cost"] <= apart["cost"] + 0.2 for apart, one_part in pairs)


def test_the_bore_whose_loss_costs_least_goes_first() -> None:
    bores = {**several(2), "spare": one(costs={"scrap": "8"})}
    found = asked(bores)
    assert found["ways"][0]["order"][0] == "spare"
    firsts = {first["bore"]: first["cost"] for first in found["firsts"]}
    assert firsts["spare"] == min(firsts.values())
    assert "Begin with spare" in found["why"]


def test_like_bores_make_no_difference_and_it_is_said() -> None:
    found = asked()
    assert len(found["firsts"]) == 1
    assert "next to no difference which is first" in found["why"]


def test_the_bore_that_has_shown_the_tool_gives_what_is_known_of_it() -> None:
    bores = {**several(2), "begun": measured()}
    found = asked(bores)
    assert found["known_by"] == "begun"
    assert width_of_first_cut(found) < 0.5 * width_of_first_cut(asked({**several(2), "new": one()}))


def width_of_first_cut(found: Mapping[str, Any]) -> float:
    """How wide the first cut of the first bore is foreseen, each in two passes, mm."""
    way = next(way for way in found["ways"] if (way["kind"], way["passes_first"]) == ("each", 2))
    leaves = way["turns"][0]["cuts"][0]["leaves"]
    return float(leaves["high"].split()[0]) - float(leaves["low"].split()[0])


def test_gauges_that_are_not_the_same_have_no_error_in_common() -> None:
    """With one gauge and one setting its error loses holes together; with a gauge for each it does not."""
    wide = {"step": "0.001 mm", "scatter": "0.001 mm", "bias": "0.004 mm"}
    shared = {f"b{n}": one(gauge=wide, gauge_id="gauge") for n in range(4)}
    apart = {f"b{n}": one(gauge=wide, gauge_id=f"gauge-{n}") for n in range(4)}
    ways = [{way["says"]: way for way in asked(bores)["ways"]} for bores in (shared, apart)]
    both = [says for says in ways[0] if says in ways[1] and says.startswith("each")]
    assert both
    ratios = [[way[says]["lost"]["several"] / way[says]["lost"]["any"] for way in ways] for says in both]
    assert all(with_one > with_many for with_one, with_many in ratios)


@pytest.mark.parametrize(
    ("bores", "wrong"),
    [
        ({"a": one()}, "There is no order of one bore."),
        ({f"b{n}": one() for n in range(MOST_BORES + 1)}, "These are too many bores at once."),
        ({"a": one(), "b": bore()}, "They are cut by different tools, head-4 and bore.tool."),
        ({"a": one(), "b": one(callout="40 ±0.009 mm")}, "different callouts, 40 ±0.008 mm and 40 ±0.009 mm."),
        ({"a": one(), "b": one(material="aluminium")}, "different materials, carbon steel and aluminium."),
    ],
)
def test_bores_that_are_not_alike_are_refused_with_what_would_be_right(bores: dict[str, Bore], wrong: str) -> None:
    with pytest.raises(EntryError) as refused:
        order_of(bores)
    assert wrong in refused.value.wrong
    assert refused.value.right
    assert refused.value.where == "bores"


def test_finished_bores_and_bores_with_nothing_to_cut_are_refused_by_name() -> None:
    aside = one()
    aside.record({"event": "quarantined", "reason": "too large"})
    with pytest.raises(EntryError, match=r"'aside'.*finished: quarantined"):
        check_alike({"a": one(), "aside": aside})
    done = one(39.999)
    done.record({"event": "hole_checked", "as_read": "40.002 mm"})
    with pytest.raises(EntryError, match=r"'large'.*nothing is to be cut"):
        check_alike({"a": one(), "large": done})


@pytest.mark.parametrize(
    ("minutes", "where"),
    [
        ({"pass_minutes": "soon"}, "pass_minutes"),
        ({"move_minutes": 9}, "move_minutes"),
        ({"between_minutes": -1}, "be"),
    ],
)
def test_minutes_that_cannot_be_are_refused(minutes: dict[str, object], where: str) -> None:
    with pytest.raises(EntryError) as refused:
        order_of(several(), **minutes)  # type: ignore[arg-type]
    assert refused.value.where.startswith(where)


def test_groups_hold_open_like_bores_only() -> None:
    aside = one()
    aside.record({"event": "quarantined", "reason": "too large"})
    bores = {"a": one(), "other": bore(), "b": one(39.3), "aside": aside, "c": one(callout="40 ±0.009 mm")}
    assert like_groups(bores) == (("a", "b"),)
    assert like_groups({"a": one(), "aside": aside}) == ()


def test_nothing_is_recorded() -> None:
    bores = several()
    before = {name: len(each.events()) for name, each in bores.items()}
    asked(bores)
    assert {name: len(each.events()) for name, each in bores.items()} == before


def test_six_bores_take_less_than_half_a_second() -> None:
    bores = several(6, 0.01)
    asked(bores)
    took = []
    for _ in range(3):
        begun = time.process_time()
        asked(bores)
        took.append(time.process_time() - begun)
    assert min(took) < 0.5
