"""``borewright order``: in which order several like bores may be brought to size, way by way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import cast

from borewright.cli.answering import answer
from borewright.cli.card import listed, part
from borewright.cli.passes import of_job
from borewright.cli.records import identity_of, opened
from borewright.cli.rows import hung, labelled, strong, wrapped
from borewright.cli.talk import Row
from borewright.errors import EntryError
from borewright.exchange.jobfile import load_job
from borewright.quantity.odds import say_odds
from borewright.shop import bores
from borewright.sizing.bore import Bore
from borewright.sizing.cut_words import LEANS
from borewright.sizing.order_words import order_of

Plain = Mapping[str, object]
MINUTES = (
    ("pass", "a pass"),
    ("measurement", "a measurement"),
    ("trial", "a trial cut"),
    ("move", "a move"),
    ("between", "from one bore to the next"),
)


def run_order(
    of: Sequence[str], folder: Path, *, one_part: bool, minutes: Mapping[str, str | None], as_json: bool
) -> int:
    """Print the ways to bring several like bores to size.

    Args:
        of: bores on record, each by as much of its name as tells it apart; or one job file.
        folder: the folder of the records.
        one_part: whether all are in one part.
        minutes: how long things take, as ``order_of`` takes them; None where nobody said.
        as_json: whether to answer in JSON.

    Returns:
        The exit code: 0, or 2 where it could not be done; the message then stands on stderr, a JSON problem on stdout.
    """

    def look() -> Plain:
        return order_of(_found(of, folder), one_part=one_part, **minutes)  # type: ignore[arg-type]  # fixed names

    return answer(look, dict, order_rows, as_json=as_json)


def order_rows(ordered: Plain, width: int) -> list[Row]:
    """Draw the ways side by side.

    Args:
        ordered: what ``order_of`` returned.
        width: columns.

    Returns:
        The rows.
    """
    found = [cast("Plain", bore) for bore in listed(ordered, "bores")]
    rows = [*strong(f"{len(found)} bores  {ordered['callout']}  tool {ordered['tool']}", width), Row("")]
    for bore in found:
        said = f"hole {bore['hole']} within {bore['within']}, {bore['room']} to come off, {bore['state']}"
        rows += hung(f"  {bore['name']}  ", said, width)
    rows += [Row(""), *labelled("advised", str(ordered["why"]), width)]
    for way in (cast("Plain", one) for one in listed(ordered, "ways")):
        rows += [Row(""), *_way_rows(way, width)]
    shut = [cast("Plain", one) for one in listed(ordered, "shut")]
    for why in dict.fromkeys(str(one["why"]) for one in shut):
        names = "; ".join(
            f"{one['says']} ({one['passes_first']}, {one['passes_rest']})" for one in shut if one["why"] == why
        )
        rows += [Row(""), *labelled("not allowed yet" if "yet" in why else "not allowed", f"{names}: {why}", width)]
    times = part(ordered, "minutes")
    said = "; ".join(f"{words} {float(str(part(times, key)['minutes'])):g} min" for key, words in MINUTES)
    costs = f"Costs are in passes: the time, and what may be lost as often as it may be. Counted: {ordered['parts']}."
    return [*rows, Row(""), *wrapped(f"{costs} Time: {said}.", width), Row(""), *wrapped(str(ordered["note"]), width)]


def _way_rows(way: Plain, width: int) -> list[Row]:
    lost = part(way, "lost")
    mark = ">" if way["advised"] else " "
    said = (
        f"about {float(str(way['minutes'])):.0f} min · {way['settings']} settings, {way['measurements']} measurements"
        f" · one or more over size {say_odds(lost['any'])} · two or more {say_odds(lost['several'])}"
        f" · costs {way['said']}"
    )
    title = str(way["says"])
    rows = hung(f"{mark} ", f"{title[:1].upper()}{title[1:]}", width)
    rows = [Row(row.text, "strong") for row in rows] if way["advised"] else rows
    rows += hung("    ", said, width)
    if way["advised"]:
        for turn in (cast("Plain", one) for one in listed(way, "turns")):
            rows += hung(f"    {turn['setting']}. ", _turn(turn), width)
    return rows


def _turn(turn: Plain) -> str:
    closed = ", closed past it and taken up" if turn["closed"] else ""
    cuts = ", ".join(_cut(cast("Plain", cut)) for cut in listed(turn, "cuts"))
    before = int(str(turn["setting"])) - 1
    tool = f"set after setting {before} is read; about {turn['tool']}" if before else f"tool to {turn['tool']}"
    return f"{tool}{f', {LEANS}' if turn['above_limit'] else ''}{closed}: {cuts}"


def _cut(cut: Plain) -> str:
    kind = " (trial cut)" if cut["trial"] else ""
    return f"{cut['name']} to {part(cut, 'leaves')['size']}{kind}{', measure' if cut['measured'] else ''}"


def _found(of: Sequence[str], folder: Path) -> dict[str, Bore]:
    """Find the bores: all of one job file, or each of the record by its name."""
    if len(of) == 1 and Path(of[0]).is_file():
        return {bore.identity: of_job(bore, folder) for bore in load_job(Path(of[0])).bores}
    store = opened(folder)
    found: dict[str, Bore] = {}
    for name in of:
        identity = identity_of(store, name, folder)
        if identity in found:
            raise EntryError("This bore is named twice.", given=name, right="Name each bore once.", where="bores")
        found[identity] = bores.view(store, identity)
    return found
