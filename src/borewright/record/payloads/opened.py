"""The opening of a bore: what was typed, and everything that is frozen with it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from borewright.errors import EntryError
from borewright.quantity.length import Length
from borewright.record.fields import Payload, celsius, choice, flag, group, groups, length, number, text
from borewright.record.payloads.cut import CutFacts
from borewright.record.payloads.shared import Adjuster, StreamRef


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole(Payload):
    """The hole as it is before the first pass."""

    size: Length = length("the hole's diameter as it is.", zero=False)
    within: Length | None = length("half the width that holds it 95 times in 100.", zero=False, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeFacts(Payload):
    """What is known of the bore gauge."""

    step: Length = length("smallest step that it shows.", zero=False)
    scatter: Length | None = length("standard deviation of one reading.", zero=False, optional=True)
    bias: Length | None = length("standard deviation of one setting's common error.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class PushOff(Payload):
    """What is thought of push-off before the first pass."""

    guess: Length = length("how much smaller the hole comes out than the tool is set.", signed=True)
    at: Length | None = length("the depth set, on the diameter, that the guess is for.", zero=False, optional=True)
    factor: Decimal | None = number(
        "one standard deviation, as a factor: 1.5 says as likely two thirds as one and a half.",
        low="1.01",
        high="5",
        optional=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CutHole(Payload):
    """The tool stands as it cut the hole: nothing was moved since."""

    depth: Length | None = length("the depth set, on the diameter, of that pass.", zero=False, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolFacts(Payload):
    """What is known of the assembled tool; each a standard deviation on the diameter unless it says otherwise."""

    id: str | None = text("name of the tool's own record, shared by bores cut with it.", optional=True)
    set: Length | None = length("its diameter, where it is set already.", zero=False, optional=True)
    cut_hole: CutHole | None = group("given where the tool in the spindle cut the hole.", CutHole, optional=True)
    bench: Length | None = length("of the bench's reading against the spindle.", optional=True)
    seat: Length | None = length("of one seating in the spindle.", optional=True)
    lock: Length | None = length("of one lock shift about its mean.", optional=True)
    backlash: Length | None = length("the backlash itself, on the diameter.", optional=True)
    proved: bool | None = flag("whether a known move has shown what a line is worth.", optional=True)
    material: str | None = text("what the tool's body is made of.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFacts(Payload):
    """The rule by which the bore is judged."""

    name: str = choice(
        "proof, simple acceptance, or guarded by a band inside both limits.", "proof", "simple", "guarded"
    )
    confidence: Decimal | None = number("how sure proof must be.", low="0.5", high="0.9999", optional=True)
    ratio: Decimal | None = number("tolerance over 2U that simple acceptance asks.", low="1", high="100", optional=True)
    bands: Decimal | None = number("h of a guarded rule: its band over U.", low="0", high="5", optional=True)
    probe: str | None = choice(
        "whether readings of the machine's own probe may release a bore; they may not where nothing is said.",
        "counts",
        optional=True,
    )

    def __post_init__(self) -> None:
        if self.bands is not None and self.name != "guarded":
            raise EntryError(
                f"The rule {self.name} has no guard band.",
                given=format(self.bands, "f"),
                right='Leave bands out, or name the rule "guarded".',
                where="bands",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CostFacts(Payload):
    """What things cost, in passes; any unit will do as long as all are in the same."""

    pass_: Decimal | None = number("one pass.", low="0.000001", optional=True)
    trial: Decimal | None = number("one trial cut.", low="0", optional=True)
    measurement: Decimal | None = number("one measurement of two readings.", low="0", optional=True)
    wait: Decimal | None = number(
        "an hour of waiting for a part to come to its room's temperature.", low="0", optional=True
    )
    scrap: Decimal | None = number("a part lost or set aside.", low="0", optional=True)
    escape: Decimal | None = number("a bad hole released.", low="0", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperatures(Payload):
    """What is known of warmth when the bore is opened."""

    part: Decimal | None = celsius("the part's temperature.", optional=True)
    tool: Decimal | None = celsius("the tool's temperature.", optional=True)
    within: Decimal | None = number("standard deviation of the thermometer, K.", low="0", high="20", optional=True)
    spread: Decimal | None = number(
        "standard deviation of the part's distance from 20 °C where it is not taken, K.",
        low="0",
        high="20",
        optional=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Start(Payload):
    """What a bore can be started with: callout, hole, adjuster, gauge, and a push-off guess or a cut at least."""

    one_of: ClassVar[tuple[str, ...]] = ("push_off", "cut")

    callout: str = text("size and tolerance as the drawing writes them.")
    unit: str | None = choice("unit of every length given without one.", "mm", "in", optional=True)
    hole: Hole = group("the hole as it is.", Hole, short="size")
    adjuster: Adjuster = group("what changes the tool's diameter.", Adjuster)
    gauge: GaugeFacts = group("what is known of the bore gauge.", GaugeFacts)
    push_off: PushOff | None = group("what is thought of push-off.", PushOff, short="guess", optional=True)
    cut: CutFacts | None = group("how it is cut, from which physics makes a push-off.", CutFacts, optional=True)
    name: str | None = text("what the bore is called.", optional=True)
    material: str | None = text("what the part is made of.", optional=True)
    tool: ToolFacts | None = group("what is known of the tool.", ToolFacts, optional=True)
    temperature: Temperatures | None = group("what is known of warmth.", Temperatures, optional=True)
    min_depth: Length | None = length("smallest depth set that still cuts.", zero=False, optional=True)
    deep: Length | None = length("how deep the bore is.", zero=False, optional=True)
    clamps: Length | None = length(
        "standard deviation of what letting the clamps go changes of the bore, as of a thin wall.", optional=True
    )
    ovality: Length | None = length("standard deviation of out of round, on the diameter.", optional=True)
    mouth: str | None = choice(
        "the bore's mouth: a chamfer or lead-in that takes a trial cut away, or none.",
        "chamfer",
        "sharp",
        optional=True,
    )
    rule: RuleFacts | None = group("the rule by which it is judged.", RuleFacts, optional=True)
    costs: CostFacts | None = group("what things cost.", CostFacts, optional=True)
    gauge_id: str | None = text("name of the gauge's own record, shared by bores measured with it.", optional=True)
    history: str | None = choice(
        "whether it begins with what earlier bores taught; it does where nothing is said.",
        "use",
        "leave out",
        optional=True,
    )
    machine: str | None = choice(
        "what cuts it, metal where nothing is said: a bore that a simulated machine cuts teaches none of metal.",
        "metal",
        "simulated",
        optional=True,
    )

    @property
    def simulated(self) -> bool:
        """Whether a simulated machine cuts it."""
        return self.machine == "simulated"


@dataclass(frozen=True, slots=True, kw_only=True)
class Frozen(Payload):
    """One prior or setting as it holds for this bore from its opening on."""

    what: str = text("its name in the model.")
    value: str = text("the value, with its unit.")
    width: str | None = text("one standard deviation, with its unit.", optional=True)
    origin: str = text("typed, assumed, or where it was learned.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Together(Payload):
    """Two priors that were learned together: where one is off, the other is likely to be."""

    first: str = text("the name of one in the model.")
    second: str = text("the name of the other.")
    correlation: Decimal = number("their correlation.", low="-1", high="1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits(Payload):
    """The limits as the callout was understood on the day."""

    lower: Length = length("smallest size allowed.")
    upper: Length = length("largest size allowed.")
    source: str = text("the table they rest on.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened(Payload):
    """A bore is opened: what was typed, the limits, and every prior, frozen with width and origin."""

    given: Start = group("what was typed.", Start)
    limits: Limits = group("the limits.", Limits)
    frozen: tuple[Frozen, ...] = groups("every prior and setting.", Frozen)
    rule: RuleFacts = group("the rule by which it is judged, whole.", RuleFacts)
    costs: CostFacts = group("what things cost, whole.", CostFacts)
    tool: StreamRef = group("the tool as it stood.", StreamRef)
    gauge: StreamRef = group("the gauge as it stood.", StreamRef)
    model: str = text("the model that froze them.")
    together: tuple[Together, ...] | None = groups(
        "priors that were learned together; every other pair is independent.", Together, optional=True
    )
