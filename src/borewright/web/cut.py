"""The Cut page, and the same beside the plans of a bore: what could lose the hole, and what each pass gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from borewright.cutting.compliance import JOINTS
from borewright.cutting.concerns import SAID
from borewright.cutting.least_chip import EDGES
from borewright.cutting.outlook import MOST_PASSES, PassOutlook
from borewright.drawing.cut import draw_cut
from borewright.errors import BorewrightError, NotHeldError
from borewright.materials.work_tables import WORK
from borewright.quantity.length import Unit
from borewright.record.forms import whole_form
from borewright.record.payloads.cut import CERTAINTIES
from borewright.sizing.cut_outlook import CutOutlook, narrows_most
from borewright.sizing.cut_typed import finishes_typed, spindle_typed
from borewright.sizing.cut_words import (
    BELOW,
    BLIND,
    NOTHING,
    OF_PLAN,
    RESTS_ON,
    WORST_FIRST,
    cut_title,
    grounds_said,
    pass_said,
    pass_title,
)
from borewright.web.pictures import WIDTHS, Picture, Pictures

OF_BORE: Final = ("callout", "hole", "material")
OF_CUT: Final = {
    "feed": "feed",
    "nose": "nose",
    "speed": "speed",
    "edge": "edge",
    "angle": "edge_angle",
    "wiper": "wiper",
    "overhang": "overhang",
    "length": "depth_of_bore",
    "wall": "wall",
    "finish": "finish",
    "rated": "rated_rpm",
}
"""Names of the fields of the page, and of the fields of a cut."""

PUSHES: Final = (("load", "gives", "at"), ("load2", "gives2", "at2"))
"""Names of the fields of a push each: the load, how far the tip went, and the overhang it was pushed at."""

TYPED: Final = ("spindle", "measured")
"""Names of the fields that take several things in one line, on the page and of a cut."""

FIELDS: Final = (*OF_BORE, "unit", *OF_CUT, *TYPED, *(name for push in PUSHES for name in push), "bar", "taper")
WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "materials": tuple(row.name for row in WORK),
    "edges": tuple(edge.name for edge in EDGES),
    "tapers": tuple(joint.taper for joint in JOINTS),
    "certainties": CERTAINTIES,
}
"""What may be picked."""

RIGHT: Final = {
    "material": "Name a kind, such as alloy steel or grey iron; the field lists those held.",
    "load": "Push the tip and give load and movement, or give the bar's diameter and how far it stands out.",
}
"""What would be right where the library's own words ask for more than the page has fields for."""


@dataclass(frozen=True, slots=True)
class Worry:
    """What could go wrong.

    Args:
        how_bad: in two or three words.
        where: the pass it is worst in; empty where there is one pass only.
        what: what could go wrong.
        would: what would keep it from that.
        worst: whether the hole itself is at stake.
    """

    how_bad: str
    where: str
    what: str
    would: str
    worst: bool


@dataclass(frozen=True, slots=True)
class CutPass:
    """One pass.

    Args:
        title: its number and its sizes.
        first: what could go wrong first in it.
        said: its figures, by label: risk, size, finish and time.
        below: the figures that are looked up: force, chip, power.
    """

    title: str
    first: str
    said: tuple[tuple[str, str], ...]
    below: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CutView:
    """A cut before it is made.

    Args:
        title: callout, material and hole.
        unit: the unit shown.
        worries_title: what stands over what could go wrong.
        worries: what could go wrong, the worst first.
        narrows: what would narrow push-off most.
        passes: pass by pass.
        pictures: chip and passes, by width.
        grounds_title: what stands over what it rests on.
        grounds: what it rests on, by label.
        note: how the passes are looked at.
    """

    title: str
    unit: Unit
    worries_title: str
    worries: tuple[Worry, ...]
    narrows: str
    passes: tuple[CutPass, ...]
    pictures: Pictures
    grounds_title: str
    grounds: tuple[tuple[str, str], ...]
    note: str


