"""How a bore is cut: the tool's edge, how the tool gives way, speed and feed, and what is asked of the surface."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from borewright.cutting.compliance import JOINTS
from borewright.cutting.least_chip import EDGES
from borewright.errors import EntryError
from borewright.materials.bar import BARS
from borewright.quantity.length import Length
from borewright.quantity.speed import Speed
from borewright.record.fields import Payload, choice, group, groups, length, number, speed, text

CERTAINTIES: Final = ("measured", "read", "estimated")
"""How sure the source of a shop's own value is: measured on metal, read in a table or a leaflet, or estimated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Push(Payload):
    """One load of a push test at the tip, across the axis."""

    load: Decimal = number("the load, N.", low="0.1", high="100000")
    gives: Length = length("how far the tip went, on the radius.", zero=False)
    overhang: Length | None = length(
        "the overhang it was pushed at, where the spindle is to be found from pushes at two of them.",
        zero=False,
        optional=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainBar(Payload):
    """A plain round bar in its spindle, where no push test was made."""

    diameter: Length = length("the bar's diameter.", zero=False)
    material: str | None = choice(
        "what it is made of; steel where nothing is said.",
        *(bar.name for bar in BARS if bar.ratio_limit),
        optional=True,
    )
    taper: str | None = choice(
        "the spindle's taper; steep 40 where nothing is said.", *(joint.taper for joint in JOINTS), optional=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnForce(Payload):
    """The shop's own specific cutting force in the place of a table's."""

    kc: Decimal = number("specific cutting force of a chip 1 mm thick and wide, N/mm².", low="100", high="10000")
    exponent: Decimal = number("by which power it falls as the chip thickens.", low="0", high="0.79")
    source: str = text("where both come from.")
    within: Decimal | None = number(
        "one standard deviation of the force, as a share of it; by its certainty where nothing is said.",
        low="0.005",
        high="1",
        optional=True,
    )
    certainty: str | None = choice("how sure its source is.", *CERTAINTIES, optional=True)
    thrust: Decimal | None = number(
        "force normal to the edge, as a share of the cutting force; as wide as that.",
        low="0.1",
        high="3",
        optional=True,
    )
    material: str | None = text("the material that the shop keeps it for.", optional=True)
    like: str | None = text("the material held that it is like, where it is not held itself.", optional=True)
    by: str | None = text("who entered it.", optional=True)
    on: str | None = text("on which day.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpindlePoint(Payload):
    """A point of the spindle's power curve."""

    rpm: Decimal = number("speed, 1/min.", low="1", high="200000")
    kw: Decimal = number("power there, kW.", low="0.01", high="500")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredFinish(Payload):
    """A finish that was measured on an earlier bore of this tool and material."""

    ra: Length = length("Ra as measured.", zero=False)
    feed: Length = length("the feed a turn that it was cut with.", zero=False)
    nose: Length = length("the nose radius that it was cut with.", zero=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFacts(Payload):
    """What is known of how the bore is cut; physics makes a push-off of it, with an honest width."""

    feed: Length = length("the feed a turn.", zero=False)
    nose: Length = length("the nose radius of the insert.", zero=False)
    edge_angle: Decimal | None = number(
        "angle between cutting edge and feed, degrees; 95 where nothing is said. It is 90 less the lead angle.",
        low="30",
        high="110",
        optional=True,
    )
    rake: Decimal | None = number("the rake, degrees; 6 where nothing is said.", low="-30", high="40", optional=True)
    clearance: Decimal | None = number(
        "the clearance behind the edge, degrees; 7 where nothing is said.", low="1", high="25", optional=True
    )
    edge: str | None = choice(
        "the kind of edge; the usual one of the material where nothing is said.",
        *(edge.name for edge in EDGES),
        optional=True,
    )
    speed: Speed | None = speed(
        "cutting speed, m/min or with its unit, such as 600 ft/min; the middle of the material's range where nothing is"
        " said.",
        optional=True,
    )
    wiper: Length | None = length(
        "the flat behind the nose of a wiping insert; none where nothing is said.", zero=False, optional=True
    )
    overhang: Length | None = length("from the spindle's face to the tip.", zero=False, optional=True)
    push_test: tuple[Push, ...] | None = groups("loads at the tip, and how far it went.", Push, optional=True)
    bar: PlainBar | None = group("the bar, where no push test was made.", PlainBar, optional=True)
    force: OwnForce | None = group("the shop's own cutting force.", OwnForce, optional=True)
    depth_of_bore: Length | None = length("how long the bore is.", zero=False, optional=True)
    wall: Length | None = length("the thinnest wall around it.", zero=False, optional=True)
    finish: Length | None = length("the roughest Ra that the drawing allows.", zero=False, optional=True)
    measured: tuple[MeasuredFinish, ...] | None = groups(
        "finish measured on earlier bores.", MeasuredFinish, optional=True
    )
    spindle: tuple[SpindlePoint, ...] | None = groups("the spindle's power by speed.", SpindlePoint, optional=True)
    rated_rpm: Decimal | None = number(
        "the fastest speed that the weakest part of the tool is rated for, 1/min.",
        low="1",
        high="200000",
        optional=True,
    )

    def __post_init__(self) -> None:
        if not self.push_test and self.bar is None:
            raise EntryError(
                "How the tool gives way is missing: without it a force says nothing of push-off.",
                right="Give push_test, such as load = 100 and gives = 0.012, or bar with its diameter.",
                where="push_test",
            )
        if self.bar is not None and self.overhang is None:
            raise EntryError(
                "A bar gives way by its overhang.",
                right="Give how far the tip stands from the spindle.",
                where="overhang",
            )
