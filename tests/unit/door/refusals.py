"""Everything the door refuses: what was entered in which state, the field it is about, and the words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from borewright import Bore
from borewright.errors import BorewrightError, EntryError, NotHeldError, OutOfTurnError
from tests.unit.door.sessions import CUT, FINISHED, FULL, OFFSET, READOUT, SESSIONS, Session, played, released

GONE = object()
"""Stands for a field that is left out."""


@dataclass(frozen=True, slots=True)
class Refused:
    """One thing that is refused.

    Args:
        given: what is given; for a start, the fields that differ from the least one.
        where: the field that the error names.
        wrong: what is wrong, as the error says it.
        error: the error.
        right: a part of what would be right.
    """

    given: Any
    where: str
    wrong: str
    error: type[BorewrightError] = EntryError
    right: str = ""


def dial(**fields: object) -> dict[str, object]:
    return {"adjuster": {"kind": "dial", "on": "diameter", "line": "0.002", **fields}}


def by_cut(material: str | None = "42CrMo4", **fields: object) -> dict[str, object]:
    cut = {"feed": "0.08", "nose": "0.4", "overhang": "90", "push_test": [{"load": 100, "gives": "0.009"}], **fields}
    return {"push_off": GONE, "material": material, "cut": cut}


STARTS: tuple[Refused, ...] = (
    Refused([1], "", "Named fields are wanted."),
    Refused({"callout": GONE}, "callout", "The callout is missing."),
    Refused({"callout": 27}, "callout", "The callout is missing."),
    Refused({"callout": "27.030"}, "callout", "There is no tolerance in it."),
    Refused({"callout": "4000 H6"}, "callout", "Classes are held above 0 and up to 500 mm.", NotHeldError),
    Refused({"unit": "cm"}, "unit", "That is not one of the choices.", right="mm or in"),
    Refused({"unit": GONE}, "callout", "The unit is missing."),
    Refused({"hole": GONE}, "hole", "It is missing."),
    Refused({"hole": None}, "hole", "It is missing."),
    Refused({"hole": "27.1"}, "hole.size", "The hole is larger than the upper limit already.", right="27.038 mm"),
    Refused({"hole": "13.25"}, "hole.size", "The hole is less than half the size wanted.", right="diameter"),
    Refused({"hole": {"size": "26.5", "width": "1"}}, "hole", "There is no such field.", right="Did you mean within?"),
    Refused({"hole": {"size": "0"}}, "hole.size", "It cannot be nothing."),
    Refused({"hole": [26.5]}, "hole", "Named fields are wanted."),
    Refused({"hole": True}, "hole.size", "A length is wanted."),
    Refused({"hole": {"size": "26.5 cm"}}, "hole.size", "Bores are not measured in centimetres."),
    Refused({"hole": {"size": float("nan")}}, "hole.size", "That is not a number that can be measured."),
    Refused({"hole": {"size": "-26.5"}}, "hole.size", "A size has no sign."),
    Refused({"hole": {"size": "-26.5 mm"}}, "hole.size", "It cannot be negative."),
    Refused({"hole": 10**5000}, "hole.size", "That number is far too large."),
    Refused({"pushoff": "0.02"}, "", "There is no such field.", right="Did you mean push_off?"),
    Refused({7: "x"}, "", "There is no such field.", right="Known here"),
    Refused({"push_off": "0.5"}, "push_off.guess", "Push-off cannot be as much as the depth set."),
    Refused({"push_off": {"guess": "0.02", "factor": "1"}}, "push_off.factor", "That is below 1.01."),
    Refused({"push_off": {"guess": "0.02", "factor": 6}}, "push_off.factor", "That is above 5."),
    Refused({"push_off": {"guess": "0.02", "factor": [2]}}, "push_off.factor", "A number is wanted."),
    Refused({"push_off": GONE}, "push_off", "It is missing.", right="or how it is cut"),
    Refused(by_cut(push_test=GONE), "cut.push_test", "How the tool gives way is missing", right="bar"),
    Refused(by_cut(push_test=GONE, bar={"diameter": "20"}, overhang=GONE), "cut.overhang", "A bar gives way by its"),
    Refused(by_cut(feed="0.5"), "cut.feed", "A nose of 0.4 mm does not allow this feed", right="0.2000 mm a turn"),
    Refused(by_cut(material=None), "material", "The material is missing"),
    Refused(by_cut(material="oak"), "material", "No cutting force is held for this material.", NotHeldError),
    Refused(by_cut(speed="2800"), "cut.speed", "42CrMo4 is not cut at 2800 m/min", right="ft/min"),
    Refused(by_cut(speed="900 rpm"), "cut.speed", "Revolutions are no cutting speed", right="ft/min"),
    Refused(by_cut(speed="9000 sfm"), "cut.speed", "42CrMo4 is not cut at 9000 ft/min", right="820 ft/min"),
    Refused(by_cut(wiper="2"), "cut.wiper", "A wiper's flat is not that long.", right="1.2000 mm"),
    Refused(by_cut(edge="blunt"), "cut.edge", "That is not one of the choices."),
    Refused(
        by_cut(push_test=[{"load": 1, "gives": "0.9"}]),
        "cut.push_test[0].gives",
        "A tool that gives way so",
        right="both units",
    ),
    Refused(by_cut(force={"kc": "1800", "exponent": "0.25"}), "cut.force.source", "It is missing."),
    Refused({"adjuster": "dial"}, "adjuster", "Named fields are wanted."),
    Refused(dial(kind="knob"), "adjuster.kind", "That is not one of the choices.", right="dial, direct or offset"),
    Refused(dial(on=GONE), "adjuster.on", "It is missing.", right="diameter or the radius"),
    Refused(dial(line=GONE), "adjuster.line", "A dial needs the worth of one line."),
    Refused(dial(step="0.001"), "adjuster.step", "A dial has lines, not steps."),
    Refused(dial(kind="direct"), "adjuster.step", "A readout or an offset needs its smallest step."),
    Refused(dial(kind="offset", step="0.001"), "adjuster.line", "Only a dial has lines."),
    Refused(dial(lines_per_turn="50.5"), "adjuster.lines_per_turn", "It must be a whole number."),
    Refused(dial(lines_per_turn=1), "adjuster.lines_per_turn", "That is below 2."),
    Refused(dial(lines_per_turn=True), "adjuster.lines_per_turn", "A whole number is wanted."),
    Refused(dial(split=11), "adjuster.split", "That is above 10."),
    Refused({"gauge": {"step": "0"}}, "gauge.step", "It cannot be nothing."),
    Refused({"gauge_id": "gauge 2"}, "gauge_id", "That cannot name a stream."),
    Refused({"tool": {"id": "-9"}}, "tool.id", "That cannot name a stream."),
    Refused(
        {"tool": {"set": "13.4"}}, "tool.set", "A set diameter cannot be that far from 27.0300 mm.", right="radius"
    ),
    Refused({"tool": {"proved": "yes"}}, "tool.proved", "Yes or no is wanted.", right="true or false"),
    Refused({"name": 3}, "name", "Words are wanted."),
    Refused({"name": " \n "}, "name", "Nothing stands there."),
    Refused({"name": "x" * 2001}, "name", "2001 characters are too many."),
    Refused({"name": "bell\a"}, "name", "It holds a control character."),
    Refused({"name": "half \ud83d"}, "", "There is half a letter in it, which cannot be stored."),
    Refused({"temperature": {"part": {}}}, "temperature.part", "A temperature is wanted."),
    Refused({"temperature": {"part": "70"}}, "temperature.part", "That may be °C or °F.", right="70 C or 70 F"),
    Refused({"temperature": {"part": "294 K"}}, "temperature.part", "Kelvin is not used at a machine."),
    Refused(
        {"rule": {"name": "guess"}}, "rule.name", "That is not one of the choices.", right="proof, simple or guarded"
    ),
    Refused({"rule": {"name": "proof", "bands": 1}}, "rule.bands", "The rule proof has no guard band."),
    Refused({"costs": {"pass": 1}}, "costs", "There is no such field.", right="Did you mean pass_?"),
)
"""What a bore is not started with; each row differs from the least start in the fields given."""


def started(*entries: Mapping[str, object], start: Mapping[str, object] = FULL) -> Callable[[], Bore]:
    return lambda: played(Session(start, entries))


STATES: Mapping[str, Callable[[], Bore]] = {
    "to set": started(),
    "cut": started(*CUT),
    "measured": started(*FINISHED),
    "released": lambda: played(SESSIONS["dial, released"]),
    "set aside": started({"event": "quarantined", "reason": "a chatter mark"}),
    "retired": started(*CUT, {"event": "retired", "reason": "worn"}),
    "withdrawn": started(*FINISHED, {"event": "corrected", "event_number": 5}),
    "readout": started({"event": "set", "diameter": "1.8610"}, start=READOUT),
    "offset": started(start=OFFSET),
}
"""Bores in the states that entries are refused in."""


def shown(**fields: object) -> Callable[[Bore], dict[str, object]]:
    """Make a release with the numbers of the advice, less those given."""
    return lambda bore: {**released(bore), **fields}


def read(as_read: object, **fields: object) -> dict[str, object]:
    return {"event": "read", "as_read": as_read, **fields}


def moved(**fields: object) -> dict[str, object]:
    return {"event": "moved", **fields}


def proved(**fields: object) -> dict[str, object]:
    return {"event": "proved", "within": "0.0001", **fields}


def indicator(worth: float = 1.0) -> dict[str, object]:
    """What an indicator shows while a dial of 0.002 mm a line is proved, were a line worth so many times as much."""
    radii = [(at, worth * mm) for at, mm in (("opened", 0.15), ("locked", 0.151), ("back", 0.006)) * 5]
    radii += [("home", 0.0), *(("line", worth * 0.001 * count) for count in range(1, 6))]
    return {"lines": 150, "step": "0.0005", "shown": [{"at": at, "shown": f"{mm:.4f}"} for at, mm in radii]}


def advised(shown: object) -> dict[str, object]:
    return {"event": "advised", "model": "m", "action": "cut", "shown": shown}


def corrected(number: object, stream: str = "bore", **replacement: object) -> dict[str, object]:
    fields = {"replacement": replacement} if replacement else {}
    return {"event": "corrected", "stream": stream, "event_number": number, **fields}


def deep(levels: int) -> dict[str, object]:
    inner: dict[str, object] = {}
    for _ in range(levels):
        inner = {"in": inner}
    return inner


def certified(due: str) -> dict[str, object]:
    return {"event": "certified", "size": "26.5012", "expanded": "0.0008", "dated": "2026-03-01", "due": due}


RELEASE = {"event": "released", "verdict": "in", "probability": 1, "rule": "x", "size": "27.03", "expanded": "0.001"}

ENTRIES: tuple[tuple[str, Refused], ...] = (
    ("to set", Refused("read 27.03", "", "Named fields are wanted.")),
    ("to set", Refused({}, "event", "What happened is missing.")),
    (
        "to set",
        Refused({"event": "temperature", "of": "part", "celsius": 70}, "celsius", "That may be °C or °F.", right="F."),
    ),
    ("to set", Refused({"event": "set_on", "on": "ring", "size": "10"}, "size", "A master cannot be that far from")),
    ("to set", Refused({"event": "set_on", "on": "ring", "size": "1.06"}, "size", "A master cannot be", right="in")),
    ("to set", Refused({"event": "reed"}, "event", "There is no such event.", right="Did you mean read?")),
    ("to set", Refused({"event": ["read"]}, "event", "There is no such event.")),
    ("to set", Refused({"event": "noted", "stream": "ring"}, "stream", "There is no stream of that kind.")),
    ("to set", Refused({"event": "read", "stream": "gauge"}, "event", "There is no such event.", right="Known: ")),
    ("to set", Refused(certified(due="in March"), "due", "That is not a day.", right="2027-03-01")),
    ("to set", Refused(certified(due="2027-02-30"), "due", "That is not a day.")),
    ("to set", Refused(certified(due="2026-03-01"), "due", "A certificate cannot fall due before it was given.")),
    (
        "to set",
        Refused({"event": "set_on", "size": "26.5", "master_u": "0.2"}, "master_u", "No master is known that badly."),
    ),
    ("to set", Refused({"event": "read"}, "as_read", "It is missing.", right="what the gauge showed")),
    ("to set", Refused(read("27.03", at="yesterday"), "at", "That is not a time.")),
    ("to set", Refused(read("27.03", at="2031-02-30T10:00Z"), "at", "That is not a time.")),
    ("to set", Refused(read("27.03", at="2031-02-28T10:00"), "at", "That is not a time.")),
    ("to set", Refused(read("27.03", by=""), "by", "That is not a name.")),
    ("to set", Refused(read("27.03", by="n" * 81), "by", "That is not a name.")),
    ("to set", Refused(read("27.03", place={"depth": "x"}), "place.depth", "That is not a length.")),
    ("to set", Refused(read("13.255"), "as_read", "A reading cannot be that far from 26.5100 mm.", right="radius")),
    ("to set", Refused(read("1.0437"), "as_read", "A reading cannot be that far from 26.5100 mm.", right="inches")),
    ("to set", Refused(read("26.5 in"), "as_read", "A reading cannot be that far from 1.04370 in.", right="millim")),
    ("to set", Refused(read("2.6510"), "as_read", "A reading cannot be that far from 26.5100 mm.", right="point")),
    ("to set", Refused(read("30"), "as_read", "A reading cannot be that far from 26.5100 mm.", right="whole diameter")),
    ("to set", Refused({"event": "hole_checked", "as_read": "3"}, "as_read", "A reading cannot be that far from 26.5")),
    ("to set", Refused({"event": "set", "diameter": "13.4"}, "diameter", "A set diameter cannot be that far from 27")),
    ("to set", Refused({"event": "passed"}, "tool", "A pass needs a tool that was set.", OutOfTurnError)),
    ("to set", Refused({"event": "seated"}, "tool", "The tool was not set yet.", OutOfTurnError)),
    ("to set", Refused(moved(lines=1), "tool", "The tool was not set yet.", OutOfTurnError)),
    ("to set", Refused(RELEASE, "release", "There is no reading of the finished bore.", OutOfTurnError)),
    ("to set", Refused({"event": "reopened", "reason": "x"}, "", "The bore is open already.", OutOfTurnError)),
    (
        "to set",
        Refused(
            lambda bore: {"event": "opened", **bore.events()[0].payload},
            "",
            "That is what its record began with; it happens once.",
            OutOfTurnError,
        ),
    ),
    (
        "to set",
        Refused(
            {"event": "assembled", **dial()}, "", "That is what its record began with; it happens once.", OutOfTurnError
        ),
    ),
    ("to set", Refused(advised([1]), "shown", "Named fields are wanted.")),
    ("to set", Refused(advised({"odds": {"in": float("inf")}}), "shown.odds.in", "That is not a number that can be")),
    ("to set", Refused(advised({"n": [1, 10**5000]}), "shown.n[1]", "That number is far too large.")),
    ("to set", Refused(advised({"n": Decimal("1e-99")}), "shown.n", "That number has more digits than any")),
    ("to set", Refused(advised({"n": {1}}), "shown.n", "That cannot be stored.")),
    ("to set", Refused(advised(deep(30)), "shown" + 21 * ".in", "Brackets in brackets are too deep.")),
    ("to set", Refused(advised({"half": "\udc00"}), "", "There is half a letter in it, which cannot be stored.")),
    ("cut", Refused({"event": "hole_checked", "as_read": "26.7"}, "", "The hole was cut already.", OutOfTurnError)),
    ("cut", Refused(moved(), "", "How far it was moved is missing.")),
    ("cut", Refused(moved(lines=1, change="0.1"), "", "It is given both in lines and as a length.")),
    ("cut", Refused(moved(change="0.1"), "lines", "This adjuster is a dial.")),
    ("cut", Refused(moved(lines=4000), "lines", "The tool cannot be moved that far at once.", right="not the reading")),
    (
        "cut",
        Refused(proved(line="0.001"), "line", "It cannot come to that: it is worth 0.002", right="on the diameter"),
    ),
    ("cut", Refused(proved(line="0.0021", readings=indicator()), "line", "The readings give 0.0020")),
    (
        "cut",
        Refused(
            proved(line="0.004", readings=indicator(2.0)),
            "readings",
            "A line came to 2 times what is told of it.",
            right="the radius",
        ),
    ),
    (
        "cut",
        Refused(proved(line="0.002", readings={**indicator(), "shown": "0.15"}), "readings.shown", "A list is wanted."),
    ),
    (
        "cut",
        Refused(
            {"event": "rechecked", "size": "27.000", "as_read": "13.501"},
            "as_read",
            "A master's reading cannot be that far from 27.0000 mm.",
            right="radius",
        ),
    ),
    ("cut", Refused(corrected(99), "event_number", "There is no event of that number.", NotHeldError, "from 1 to 3")),
    (
        "cut",
        Refused(
            corrected(1, "gauge"), "event_number", "There is no event of that number.", NotHeldError, "Nothing was"
        ),
    ),
    ("cut", Refused(corrected("first"), "event_number", "That is not a number.")),
    ("cut", Refused(corrected(1), "event_number", "Event 1 (opened) stands as it was done and cannot", OutOfTurnError)),
    ("cut", Refused(corrected(2, as_red="26.51"), "replacement", "There is no such field.", right="as_read")),
    ("cut", Refused(corrected(2, place={}), "replacement.as_read", "It is missing.")),
    ("cut", Refused(corrected(2, as_read="2.6512"), "replacement.as_read", "A reading cannot be that far from 26.51")),
    (
        "cut",
        Refused(corrected(2, "tool", diameter="13.4"), "replacement.diameter", "A set diameter cannot be that far"),
    ),
    (
        "cut",
        Refused(
            corrected(2, as_read="26.511", place={"depth": "5", "direction_deg": "0"}),
            "replacement",
            "That is what stands there already.",
        ),
    ),
    ("measured", Refused(shown(size="27.031"), "size", "The evidence now gives 27.03")),
    ("measured", Refused(shown(expanded="1"), "expanded", "The evidence now gives 0.00")),
    ("measured", Refused(shown(rule="none"), "rule", "The evidence now gives ")),
    ("measured", Refused(shown(probability="0.5"), "probability", "The evidence now gives ")),
    ("measured", Refused(shown(verdict="out"), "verdict", "That is not one of the choices.")),
    ("released", Refused(read("27.03"), "", "The bore is released.", OutOfTurnError, "Reopen it")),
    ("released", Refused({"event": "passed"}, "", "The bore is released.", OutOfTurnError, "Reopen it")),
    ("set aside", Refused({"event": "quarantined", "reason": "x"}, "", "The bore is quarantined.", OutOfTurnError)),
    ("set aside", Refused({"event": "reopened"}, "reason", "It is missing.")),
    ("retired", Refused({"event": "passed"}, "", "The tool is retired.", OutOfTurnError)),
    ("withdrawn", Refused(corrected(5), "event_number", "That event is withdrawn already.", OutOfTurnError)),
    ("readout", Refused(moved(lines=1), "lines", "This adjuster is a readout and has no lines.")),
    ("readout", Refused(moved(change="0.2"), "change", "The tool cannot be moved that far at once.", right="unit")),
    ("offset", Refused(moved(lines=1), "lines", "This adjuster is an offset and has no lines.")),
    ("offset", Refused(moved(shown_locked="0.1"), "change", "An offset is entered.")),
    ("offset", Refused(RELEASE, "release", "There is no reading of the finished bore.", OutOfTurnError)),
)
"""What is not recorded, and in which state."""
