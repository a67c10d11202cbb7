"""Whatever is recorded, in whatever order: the belief stays a belief, and folding step by step is folding afresh."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from itertools import chain
from typing import Final

import numpy as np
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from numpy.random import Generator, default_rng

from borewright.errors import BorewrightError
from borewright.record.stream import StreamKind
from borewright.sizing.belief import Belief, LastMove, Other
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import Gaussian, State
from tests.unit.sizing.plain import ADJUSTERS, Entry, bore, expected_reading_mm, mm, setting

KINDS: tuple[StreamKind, ...] = ("bore", "tool", "gauge")
PROVED = {"dial": "0.00202 mm", "direct": "0.00101 mm", "offset": "0.000995 mm"}


def rebuilt(of: Bore) -> Bore:
    return Bore.from_events(chain.from_iterable(of.events(kind) for kind in KINDS))


def assert_same_gaussian(one: Gaussian, other: Gaussian) -> None:
    sds = np.sqrt(np.abs(np.diag(other.covariance))) + 1e-9
    np.testing.assert_allclose(one.mean, other.mean, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(one.covariance / np.outer(sds, sds), other.covariance / np.outer(sds, sds), atol=1e-9)


def assert_same(one: Belief, other: Belief) -> None:
    """Hold two beliefs together in all that they hold, numbers to a relative 1e-9."""
    for field in fields(Belief):
        ours, theirs = getattr(one, field.name), getattr(other, field.name)
        if isinstance(ours, Gaussian):
            assert_same_gaussian(ours, theirs)
        elif field.name == "line":
            assert (ours is None) == (theirs is None)
            if ours is not None:
                np.testing.assert_allclose(ours.row, theirs.row, rtol=1e-9, atol=1e-12)
                assert ours.size_mm == pytest.approx(theirs.size_mm, rel=1e-12)
        elif field.name in {"history", "readings", "doubts"}:
            assert len(ours) == len(theirs)
            for mine, yours in zip(ours, theirs, strict=True):
                for part in fields(mine):
                    assert_equal(getattr(mine, part.name), getattr(yours, part.name))
        elif field.name in COMPARED:
            COMPARED[field.name](ours, theirs)
        else:
            assert_equal(ours, theirs)


def assert_same_or_none(ours: Belief | None, theirs: Belief | None) -> None:
    assert (ours is None) == (theirs is None)
    if ours is not None and theirs is not None:
        assert_same(ours, theirs)


def assert_same_move(ours: LastMove, theirs: LastMove) -> None:
    assert_equal(replace(ours, readout=None, change_mm=0.0), replace(theirs, readout=None, change_mm=0.0))
    assert_equal(ours.change_mm, theirs.change_mm)
    assert (ours.readout is None) == (theirs.readout is None)
    if ours.readout is not None and theirs.readout is not None:
        assert_same_gaussian(ours.readout.before, theirs.readout.before)
        assert_equal(ours.readout.change_mm, theirs.readout.change_mm)


def assert_same_others(ours: tuple[Other, ...], theirs: tuple[Other, ...]) -> None:
    assert len(ours) == len(theirs)
    for mine, yours in zip(ours, theirs, strict=True):
        assert_equal(mine.share, yours.share)
        assert_equal(mine.before, yours.before)
        assert_same(mine.belief, yours.belief)


COMPARED: Final[dict[str, Callable[..., None]]] = {
    "last_move": assert_same_move,
    "moved_from": assert_same_or_none,
    "others": assert_same_others,
}


def assert_equal(ours: object, theirs: object) -> None:
    if isinstance(ours, float):
        assert ours == pytest.approx(theirs, rel=1e-8, abs=1e-9)
    else:
        assert ours == theirs


def assert_a_belief(belief: Belief) -> None:
    covariance = belief.now.covariance
    sds = np.sqrt(np.maximum(np.diag(covariance), 1e-30))
    scaled = covariance / np.outer(sds, sds)
    assert np.isfinite(belief.now.mean).all()
    np.testing.assert_allclose(scaled, scaled.T, atol=1e-9)
    assert np.linalg.eigvalsh(0.5 * (scaled + scaled.T)).min() > -1e-8


def drawn(of: Bore, draws: Generator, kind: str) -> Entry:
    """Draw something that may have happened; some of it does not fit, and is then refused."""
    off = float(draws.choice([0.0, 0.001, -0.002, 0.01, 0.2]) + 0.001 * draws.standard_normal())
    change = float(np.round(draws.normal(0.0, 0.05), 3))
    take_up = {} if draws.random() < 0.5 else {"take_up": bool(draws.random() < 0.5)}
    if kind == "dial":
        move: Entry = {"lines": str(round(change / 0.002)), **take_up}
    elif kind == "direct" and draws.random() < 0.7:
        move = {"shown_locked": mm(change), "shown_unlocked": mm(change + float(draws.normal(0.0, 0.002))), **take_up}
    else:
        move = {"change": mm(change), **take_up}
    events: list[Entry] = [
        {"event": "passed"},
        {"event": "passed"},
        {"event": "passed", "depth": "trial"},
        *({"event": "read", "as_read": mm(round(expected_reading_mm(of) + off, 3))} for _ in range(4)),
        {"event": "hole_checked", "as_read": mm(round(expected_reading_mm(of) + off, 3))},
        {"event": "moved", **move},
        {"event": "moved", **move},
        {"event": "set", "diameter": mm(39.7 + change), "locked": bool(draws.random() < 0.8)},
        {"event": "seated"},
        {"event": "edge_changed"},
        {"event": "temperature", "of": "part", "celsius": f"{20 + draws.normal():.1f}"},
        {"event": "temperature", "of": "part", "celsius": f"{20 + draws.normal():.1f}", "when": "cut"},
        {"event": "temperature", "of": "tool", "celsius": f"{20 + draws.normal():.1f}"},
        {"event": "set_on", "size": "40 mm", **({"celsius": "21.5"} if draws.random() < 0.5 else {})},
        {"event": "rechecked", "size": "40 mm", "as_read": mm(40.0 + 0.001 * float(draws.integers(-2, 3)))},
        {"event": "studied", "scatter": "0.0015 mm"},
        {"event": "proved", "line": PROVED[kind], "within": "0.00001 mm", "backlash": "0.012 mm"},
        {"event": "unclamped"},
        {"event": "noted", "stream": "bore", "text": "looked at the edge"},
    ]
    return events[int(draws.integers(len(events)))]


def correction(of: Bore, draws: Generator) -> Entry:
    """Draw a correction of something that stands there: withdrawn, or entered again a little different."""
    kind = KINDS[int(draws.integers(3))]
    events = of.events(kind)
    if not events:
        return {"event": "noted", "stream": "bore", "text": "nothing there yet"}
    target = events[int(draws.integers(len(events)))]
    entry: Entry = {"event": "corrected", "stream": kind, "event_number": target.number, "reason": "slip"}
    if draws.random() < 0.4:
        return entry
    replacement = {name: value for name, value in target.payload.items() if name not in {"tool", "gauge"}}
    for name in ("as_read", "diameter"):
        if name in replacement:
            replacement[name] = mm(float(str(replacement[name]).split()[0]) + 0.003)
    return {**entry, "replacement": replacement}


@pytest.mark.parametrize("kind", ADJUSTERS)
@given(seed=st.integers(0, 10**6), steps=st.integers(5, 36), corrections=st.integers(0, 2))
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_step_by_step_is_afresh(kind: str, seed: int, steps: int, corrections: int) -> None:
    draws = default_rng(seed)
    worked = bore(adjuster=ADJUSTERS[kind])
    if draws.random() < 0.8:
        for entry in setting(39.7):
            worked.record(entry)
    correct_after = set(draws.integers(0, steps, corrections).tolist())
    for number in range(steps):
        entries = [drawn(worked, draws, kind)]
        if number in correct_after:
            entries.append(correction(worked, draws))
        for entry in entries:
            try:
                worked.record(entry)
            except BorewrightError as error:
                event(f"refused: {type(error).__name__}")
                continue
            event(str(entry["event"]))
            assert_a_belief(worked.belief)
    assert_same(worked.belief, rebuilt(worked).belief)


def test_what_is_withdrawn_was_never_there() -> None:
    worked = bore(*setting(39.72), {"event": "passed"}, {"event": "read", "as_read": "39.7010 mm"})
    without = worked.belief
    worked.record({"event": "read", "as_read": "39.7020 mm"})
    assert worked.belief.now.sd(State.HOLE) < without.now.sd(State.HOLE)
    number = worked.events()[-1].number
    worked.record({"event": "corrected", "stream": "bore", "event_number": number})
    assert_same_gaussian(worked.belief.now, without.now)


def test_what_is_replaced_was_right_at_once() -> None:
    right = bore(*setting(39.72), {"event": "passed"}, {"event": "read", "as_read": "39.7010 mm"})
    wrong = bore(*setting(39.72), {"event": "passed"}, {"event": "read", "as_read": "39.7110 mm"})
    number = wrong.events()[-1].number
    wrong.record(
        {"event": "corrected", "stream": "bore", "event_number": number, "replacement": {"as_read": "39.7010 mm"}}
    )
    assert_same_gaussian(wrong.belief.now, right.belief.now)
    assert wrong.belief.readings == right.belief.readings
