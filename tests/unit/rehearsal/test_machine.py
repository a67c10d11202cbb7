"""The simulated machine of the demo, rebuilt from what is on record."""

from __future__ import annotations

import pytest

from borewright.callout import parse_callout
from borewright.exchange.demo import DEMO_BORES, DemoBore
from borewright.record.entry import read_entry
from borewright.record.fields import payload_plain, read_payload
from borewright.record.payloads.opened import Start
from borewright.rehearsal.machine import SimulatedMachine
from borewright.shop.kept import Kept, in_effect

STREAMS = {"set": "tool", "seated": "tool", "moved": "tool", "edge_changed": "tool", "set_on": "gauge"}


class Record:
    """As much of a record as the machine sees."""

    def __init__(self, bore: DemoBore) -> None:
        self.unit = bore.job().units
        self.kept: list[Kept] = []
        self.machine = SimulatedMachine(bore.kind, bore.seed, self.unit, lambda: in_effect(self.kept))

    def enter(self, entry: dict[str, object]) -> dict[str, object]:
        """Carry an entry out and put it on record, as the session does."""
        done = self.machine.carry_out(entry)
        kind, payload = read_entry(done, self.unit)
        stream = STREAMS.get(kind.name, "bore")
        self.kept.append(Kept(stream, len(self.kept) + 1, kind.name, payload_plain(payload), ""))
        return done


def read_start(bore: DemoBore) -> Start:
    """Read what the job file gives for a bore."""
    return read_payload(Start, bore.bore().mapping, bore.job().units)


def moves(bore: DemoBore) -> list[dict[str, object]]:
    """Two moves in the adjuster's own terms."""
    if bore.kind.adjuster == "dial":
        return [{"event": "moved", "lines": "+40"}, {"event": "moved", "lines": "-2", "take_up": True}]
    unit = bore.job().units
    return [
        {"event": "moved", "shown_unlocked": f"+0.120 {unit}", "shown_locked": f"+0.121 {unit}"},
        {"event": "moved", "change": f"-0.010 {unit}"},
    ]


@pytest.mark.parametrize("bore", DEMO_BORES, ids=lambda bore: bore.name)
def test_the_machine_stands_as_it_stood_when_it_is_rebuilt(bore: DemoBore) -> None:
    record = Record(bore)
    unit = record.unit
    aim = round(bore.kind.size_mm / (25.4 if unit == "in" else 1) - (0.4 if unit == "mm" else 0.016), 4)
    record.enter({"event": "hole_checked"})
    first = record.enter({"event": "set", "diameter": f"{aim} {unit}"})
    record.enter({"event": "seated"})
    record.enter({"event": "passed"})
    record.enter({"event": "temperature", "of": "part", "when": "cut"})
    record.enter({"event": "read"})
    record.enter({"event": "noted", "text": "chip under the foot", "stream": "bore"})
    record.enter({"event": "temperature", "of": "part"})
    for move in moves(bore):
        record.enter(move)
        record.enter({"event": "passed"})
        record.enter({"event": "read"})
    record.enter({"event": "set_on", "on": "ring", "size": f"{aim} {unit}"})
    record.enter({"event": "edge_changed"})
    shown = record.enter({"event": "read"})

    done = record.machine.truth()
    again = SimulatedMachine(bore.kind, bore.seed, unit, lambda: in_effect(record.kept)).truth()
    assert again.acts == done.acts
    assert (again.hole_mm, again.tool_mm) == (done.hole_mm, done.tool_mm)
    assert done.acts[1].given["diameter_mm"] == pytest.approx(aim * (25.4 if unit == "in" else 1), abs=1e-9)
    assert str(first["diameter"]).endswith(unit)
    assert str(shown["as_read"]).endswith(unit)
    assert [act.name for act in done.acts].count("cut") == 3
    assert again.read() == done.read()


def test_what_was_undone_never_happened() -> None:
    record = Record(DEMO_BORES[0])
    record.enter({"event": "set", "diameter": "46.3 mm"})
    record.enter({"event": "seated"})
    record.enter({"event": "passed"})
    before = record.machine.truth()
    record.enter({"event": "moved", "lines": "+40"})
    record.enter({"event": "passed"})
    moved, passed = record.kept[-2:]
    record.kept[-2:] = [
        Kept(kept.stream, kept.number, kept.event, kept.payload, "", withdrawn=True) for kept in (moved, passed)
    ]
    after = record.machine.truth()
    assert (after.hole_mm, after.tool_mm) == (before.hole_mm, before.tool_mm)


def test_what_a_person_types_is_not_overwritten() -> None:
    record = Record(DEMO_BORES[0])
    assert record.enter({"event": "hole_checked", "as_read": "45.9"})["as_read"] == "45.9"
    assert record.enter({"event": "temperature", "of": "part", "celsius": "25"})["celsius"] == "25"


@pytest.mark.parametrize("bore", DEMO_BORES, ids=lambda bore: bore.name)
def test_the_job_file_says_what_is_told_of_the_machine(bore: DemoBore) -> None:
    """A demo that told other figures than its machine has would be no test of the advice."""
    told = SimulatedMachine(bore.kind, bore.seed, bore.job().units, tuple).truth().told()
    given = read_start(bore)
    assert given.hole.size.mm == pytest.approx(told.hole_mm, abs=0.0013)
    assert given.hole.within is not None
    assert given.hole.within.mm == pytest.approx(2 * told.hole_sd_mm, rel=0.06)
    assert given.push_off is not None
    assert given.push_off.guess.mm == pytest.approx(told.push_off_guess_mm, rel=0.02)
    assert given.push_off.at is not None
    assert given.push_off.at.mm == pytest.approx(told.push_off_at_mm, rel=0.01)
    assert given.gauge.step.mm == pytest.approx(told.gauge_step_mm)
    assert given.gauge.scatter is not None
    assert given.gauge.scatter.mm == pytest.approx(told.gauge_scatter_mm, rel=0.06)
    assert given.gauge.bias is not None
    assert given.gauge.bias.mm == pytest.approx(told.gauge_bias_sd_mm, rel=0.06)
    assert given.adjuster.line_mm == pytest.approx(told.line_mm)
    assert given.adjuster.kind == told.adjuster
    assert given.adjuster.lines_per_turn in {None, told.lines_per_turn}
    assert given.material == told.material
    assert given.min_depth is not None
    assert given.min_depth.mm == pytest.approx(told.min_depth_mm, rel=0.06)
    assert given.tool is not None
    assert given.tool.bench is not None
    assert given.tool.bench.mm == pytest.approx(told.bench_sd_mm, rel=0.06)
    assert given.tool.seat is not None
    assert given.tool.seat.mm == pytest.approx(told.seat_sd_mm, rel=0.06)
    limits = parse_callout(given.callout, bore.job().units)
    assert limits.lower_mm == pytest.approx(told.lower_mm, abs=1e-6)
    assert limits.upper_mm == pytest.approx(told.upper_mm, abs=1e-6)
