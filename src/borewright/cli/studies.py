"""The commands about gauge studies."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Final

import numpy as np

from borewright.cli.gauges import unit_of
from borewright.cli.picture_file import write_picture
from borewright.cli.rows import pairs, wrapped
from borewright.cli.talk import Row, Terminal, say
from borewright.drawing.study import draw_study
from borewright.errors import EntryError
from borewright.exchange.gauge_studies import read_study, study_form
from borewright.gauging.study import Design, Found, design_for
from borewright.gauging.study_range import by_range
from borewright.gauging.study_variance import by_variance
from borewright.quantity.length import Unit, parse_length
from borewright.quantity.number import parse_number
from borewright.quantity.show import show_length
from borewright.shop.gauges import record_gauge
from borewright.shop.store import Store

LARGEST: Final = 5_000_000
"""Bytes of a file that is read."""


def run_study(
    file: Path,
    tolerance: str | None,
    gauge: str | None,
    unit: str | None,
    by: str | None,
    folder: Path,
    *,
    picture: Path | None = None,
    as_json: bool,
) -> int:
    """Find a gauge's scatter from a file of readings.

    Args:
        file: the file.
        tolerance: the tolerance that the gauge is to judge, or None.
        gauge: the gauge whose scatter it is, or None where nothing is recorded.
        unit: unit of lengths that carry none.
        by: who enters.
        folder: the folder of the records.
        picture: where to write the study drawn by part and by person, or None.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.
    """
    study, shown = read_study(_text(file), unit_of(unit))
    width = None if tolerance is None else parse_length(tolerance, unit_of(unit) or shown, where="tolerance").mm
    found = (by_range(study), by_variance(study))
    if picture is not None:
        write_picture(picture, draw_study(study, shown))
    if gauge is not None:
        with Store.open(folder) as store:
            record_gauge(store, gauge, found[1].as_entry(study.readings_mm.size, width), by=by)
    if as_json:
        print(json.dumps([plain(each, width) for each in found], ensure_ascii=False))
        return 0
    talk = Terminal()
    for each in found:
        talk.show(found_rows(each, width, shown, talk.width))
    if gauge is not None:
        say(talk, f"Recorded as the scatter of {gauge}.")
    return 0


def plain(found: Found, tolerance_mm: float | None) -> dict[str, object]:
    """Return what a study found as plain values, lengths in mm.

    Args:
        found: what was found.
        tolerance_mm: the tolerance that the gauge is to judge, mm, or None.

    Returns:
        Named values.
    """
    return {
        "method": found.method,
        "repeatability_mm": found.repeatability_mm,
        "repeatability_interval_mm": list(found.repeatability_interval_mm),
        "reproducibility_mm": found.reproducibility_mm,
        "gauge_mm": found.gauge_mm,
        "gauge_interval_mm": list(found.interval_mm),
        "parts_mm": found.parts_mm,
        "of_total": found.of_total,
        "of_tolerance": None if tolerance_mm is None else found.of_tolerance(tolerance_mm),
        "categories": found.categories,
        "floored": list(found.floored),
        "notes": list(found.notes),
        "what_to_do": found.what_to_do(tolerance_mm),
    }


def found_rows(found: Found, tolerance_mm: float | None, unit: Unit, width: int) -> list[Row]:
    """Lay out what a study found.

    Args:
        found: what was found.
        tolerance_mm: the tolerance that the gauge is to judge, mm, or None.
        unit: unit to show lengths in.
        width: columns.

    Returns:
        The rows.
    """

    def shown(mm: float) -> str:
        return show_length(mm, unit, decimals=5 if unit == "mm" else 6)

    def ends(interval: tuple[float, float]) -> str:
        return f" (95 %: {shown(interval[0])} to {shown(interval[1])})"

    table = [
        ("one person, one part", shown(found.repeatability_mm) + ends(found.repeatability_interval_mm)),
        ("between people", shown(found.reproducibility_mm)),
        ("gauge and people together", shown(found.gauge_mm) + ends(found.interval_mm)),
        ("between parts", shown(found.parts_mm)),
        ("gauge over everything", f"{found.of_total:.1%}"),
        ("parts it can tell apart", f"{found.categories} kinds"),
    ]
    if tolerance_mm is not None:
        table.append(("six times the gauge over the tolerance", f"{found.of_tolerance(tolerance_mm):.1%}"))
    rows = [Row(found.method.capitalize(), "strong"), *pairs(table, width)]
    if found.floored:
        rows += wrapped(f"Came out below nothing and counts as nothing: {', '.join(found.floored)}.", width)
    for note in found.notes:
        rows += wrapped(note, width)
    return [*rows, *wrapped(found.what_to_do(tolerance_mm), width), Row("")]


def run_study_form(people: Sequence[str], parts: int | None, trials: int, within: str | None, seed: int) -> int:
    """Print an empty study.

    Args:
        people: who measures.
        parts: how many parts, or None for ten.
        trials: how often everybody measures each.
        within: upper over lower end of the scatter's 95 % interval, in place of a number of parts, or None.
        seed: what the order is drawn from.

    Returns:
        The exit code.
    """
    if within is None:
        design = Design(10 if parts is None else parts, len(people), trials)
    elif parts is not None:
        raise EntryError(
            "A number of parts and a factor are two ways to say one thing.",
            given=f"{parts} parts, within {within}",
            right="Give one of both.",
            where="within",
        )
    else:
        width = float(parse_number(within, "within", low=Decimal("1.01"), high=Decimal(100)))
        design = design_for(width, len(people), trials)
    sys.stdout.write(study_form(people, design.order(np.random.default_rng(seed))))
    print(
        f"{design.readings} readings; the gauge's own scatter will be known within a factor of"
        f" {design.repeatability_width:.2f} from end to end, that between people {design.people_width:.0f}.",
        file=sys.stderr,
    )
    return 0


def _text(file: Path) -> str:
    try:
        if file.stat().st_size > LARGEST:
            raise EntryError("That file is too long for a study.", given=str(file), right="Give the readings alone.")
        return file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise EntryError(
            f"The file cannot be read: {error}", given=str(file), right="Save it as text in UTF-8.", where="CSV"
        ) from None
