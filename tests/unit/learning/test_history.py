"""What the next bore begins with: nearer the truth with every bore, forgetting, and nothing counted twice."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.learning.evidence import Evidence
from borewright.learning.history import HALF_LIFE_BORES, HALF_LIFE_DAYS, Learned, learn
from borewright.learning.ledger import ledger
from borewright.learning.parts import NAMES, PLACE, level_variances, screw_variance, start_widths
from borewright.learning.taught import IN_DOUBT, Repeated, Taught
from borewright.sizing.known import NOTHING
from borewright.sizing.priors import Prior, priors_of
from tests.unit.learning.shop_floor import OPEN, SHARP, TRUE, evidence, only, start, taught

NOW = "2031-02-01T10:00:00Z"


def learned(*bores: Taught, now: str | None = None, edges: int = 0, **changes: object) -> Learned:
    return learn(start(**changes), "head", "gauge", bores, edges=edges, now=now)


def push_off(found: Learned) -> Prior:
    return found.known.priors["push_off"]


def test_with_no_finished_bore_nothing_is_known() -> None:
    assert learned().known == NOTHING
    assert learned(taught(1, evidence=None, left_out=IN_DOUBT, moves_shown=False)).known == NOTHING


def test_every_bore_brings_it_nearer_and_makes_it_narrower() -> None:
    before = priors_of(start())
    off = [abs(before.push_off.value - TRUE[PLACE["push_off"]])]
    widths = [before.push_off.width]
    for count in (1, 3, 10, 30):
        found = push_off(learned(*(taught(i) for i in range(count))))
        off.append(abs(found.value - TRUE[PLACE["push_off"]]))
        widths.append(found.width)
    assert off == sorted(off, reverse=True)
    assert widths == sorted(widths, reverse=True)
    assert off[-1] < 0.0005


def test_levels_share_out_the_whole_variance() -> None:
    for changes in ({}, {"tool": {"backlash": "0.01"}}, {"push_off": {"guess": "0", "factor": "1.05"}}):
        given = start(**changes)
        priors = priors_of(given)
        shares = level_variances(given, priors)
        whole = start_widths(priors) ** 2
        whole[PLACE["gain"]] += screw_variance(given)
        np.testing.assert_allclose(sum(shares.values()), whole, rtol=1e-12)
        assert all((share >= 0.0).all() for share in shares.values())


def test_one_bore_is_weighed_as_two_normals_are() -> None:
    """One bore, one part: the closed form of a prior and a measurement that the next bore differs from a little."""
    found = learned(taught(1, evidence=evidence(TRUE, only("lock_mean", 0.001))))
    prior, share = 0.0025**2, 0.0003**2
    rest = prior - share
    gain = rest / (rest + share + 0.001**2)
    lock = found.known.priors["lock_mean"]
    assert lock.value == pytest.approx(gain * TRUE[PLACE["lock_mean"]], rel=1e-9)
    assert lock.width == pytest.approx((rest * (1.0 - gain) + share) ** 0.5, rel=1e-9)


def test_what_is_seen_only_as_a_difference_stays_one() -> None:
    """Each bore shows the bench's error less push-off; a hundred of them tell that, and neither by itself."""
    row = np.zeros(len(NAMES))
    row[PLACE["bench"]], row[PLACE["push_off"]] = 1.0, -1.0
    shown = Evidence(TRUE, np.outer(row, row) / 0.002**2, np.zeros(len(NAMES)))
    found = learned(*(taught(i, evidence=shown) for i in range(100))).known
    pair = next(r for a, b, r in found.together if {a, b} == {"bench", "push_off"})
    bench, push = found.priors["bench"], found.priors["push_off"]
    difference = bench.width**2 + push.width**2 - 2.0 * pair * bench.width * push.width
    assert difference**0.5 < 0.0016
    assert bench.width > 0.002
    assert bench.value - push.value == pytest.approx(float(row @ TRUE), abs=0.0005)


def test_what_is_not_learned_keeps_its_own_origin() -> None:
    found = learned(taught(1, evidence=evidence(TRUE, only("gain", 0.001)))).known.priors
    assert set(found) == {"gain", "proved"}


def test_a_bore_counts_half_after_a_half_life() -> None:
    bore = taught(0, evidence=evidence(TRUE, only("bench", 0.004)), at="2030-02-01T10:00:00Z")
    fresh = learned(bore).known.priors["bench"].value
    later = [taught(i, evidence=evidence(TRUE, OPEN)) for i in range(1, 1 + int(HALF_LIFE_BORES))]
    half = taught(0, evidence=Evidence(TRUE, 0.5 * bore.evidence.information, np.zeros(7)))  # type: ignore[union-attr]
    expected = learned(half).known.priors["bench"].value
    assert learned(bore, *later).known.priors["bench"].value == pytest.approx(expected, rel=0.02)
    assert HALF_LIFE_DAYS == 365.0
    assert learned(bore, now=NOW).known.priors["bench"].value == pytest.approx(expected, rel=0.02)
    assert abs(expected) < abs(fresh)