def cut_view(looked: CutOutlook) -> CutView:
    """Make the view of a cut.

    Args:
        looked: the outlook.

    Returns:
        The view.
    """
    worst = looked.worst()
    return CutView(
        title=cut_title(looked),
        worries_title=WORST_FIRST if worst else NOTHING,
        unit=looked.unit,
        worries=tuple(
            Worry(SAID[one.rank], looked.in_pass(number, one), one.what, one.would, one.rank == 0)
            for number, one in worst
        ),
        narrows=narrows_most(looked.passes[0].prior),
        passes=tuple(
            _pass(looked, one, concerns[0].what if concerns else NOTHING)
            for one, concerns in zip(looked.passes, looked.concerns, strict=True)
        ),
        pictures=tuple((name, Picture(draw_cut(looked, width=width))) for name, width in WIDTHS),
        grounds=grounds_said(looked),
        grounds_title=RESTS_ON,
        note=f"{OF_PLAN} {BLIND}" if looked.planned else BLIND,
    )


def _pass(looked: CutOutlook, one: PassOutlook, first: str) -> CutPass:
    said = pass_said(looked, one)
    kept, below = ([pair for pair in said if (pair[0] in BELOW) == under] for under in (False, True))
    return CutPass(pass_title(looked, one), first, tuple(kept), tuple(below))


def field_of(error: BorewrightError) -> tuple[str, str]:
    """Find the field of the page that an error belongs to, and say it in the page's own terms.

    Args:
        error: what was refused.

    Returns:
        The field's name, empty where it is none of the page; and what is wrong with what would be right. Nothing is
        asked for there that the page has no field for.
    """
    path = error.where.removeprefix("cut.").split("[")[0]
    which = 1 if "push_test[1]" in error.where else 0
    load, *rest = PUSHES[which]
    last = {"load": load, "gives": rest[0], "overhang": rest[1]}.get(error.where.rsplit(".", 1)[-1], load)
    names = {of_cut: name for name, of_cut in OF_CUT.items()} | {
        name: name for name in (*OF_BORE, *TYPED, "unit", "passes")
    }
    pushed = {"push_test": last}
    barred = {"bar": "bar", "bar.diameter": "bar", "bar.taper": "taper", "hole.size": "hole"}
    name = {**names, **pushed, **barred}.get(path, "")
    for_the_page = isinstance(error, NotHeldError) or (path == "push_test" and error.given is None)
    right = RIGHT.get(name, error.right) if for_the_page else error.right
    given = "" if error.given is None or isinstance(error.given, tuple | list | dict) else f"{error.given}: "
    return name, f"{given}{error.wrong} {right}".strip()


def asked_cut(fields: Mapping[str, str]) -> dict[str, object]:
    """Read what the page asked: an empty field counts as left out.

    Args:
        fields: as they stood in the address.

    Returns:
        What ``look_at_cut`` takes.

    Raises:
        EntryError: a point of the spindle is none.
    """
    given = {name: value.strip() for name, value in fields.items() if value.strip()}
    cut: dict[str, object] = {of_cut: given[name] for name, of_cut in OF_CUT.items() if name in given}
    pushes = [
        {field: given.get(name) for field, name in zip(("load", "gives", "overhang"), names, strict=True)}
        for names in PUSHES
        if any(name in given for name in names)
    ]
    if pushes:
        cut["push_test"] = pushes
    if "spindle" in given:
        cut["spindle"] = spindle_typed(given["spindle"])
    if "measured" in given:
        cut["measured"] = finishes_typed(given["measured"], cut)
    if "bar" in given:
        cut["bar"] = {"diameter": given["bar"], "taper": given.get("taper")}
    return {**{name: given[name] for name in (*OF_BORE, "unit") if name in given}, "cut": cut}


def passes_asked(typed: str) -> int | None:
    """Read how many passes the page asked for.

    Args:
        typed: as it stood in the address.

    Returns:
        How many; None where nothing was typed.
    """
    if not typed.strip():
        return None
    found = whole_form(1, MOST_PASSES).read(typed, None, "passes")
    return found if isinstance(found, int) else None
