"""Series of bores of one tool: the same each time, and the later ones know the tool."""

from __future__ import annotations

from borewright.rehearsal.advised import enter, follow, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.series import Series, series
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore
from borewright.sizing.known import NOTHING, Known

KIND = KINDS["middle head, carbon steel"]
TOOL = 9


def first_pass(known: Known) -> tuple[float, float]:
    """Cut the first pass of a bore that was in no series: how far off it is, and the width that was stated."""
    truth = Truth.draw(KIND, 777, TOOL)
    bore = Bore.start(start_of(truth.told()), known=known)
    while not bore.belief.history:
        for entry in follow(truth, bore.advise()):
            enter(bore, entry)
    done = bore.belief.history[-1]
    cut = truth.mouth_mm if done.trial else truth.hole_mm
    return abs(cut - done.expected_mm), done.expected_sd_mm


def test_a_series_learns_its_tool_and_spends_less() -> None:
    sized = list(series(KIND, TOOL, range(9000, 9010)))
    assert not sized[0].known.priors
    assert sized[-1].known.priors["push_off"].width < sized[1].known.priors["push_off"].width
    (_, alone), (off, taught) = first_pass(NOTHING), first_pass(sized[-1].known)
    assert taught < 0.7 * alone
    assert off < 3.0 * taught
    late = sized[5:]
    assert sum(each.outcome.cost() for each in late) / len(late) < sized[0].outcome.cost()


def test_a_series_is_the_same_each_time_and_a_bore_apart_is_not_heard_of() -> None:
    one, two = Series(KIND, 4), Series(KIND, 4)
    for seed in (1, 2):
        assert one.next(seed).outcome == two.next(seed).outcome
    two.apart(17)
    assert one.next(3).outcome == two.next(3).outcome
    assert [each.bore for each in one.taught] == ["bore-1", "bore-2", "bore-3"]
