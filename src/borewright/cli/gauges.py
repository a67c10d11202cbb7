"""What the commands about gauges and rings show, and what they record."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from borewright.cli.folder import looked_up
from borewright.cli.records import opened
from borewright.cli.rows import hung, labelled, wrapped
from borewright.cli.talk import Row, Terminal, say
from borewright.errors import EntryError, NotHeldError
from borewright.quantity.length import UNITS, Unit, parse_length
from borewright.record.fields import payload_plain
from borewright.record.gauges import GaugeRecord
from borewright.shop.gauges import GaugeLine, list_gauges, record_gauge, show_gauge
from borewright.shop.store import Store


def run_gauges(folder: Path, *, as_json: bool) -> int:
    """List gauges and masters.

    Args:
        folder: the folder of the records.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.
    """
    lines: tuple[GaugeLine, ...] = looked_up(folder, list_gauges, ())
    if as_json:
        print(json.dumps([asdict(line) for line in lines], ensure_ascii=False, default=str))
        return 0
    talk = Terminal()
    if not lines:
        say(talk, f"No gauge is on record in {folder}.")
    for line in lines:
        talk.show(hung(f"{line.gauge}  ", said_line(line), talk.width))
    return 0


def said_line(line: GaugeLine) -> str:
    """Say a gauge in a line.

    Args:
        line: the gauge.

    Returns:
        The words, without its name.
    """
    words = [line.instrument or ("ring" if line.is_master else "gauge")]
    if not line.is_master:
        words.append("never set" if line.set_on is None else f"set on {line.set_on}")
    if line.standing is not None:
        whose = "" if line.is_master else "that certificate "
        words.append(f"{whose}{line.standing}{'' if line.due is None else f', due {line.due}'}")
    if line.scatter is not None:
        words.append(f"scatter {line.scatter}")
    if line.bores:
        words.append("1 bore" if line.bores == 1 else f"{line.bores} bores")
    return "; ".join(words)


def run_gauge(gauge: str, folder: Path, *, as_json: bool) -> int:
    """Show one gauge or master.

    Args:
        gauge: its name on record.
        folder: the folder of the records.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.
    """
    known = show_gauge(opened(folder), gauge)
    if as_json:
        print(json.dumps(gauge_plain(known), ensure_ascii=False))
        return 0
    talk = Terminal()
    talk.show([Row(gauge, "strong"), *gauge_rows(known, talk.width)])
    return 0


def gauge_plain(known: GaugeRecord) -> dict[str, object]:
    """Return what the record says of a gauge as plain values.

    Args:
        known: what it says.

    Returns:
        Named values.
    """
    return {
        "described": None if known.described is None else payload_plain(known.described),
        "certificates": [{"number": paper.number, **payload_plain(paper.says)} for paper in known.papers],
        "settings": [
            {
                "number": setting.number,
                "at": setting.at,
                **payload_plain(setting.says),
                "rechecks": [
                    {"number": check.number, "at": check.at, "off_mm": f"{check.off_mm:.5f}"}
                    for check in setting.rechecks
                ],
            }
            for setting in known.settings
        ],
        "studied": None if known.studied is None else payload_plain(known.studied),
        "number": known.number,
    }


def gauge_rows(known: GaugeRecord, width: int) -> list[Row]:
    """Lay out what the record says of a gauge.

    Args:
        known: what it says.
        width: columns.

    Returns:
        The rows.
    """
    rows: list[Row] = []
    if known.described is not None:
        rows += labelled("is", ", ".join(f"{value}" for value in payload_plain(known.described).values()), width)
    for paper in known.papers:
        says = paper.says
        until = "" if says.due is None else f", due {says.due}"
        rows += labelled("certified", f"{says.size.text} ± {says.expanded.text}{until}", width)
    for setting in known.settings:
        on = setting.says.master or setting.says.on or "master"
        rows += labelled(
            "set", f"on {on} {setting.says.size.text}{'' if setting.at is None else f', {setting.at}'}", width
        )
        for check in setting.rechecks:
            rows += labelled("re-check", f"off by {1000.0 * check.off_mm:+.1f} µm", width)
    if known.studied is not None:
        rows += labelled("scatter", known.studied.scatter.text, width)
        rows += labelled("study", known.studied.says or "", width)
    return rows


def on_master(folder: Path, master: str) -> dict[str, object]:
    """Tell a master's name on record from a size.

    Args:
        folder: the folder of the records.
        master: what was typed.

    Returns:
        ``master`` where a gauge's record has that name, else ``size``.

    Raises:
        NotHeldError: it is neither.
    """
    if any(name.identity == master for name in looked_up(folder, lambda store: store.streams("gauge"), ())):
        return {"master": master}
    try:
        parse_length(master, "mm")
    except EntryError:
        raise NotHeldError(
            "That is neither a ring on record nor a size.",
            given=master,
            right="List the gauges, or give the size as marked.",
            where="master",
        ) from None
    return {"size": master}


def unit_of(given: str | None) -> Unit | None:
    """Read a unit that was typed.

    Args:
        given: the unit, or None.

    Returns:
        It, or None.

    Raises:
        EntryError: there is no such unit.
    """
    if given is None:
        return None
    if given not in UNITS:
        raise EntryError("There is no such unit.", given=given, right="Use mm or in.", where="unit")
    return "in" if given == "in" else "mm"


def run_entry(gauge: str, entry: Mapping[str, object], unit: str | None, by: str | None, folder: Path) -> int:
    """Record what happened to a gauge, and show what follows.

    Args:
        gauge: its name on record.
        entry: the entry; fields that are None are left out.
        unit: unit of lengths that carry none.
        by: who enters.
        folder: the folder of the records.

    Returns:
        The exit code.
    """
    given = {name: value for name, value in entry.items() if value is not None}
    talk = Terminal()
    with Store.open(folder) as store:
        answer: Any = record_gauge(store, gauge, given, unit=unit_of(unit), by=by)
    say(talk, f"Recorded: {gauge}, event {answer['number']}, {answer['event']}.")
    for warning in answer["warnings"]:
        talk.show(wrapped(warning, talk.width))
    if "rejudged" in answer:
        talk.show(rejudged_rows(answer, talk.width))
    return 0


def rejudged_rows(answer: Any, width: int) -> list[Row]:  # noqa: ANN401  # an act's answer
    """Lay out what a re-check found and which bores it touches.

    Args:
        answer: what the act answered.
        width: columns.

    Returns:
        The rows.
    """
    moved = "the setting has moved" if answer["moved"] else "within what scatter and step explain"
    rows = wrapped(f"Off by {answer['off']}: {moved}.", width, "")
    for each in answer["rejudged"]:
        numbers = ", ".join(str(number) for number in each["readings"])
        released = each["released_on"]
        was = "" if released is None else f"released on {released['size']} ± {released['expanded']}; "
        now = (
            "no reading counts"
            if each["size"] is None
            else f"now {each['size']} ± {each['expanded']}, {each['verdict']}"
        )
        ends = "" if each["stands"] else ". The release does not follow any more: reopen it and measure again"
        rows += hung(f"  {each['bore']}  ", f"readings {numbers}: {was}{now}{ends}.", width)
    return rows
