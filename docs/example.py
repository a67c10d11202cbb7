"""One bore, from what little is known to the next move: thirty lines against the front door."""

from __future__ import annotations

from borewright import Bore

bore = Bore.start(
    {
        "callout": "38.5 ±0.009",
        "unit": "mm",
        "hole": "37.902",
        "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "lines_per_turn": 50},
        "gauge": {"step": "0.001"},
        "push_off": "0.02",
    }
)
advice = bore.advise()
print(advice["say"])  # what to set the tool to; the steps, the odds and every assumption stand beside it

bore.record({"event": "set", "diameter": "38.240"})
bore.record({"event": "seated"})
bore.record({"event": "passed"})
for as_read in ("38.221", "38.220"):
    heard = bore.record({"event": "read", "as_read": as_read})
print(heard["state"], heard["warnings"])

advice = bore.advise()
print(advice["say"])
print(advice["why"])
print(advice["passes_left"], "passes planned; the next one leaves", advice["expect"]["size"])
print("the odds then, over size, in tolerance, under size:", list(advice["odds"].values()))
