"""The scoreboard of the rehearsals, as the page shows it."""

from __future__ import annotations

import re

from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.scoreboard import practice_words, practised
from tests.unit.web.visitor import Visitor


def board(visitor: Visitor) -> list[list[str]]:
    """The rows of the scoreboard, each cell without its tags."""
    page = visitor.get("/rehearse").text
    if "data-scores" not in page:
        return []
    rows = re.findall(r"<tr.*?</tr>", page.split("data-scores")[1].split("</section>")[0], re.DOTALL)
    return [[re.sub(r"<[^>]+>", "", cell) for cell in re.findall(r"<t[dh].*?</t[dh]>", row, re.DOTALL)] for row in rows]


def test_a_signed_rehearsal_stands_beside_what_equal_passes_would_have_done(visitor: Visitor) -> None:
    assert not board(visitor)
    kind, seed = "thin wall, stainless", 4
    bore = visitor.done("/rehearsals", {"kind": kind, "seed": seed})["bore"]
    assert not board(visitor)
    visitor.done(f"/bores/{bore}/quarantine", {"reason": "only to look", "by": "Ada Quill"})
    head, line, in_all = board(visitor)
    usual = practised(KINDS[kind], seed)
    assert head == ["rehearsal", "as signed", "cost", "equal passes", "cost"]
    name = f"{kind}, machine {seed} {str(bore).rpartition('.')[2]}"
    assert line[:3] == [name, "set aside, under size; 0 passes, measured 0 times", "60.0"]
    assert line[3:] == [
        f"released, good; {usual.passes} passes, measured {usual.readings / 2:g} times",
        f"{usual.cost():.1f}",
    ]
    assert in_all[:3] == ["in all", "0 of 1 released, good; 0 passes, measured 0 times", "60.0"]
    assert practice_words(usual) in visitor.get(f"/bores/{bore}/release").text
