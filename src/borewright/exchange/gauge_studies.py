"""A gauge study as a file of readings, one a line: part, who measured it, reading."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Final

from borewright.errors import EntryError
from borewright.gauging.study import Study
from borewright.quantity.length import Unit, parse_length

COLUMNS: Final[dict[str, tuple[str, ...]]] = {
    "part": ("part", "piece"),
    "who": ("who", "person", "operator", "appraiser", "by"),
    "reading": ("reading", "as_read", "value"),
}
"""What each column may be called."""

MOST_ROWS: Final = 100_000


def read_study(text: str, unit: Unit | None = None) -> tuple[Study, Unit]:
    """Read a study from a file's text.

    The first line names the columns; they are parted by commas, semicolons or tabs. Readings may be deviations, with a
    sign, and carry their unit or are in ``unit``. Each person's readings of one part stand in the order measured.

    Args:
        text: the file's text.
        unit: unit of readings that carry none.

    Returns:
        The study, and the unit that its readings were given in.

    Raises:
        EntryError: a column is missing, a reading cannot be understood, or the table has gaps; ``where`` says where.
    """
    lines = text.lstrip("\ufeff").splitlines()
    if not lines:
        raise EntryError("The file is empty.", right="Begin it with the line: part,who,reading", where="line 1")
    if len(lines) > MOST_ROWS:
        raise EntryError("That is too long for a study.", given=len(lines), right=f"Keep it under {MOST_ROWS} lines.")
    parted = next((mark for mark in ("\t", ";", ",") if mark in lines[0]), ",")
    table = csv.reader(io.StringIO("\n".join(lines)), delimiter=parted)
    places = _places(next(table))
    rows: list[tuple[str, str, float]] = []
    found: Unit | None = unit
    for number, cells in enumerate(table, 2):
        if not any(cell.strip() for cell in cells):
            continue
        where = f"line {number}"
        if len(cells) <= max(places.values()):
            raise EntryError(
                "The line has too few columns.", given=parted.join(cells), right="Fill every column.", where=where
            )
        reading = parse_length(cells[places["reading"]], unit, signed=True, where=where)
        found = found or reading.unit
        rows.append((cells[places["part"]].strip(), cells[places["who"]].strip(), reading.mm))
    return Study.from_rows(rows), found or "mm"


def study_form(people: Sequence[str], order: Sequence[tuple[int, int, int]]) -> str:
    """Write an empty file to fill in, in the order in which to measure.

    Args:
        people: names of the people.
        order: trial, person and part of each reading, counted from 1.

    Returns:
        The text of the file, readings left empty.
    """
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["part", "who", "trial", "reading"])
    for trial, who, part in order:
        table.writerow([part, _safe(people[who - 1]), trial, ""])
    return out.getvalue()


def _places(names: Sequence[str]) -> dict[str, int]:
    given = [name.strip().lower() for name in names]
    places = {}
    for column, known in COLUMNS.items():
        place = next((given.index(name) for name in known if name in given), None)
        if place is None:
            raise EntryError(
                f"There is no column for {'the reading' if column == 'reading' else column}.",
                given=", ".join(names),
                right=f"Call one {known[0]}.",
                where="line 1",
            )
        places[column] = place
    return places


def _safe(name: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{name}" if name[:1] in "=+-@" else name
