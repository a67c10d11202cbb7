"""Bores in memory that are sized on their simulated machines, for what the pages show of them."""

from __future__ import annotations

from borewright.exchange.demo import DEMO_BORES
from borewright.record.stream import Event
from borewright.rehearsal.machine import SimulatedMachine
from borewright.shop.kept import Kept, in_effect, in_spindle, kept_events, since_opening
from borewright.sizing.bore import Bore
from borewright.sizing.wanted import Wanted, wanted_by
from borewright.web.views import SizeView, size_view

PINION, REGISTER, HUB, CELL, TRUNNION = range(5)


class Sized:
    """A bore of the demo and the machine behind it.

    Args:
        number: which bore of the demo.
    """

    def __init__(self, number: int) -> None:
        demo = DEMO_BORES[number]
        self.bore = Bore.start(demo.bore().mapping, at="2027-03-01T06:00:00Z", by="R. Amberley")
        self.stored: list[Event] = []
        self.taken = {"tool": 0, "gauge": 0, "bore": 0}
        self.machine = SimulatedMachine(demo.kind, demo.seed, self.bore.unit, lambda: in_effect(self.history()))
        self._take()

    def history(self) -> tuple[Kept, ...]:
        return kept_events(self.stored)

    def wanted(self) -> Wanted:
        return wanted_by(self.bore.advise(), in_spindle=in_spindle(since_opening(self.history())))

    def record(self, entry: dict[str, object]) -> dict[str, object]:
        done = self.bore.record({**entry, "at": "2027-03-01T06:10:00Z", "by": "R. Amberley"})
        self._take()
        return done

    def step(self) -> None:
        self.record(self.machine.carry_out(self.wanted().order))

    def until(self, action: str) -> Sized:
        for _ in range(30):
            if self.bore.advise()["action"] == action:
                return self
            self.step()
        raise AssertionError(action)

    def view(self, unit: str | None = None) -> SizeView:
        return size_view("b-1", self.bore, self.history(), unit=unit)  # type: ignore[arg-type]

    def _take(self) -> None:
        for kind in ("tool", "gauge", "bore"):
            events = self.bore.events(kind)
            self.stored += events[self.taken[kind] :]
            self.taken[kind] = len(events)
