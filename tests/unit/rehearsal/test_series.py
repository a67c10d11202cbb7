"""Series of bores of one tool: the same each time, and the later ones know the tool."""

from __future__ import annotations

import math

from borewright.learning.parts import PLACE
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.series import Series, series

KIND = KINDS["middle head, carbon steel"]


def test_a_series_learns_its_tool_and_spends_less() -> None:
    sized = list(series(KIND, 9, range(9000, 9010)))
    assert not sized[0].known.priors
    tool = sized[0].truth.tool
    first, last = sized[1].known, sized[-1].known
    assert last.priors["push_off"].width < first.priors["push_off"].width

    def difference(known: object) -> tuple[float, float]:
        """The bench's error less push-off, which every first pass shows: how far off, and how widely it is believed."""
        assert known is first or known is last
        bench, push = known.priors["bench"], known.priors["push_off"]
        pair = next(r for a, b, r in known.together if {a, b} == {"bench", "push_off"})
        true = tool.bench_mm - tool.push_off.of_chip(0.25)
        variance = bench.width**2 + push.width**2 - 2.0 * pair * bench.width * push.width
        return abs(bench.value - push.value - true), math.sqrt(variance)

    (_, before), (off, after) = difference(first), difference(last)
    assert after < 0.75 * before
    assert off < 3.0 * after
    early, late = sized[:1], sized[5:]
    assert sum(each.outcome.passes for each in late) / len(late) < early[0].outcome.passes
    assert PLACE["bench"] == 2


def test_a_series_is_the_same_each_time_and_a_bore_apart_is_not_heard_of() -> None:
    one, two = Series(KIND, 4), Series(KIND, 4)
    for seed in (1, 2):
        assert one.next(seed).outcome == two.next(seed).outcome
    two.apart(17)
    assert one.next(3).outcome == two.next(3).outcome
    assert [each.bore for each in one.taught] == ["bore-1", "bore-2", "bore-3"]