def test_a_new_edge_widens_what_the_edge_decides_and_nothing_else() -> None:
    bores = [taught(i, evidence=evidence(TRUE, 0.2 * SHARP)) for i in range(10)]
    same, new = learned(*bores).known.priors, learned(*bores, edges=1).known.priors
    for name in ("push_off", "exponent", "edge"):
        assert new[name].width > 1.2 * same[name].width, name
    for name in ("gain", "lock_mean", "bench"):
        assert new[name].width == pytest.approx(same[name].width, rel=1e-9), name


def test_push_off_is_one_thing_whatever_was_guessed_and_another_guess_makes_it_wider() -> None:
    bores = [taught(i) for i in range(10)]
    same, other = push_off(learned(*bores)), push_off(learned(*bores, push_off={"guess": "0.034", "factor": "1.5"}))
    assert other.value == pytest.approx(same.value, rel=0.03)
    assert other.width > 2.0 * same.width


def test_other_tools_tell_how_far_guesses_are_off_and_not_how_much_they_push_off() -> None:
    """Ten tools that all push off half as much again as was guessed, of all sizes."""
    bores = []
    for i, guess in enumerate(np.geomspace(0.005, 0.06, 10)):
        given = start(push_off={"guess": f"{guess:.4f}", "factor": "1.5"})
        reference = priors_of(given).push_off.value
        true = TRUE.copy()
        true[PLACE["push_off"]] = 1.5 * reference
        bores.append(
            taught(
                i,
                tool=f"t{i}",
                seating=(f"t{i}", 1),
                start=given,
                guess_mm=reference,
                evidence=evidence(true, only("push_off", 0.05 * reference)),
            )
        )
    before, found = priors_of(start()).push_off, push_off(learned(*bores))
    assert 1.15 < found.value / before.value < 1.5
    assert found.width < before.width
    assert "10 bores of other tools" in found.origin


def test_adjusters_of_another_kind_say_nothing_of_this_one() -> None:
    direct = start(adjuster={"kind": "direct", "step": "0.001", "on": "diameter"})
    bores = [taught(i, tool=f"t{i}", seating=(f"t{i}", 1), start=direct) for i in range(10)]
    assert "gain" not in learned(*bores).known.priors
    dials = [taught(i, tool=f"t{i}", seating=(f"t{i}", 1)) for i in range(10)]
    assert "tools like it" in learned(*dials).known.priors["gain"].origin


def test_bores_of_one_seating_tell_of_the_bench_once() -> None:
    bench = evidence(TRUE, only("bench", 0.003))
    one = learned(taught(1, evidence=bench)).known.priors["bench"]
    again = [taught(i, evidence=bench, seating=("head", 7)) for i in range(6)]
    assert learned(*again).known.priors["bench"].width > one.width  # the first has faded a little by the sixth
    apart = [taught(i, evidence=bench) for i in range(6)]
    assert learned(*apart).known.priors["bench"].width < 0.7 * one.width


def test_the_records_of_other_tools_are_counted_once_and_that_of_this_one_never() -> None:
    said = evidence(TRUE, only("lock_mean", 0.0005))
    own = [taught(i, record=said, evidence=evidence(TRUE, only("bench", 0.002))) for i in range(3)]
    assert "lock_mean" not in learned(*own).known.priors
    others = [taught(i, tool="other", record=said, evidence=evidence(TRUE, OPEN)) for i in range(3)]
    once = learned(others[-1]).known.priors["lock_mean"]
    assert learned(*others).known.priors["lock_mean"].width == pytest.approx(once.width, rel=0.02)


def test_the_scatter_of_a_gauge_is_learned_where_nobody_typed_it() -> None:
    bores = [taught(i, repeated=Repeated(squares=4e-6 * 4, freedom=4)) for i in range(20)]
    found = learned(*bores).known.priors["gauge_scatter"]
    assert found.value == pytest.approx(0.002, rel=0.1)
    assert "gauge_scatter" not in learned(*bores, gauge={"step": "0.001", "scatter": "0.001"}).known.priors
    assert "gauge_scatter" not in learn(start(), "head", "another", bores).known.priors


def test_a_proof_that_was_typed_stays() -> None:
    assert "proved" in learned(taught(1)).known.priors
    assert "proved" not in learned(taught(1), tool={"proved": False}).known.priors


def test_the_ledger_lists_each_tool_in_each_material_and_what_is_left_out() -> None:
    bores = [taught(1), taught(2, start=start(material="bronze")), taught(3, evidence=None, left_out=IN_DOUBT)]
    steel, bronze = ledger(bores, {}, NOW)
    assert (steel.material, bronze.material) == ("carbon steel", "bronze")
    assert steel.said("mm")["left_out"] == [{"bore": "bore-3", "why": IN_DOUBT}]
    assert steel.days == ("2031-01-02", "2031-01-02")
    line = next(line for line in steel.lines if line.name == "push_off")
    low, high = line.ends(line.now)
    assert low < line.now.value < high
    assert high - low < line.ends(line.before)[1] - line.ends(line.before)[0]
    inch = line.said("in")
    assert inch["what"] == "Push-off where 0.010 in comes off"
    assert "thou" in inch["value"] or "tenth" in inch["value"]
