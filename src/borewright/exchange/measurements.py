"""One bore as it was measured, in a file: instrument, master, part, readings by place, and what the drawing asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Final

from borewright.callout import Callout, parse_callout
from borewright.errors import EntryError
from borewright.exchange.measured_on import MasterFacts, air_zero, master_of, require_near
from borewright.exchange.toml_faults import read_toml
from borewright.gauging.budget import Cause, scatter_of
from borewright.gauging.comparison import Body, Comparison
from borewright.gauging.conformity import Rule
from borewright.gauging.form import Placed
from borewright.gauging.instruments import INSTRUMENTS, AirZero, Instrument, Needle, instrument, over_master
from borewright.gauging.plugs import Plug
from borewright.materials.expansion import Expansion, expansion_of
from borewright.quantity.length import Length, Unit
from borewright.quantity.number import require_shop_celsius
from borewright.record.fields import (
    Payload,
    celsius,
    choice,
    day,
    flag,
    group,
    groups,
    length,
    number,
    read_payload,
    text,
    whole,
)
from borewright.record.payloads.bore import HELD

UNTAKEN_K: Final = 2.0
"""Standard uncertainty of a temperature that nobody took, K. Common practice, no source."""
THERMOMETER_K: Final = 0.3
"""Standard uncertainty of a temperature that was taken, where nobody says, K. Common practice, no source."""
WARMER_K: Final = 0.5
"""Standard uncertainty of the gauge's warmth in the bore over that on its master, K. Common practice, no source."""
UNSAID_TRAVEL_MM: Final = 2.0
"""What a needle shows at most where nobody says how far it goes. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFacts(Payload):
    """What was measured."""

    material: str | None = text("what it is made of.", optional=True)
    celsius: Decimal | None = celsius("its temperature.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeUse(Payload):
    """How the gauge is and was used."""

    instrument: str = choice("what it is.", *(each.name for each in INSTRUMENTS if each.name != "plug gauge"))
    step: Length = length("smallest step that it shows.", zero=False)
    needle: str | None = choice("what its face shows more of for a larger hole.", "plus", "minus", optional=True)
    travel: Length | None = length("how far it goes either way of its zero.", zero=False, optional=True)
    scatter: Length | None = length("standard deviation of one reading, by its history.", zero=False, optional=True)
    dof: int | None = whole("degrees of freedom of that.", 1, 10**6, optional=True)
    operator: Length | None = length("standard deviation between people.", optional=True)
    warmer: Decimal | None = number(
        "gauge in the bore warmer than on its master, K.", low="-50", high="50", optional=True
    )
    tilt_deg: Decimal | None = number("half width of the tilt left after rocking.", low="0", high="10", optional=True)
    off: Length | None = length("half width of the distance from the diameter.", optional=True)
    master_readings: int | None = whole("how often it was read on its master.", 1, 1000, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Payload):
    """What the gauge showed at one place."""

    shown: Length = length("what it showed: over or under its master, or a size.", signed=True)
    depth: Length | None = length("how far below the mouth.", optional=True)
    direction_deg: Decimal | None = number("direction across the bore, degrees.", low="-360", high="360", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleUse(Payload):
    """The rule by which it is judged."""

    name: str = choice("its name.", "proof", "simple", "guarded")
    confidence: Decimal | None = number("how sure proof must be.", low="0.5", high="0.9999", optional=True)
    ratio: Decimal | None = number("tolerance over 2U that simple acceptance asks.", low="1", high="100", optional=True)
    bands: Decimal | None = number("guard band over U.", low="0", high="5", optional=True)

    @property
    def rule(self) -> Rule:
        """The rule, what was not said filled in."""
        if self.name == "simple":
            return Rule("simple") if self.ratio is None else Rule("simple", ratio=float(self.ratio))
        if self.name == "guarded":
            return Rule("guarded") if self.bands is None else Rule("guarded", bands=float(self.bands))
        return Rule("proof") if self.confidence is None else Rule("proof", confidence=float(self.confidence))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugFacts(Payload):
    """A plug gauge that was tried in the bore."""

    size: Length = length("its size at 20 °C.", zero=False)
    u: Length = length("standard uncertainty of that, with fit and feel.", zero=False)
    entered: bool = flag("whether it went in.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessFacts(Payload):
    """What the process scatters by, for the risks of the rule."""

    mean: Length = length("where its bores lie.", zero=False)
    sd: Length = length("standard deviation of its bores.", zero=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement(Payload):
    """A bore as it was measured."""

    unit: str | None = choice("unit of every length given without one.", "mm", "in", optional=True)
    callout: str = text("size and tolerance as the drawing writes them.")
    gauge: GaugeUse = group("the gauge and its use.", GaugeUse)
    master: MasterFacts = group("what it was set on.", MasterFacts)
    part: PartFacts | None = group("what was measured.", PartFacts, optional=True)
    reading: tuple[Reading, ...] = groups("readings.", Reading)
    thermometer: Decimal | None = number(
        "standard uncertainty of the thermometer, K.", low="0", high="20", optional=True
    )
    envelope: bool | None = flag("whether the drawing asks that the largest plug goes in.", optional=True)
    state: str | None = choice("how the part was held.", *HELD, optional=True)
    day: date | None = day("when it was measured.", optional=True)
    plug: tuple[PlugFacts, ...] | None = groups("plug gauges tried in it.", PlugFacts, optional=True)
    process: ProcessFacts | None = group("what the process scatters by.", ProcessFacts, optional=True)
    rule: RuleUse | None = group("the rule by which it is judged.", RuleUse, optional=True)


@dataclass(frozen=True, slots=True)
class Measured:
    """A measurement made ready for its size.

    Args:
        callout: what the drawing asks.
        instrument: what it was measured with.
        comparison: the comparison of the mean.
        placed: sizes at 20 °C by place, mm.
        scatter_mm: standard deviation of one reading, mm.
        scatter_dof: its degrees of freedom.
        rule: the rule.
        envelope: whether the drawing asks for an envelope.
        state: how the part was held, or None.
        assumed: what was assumed because nobody said, in sentences.
        plugs: plug gauges that were tried.
        process: mean and standard deviation of the process, mm, or None.
    """

    callout: Callout
    instrument: Instrument
    comparison: Comparison
    placed: tuple[Placed, ...]
    scatter_mm: float
    scatter_dof: float
    rule: Rule
    envelope: bool
    state: str | None
    assumed: tuple[str, ...]
    plugs: tuple[Plug, ...] = ()
    process: tuple[float, float] | None = None


def read_measurement(file: Path) -> Measured:
    """Read a measurement from a file.

    Args:
        file: the file, TOML.

    Returns:
        The measurement.

    Raises:
        EntryError: the file or what it says cannot be understood or cannot be true.
        NotHeldError: a class is not held.
    """
    try:
        content = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise EntryError(
            f"The file cannot be read: {error}", given=str(file), right="Save it as text in UTF-8.", where="TOML"
        ) from None
    read = read_toml(content)
    if read.faults:
        raise read.faults[0]
    return measurement_of(read.values or {})


def measurement_of(mapping: Mapping[str, object]) -> Measured:
    """Make a measurement of plain values.

    Args:
        mapping: named values, as :class:`Measurement` declares them.

    Returns:
        The measurement.

    Raises:
        EntryError: what is said cannot be understood or cannot be true.
        NotHeldError: a class is not held.
    """
    given = mapping.get("unit")
    unit: Unit | None = "in" if given == "in" else "mm" if given == "mm" else None
    says = read_payload(Measurement, mapping, unit)
    if not says.reading:
        raise EntryError("There is no reading to make a size of.", given=0, right="Give one.", where="reading")
    callout = parse_callout(says.callout, unit)
    kind = instrument(says.gauge.instrument)
    assumed: list[str] = []
    zero = air_zero(says.master, kind)
    over = [_over(each, kind, says.gauge, zero, place) for place, each in enumerate(says.reading)]
    shown = [each.shown.mm for each in says.reading]
    size, u_master, words = master_of(says.master, kind, zero, says.gauge.step.mm, says.day, shown)
    assumed.extend(words)
    if kind.set_on:
        require_near(size, f"{size:.4f} mm", callout, "master", "master.size")
    for place, (each, reading) in enumerate(zip(over, says.reading, strict=True)):
        mm = size + each if kind.set_on else each
        require_near(mm, reading.shown.text, callout, "reading", f"reading[{place}].shown")
    scatter, dof = _scatter(says.gauge, over, assumed)
    part, master, both_warm = _bodies(says, assumed)
    if kind.set_on and says.gauge.master_readings is None:
        assumed.append("The gauge was read once on its master when it was set.")
    if says.gauge.warmer is None:
        assumed.append("The gauge is as warm in the bore as on its master, within 0.5 K.")
    mean = sum(over) / len(over)
    comparison = Comparison(
        master_mm=size if kind.set_on else mean,
        u_master_mm=u_master,
        over_mm=mean if kind.set_on else 0.0,
        readings=len(over),
        master_readings=(says.gauge.master_readings or 1) if kind.set_on else 0,
        scatter_mm=scatter,
        scatter_dof=dof,
        step_mm=says.gauge.step.mm,
        part=part,
        master=master,
        u_both_warm=both_warm,
        gauge_warmer=float(says.gauge.warmer or 0),
        u_gauge_warmer=WARMER_K,
        tilt_deg=float(says.gauge.tilt_deg or 0),
        master_tilt_deg=float(says.gauge.tilt_deg or 0) if kind.set_on else 0.0,
        off_mm=0.0 if says.gauge.off is None else says.gauge.off.mm,
        operator_mm=0.0 if says.gauge.operator is None else says.gauge.operator.mm,
        others=(Cause("feel", kind.feel_mm),) if kind.feel_mm else (),
    )
    central = comparison.budget().size_mm
    placed = tuple(
        Placed(central + each - mean, _mm(reading.depth), float(reading.direction_deg or 0))
        for each, reading in zip(over, says.reading, strict=True)
    )
    rule = Rule("proof") if says.rule is None else says.rule.rule
    if says.rule is None:
        assumed.append(f"The rule: {rule.text}, since order and drawing were not said to name one.")
    return Measured(
        callout,
        kind,
        comparison,
        placed,
        scatter,
        dof,
        rule,
        bool(says.envelope),
        says.state,
        tuple(assumed),
        tuple(Plug(each.size.mm, each.u.mm, each.entered) for each in says.plug or ()),
        None if says.process is None else (says.process.mean.mm, says.process.sd.mm),
    )


def _over(reading: Reading, kind: Instrument, gauge: GaugeUse, zero: AirZero | None, place: int) -> float:
    """Return what a reading is over the master, or the size that it is, mm."""
    if not kind.set_on:
        if reading.shown.mm <= 0.0:
            raise EntryError(
                "This instrument shows a size.",
                given=reading.shown.text,
                right="Give the size, without a sign.",
                where=f"reading[{place}].shown",
            )
        return reading.shown.mm
    if zero is not None:
        try:
            return zero.size(reading.shown.mm)[0] - zero.small_mm
        except EntryError as error:
            raise error.at(f"reading[{place}]") from None
    if gauge.needle is None:
        raise EntryError(
            "It is not said which way its needle goes.",
            right="Give needle: plus or minus for a larger hole.",
            where="gauge.needle",
        )
    if gauge.travel is None and abs(reading.shown.mm) > UNSAID_TRAVEL_MM:
        raise EntryError(
            f"A needle seldom goes further than {UNSAID_TRAVEL_MM:g} mm.",
            given=reading.shown.text,
            right="Check unit and sign, or give travel under [gauge].",
            where=f"reading[{place}].shown",
        )
    needle: Needle = "minus" if gauge.needle == "minus" else "plus"
    try:
        return over_master(reading.shown.mm, needle, None if gauge.travel is None else gauge.travel.mm)
    except EntryError as error:
        raise error.at(f"reading[{place}]") from None


def _scatter(gauge: GaugeUse, over: list[float], assumed: list[str]) -> tuple[float, float]:
    """Return the scatter of one reading and its degrees of freedom."""
    if gauge.scatter is not None:
        return gauge.scatter.mm, float(gauge.dof) if gauge.dof is not None else float("inf")
    if len(over) < 3:
        assumed.append("The gauge's scatter: one step, since neither its history nor three readings tell.")
        return gauge.step.mm, 3.0
    assumed.append("The gauge's scatter is that of these readings, form and all.")
    s, dof = scatter_of(over)
    return max(s, gauge.step.mm / 12.0**0.5), dof


def _bodies(says: Measurement, assumed: list[str]) -> tuple[Body, Body, float]:
    """Return part and master, and what of their warmth they share."""
    facts = says.part or PartFacts()
    require_shop_celsius(facts.celsius, "part", "part.celsius")
    require_shop_celsius(says.master.celsius, "master", "master.celsius")
    grows, master_grows = expansion_of(facts.material), expansion_of(says.master.material or "steel")
    taken = THERMOMETER_K if says.thermometer is None else float(says.thermometer)
    if facts.celsius is None:
        assumed.append("The part is at 20 °C within 2 K: its temperature was not taken.")
    if facts.celsius is None and says.master.celsius is None:
        # Nobody took either: both are taken to lie in one room, so that what they share is what is not known.
        part, master, shared = _body(None, grows, 0.3), _body(None, master_grows, 0.3), UNTAKEN_K
    elif facts.celsius is not None and says.master.celsius is not None:
        half = taken / 2.0**0.5
        part, master, shared = _body(facts.celsius, grows, half), _body(says.master.celsius, master_grows, half), half
    else:
        part = _body(facts.celsius, grows, UNTAKEN_K if facts.celsius is None else taken)
        master = _body(says.master.celsius, master_grows, UNTAKEN_K if says.master.celsius is None else taken)
        shared = 0.0
    return part, master, shared


def _body(celsius_taken: Decimal | None, grows: Expansion, u_own: float) -> Body:
    above = 0.0 if celsius_taken is None else float(celsius_taken) - 20.0
    return Body(above_20=above, u_own=u_own, per_kelvin=grows.per_kelvin, u_per_kelvin=grows.sd_per_kelvin)


def _mm(given: Length | None) -> float:
    return 0.0 if given is None else given.mm
