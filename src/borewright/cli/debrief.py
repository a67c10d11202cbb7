"""After the demo: what was hidden, beside what was thought, as rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from borewright.cli.rows import pairs, strong, wrapped
from borewright.cli.talk import Row

if TYPE_CHECKING:
    from borewright.rehearsal.debrief import Debrief


def debrief_rows(told: Debrief, width: int) -> list[Row]:
    """Tell the hidden truth of a rehearsed bore.

    Args:
        told: what is told.
        width: columns.

    Returns:
        The rows.
    """
    passes = [
        (one.title, f"{one.expected} expected, {one.between}; {one.true} true{'' if one.inside else ', outside'}")
        for one in told.passes
    ]
    hidden = [(one.what, f"{one.thought} thought; {one.true} true") for one in told.compared]
    sentences = (told.came_out, told.decided, told.said, told.practice)
    return [
        Row(""),
        *strong("What the simulated machine hid", width),
        *(row for sentence in sentences for row in wrapped(sentence, width)),
        *pairs(passes, width),
        *pairs(hidden, width),
        *(row for mishap in told.mishaps for row in wrapped(mishap, width)),
    ]
