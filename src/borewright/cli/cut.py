"""``borewright cut``: what could lose a hole in the cutting, and what each pass gives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import cast

from borewright.cli.answering import answer
from borewright.cli.cut_options import CutOptions
from borewright.cli.materials import kept_in
from borewright.cli.rows import hung, labelled, strong, wrapped
from borewright.cli.talk import Row
from borewright.cutting.concerns import SAID, Concern
from borewright.cutting.outlook import PassOutlook
from borewright.errors import EntryError
from borewright.exchange.jobfile import load_job
from borewright.sizing.cut_outlook import CutOutlook, look_at_cut, narrows_most
from borewright.sizing.cut_typed import finishes_typed
from borewright.sizing.cut_words import (
    BLIND,
    NOTHING,
    RESTS_ON,
    WORST_FIRST,
    cut_title,
    grounds_said,
    pass_said,
    pass_title,
)
from borewright.sizing.own_force import with_own_force


def run_cut(
    of: str,
    bore: str | None,
    options: CutOptions,
    *,
    passes: int | None,
    picture: Path | None,
    as_json: bool,
    folder: Path | None = None,
) -> int:
    """Print what could go wrong in the passes of a bore and what they give, or what is wrong with what was given.

    Args:
        of: a job file, or a callout as the drawing writes it.
        bore: which bore of the job file; the first where None.
        options: what options gave; those of the cut go over the job file's.
        passes: how many passes, or None.
        picture: a file that the pictures are written to, or None.
        as_json: whether to answer in JSON.
        folder: the folder of the records, for what the shop itself knows of its materials; None to go by the tables.

    Returns:
        The exit code: 0, or 2 where it could not be read; the message then stands on stderr, a JSON problem on stdout.
    """

    def look() -> CutOutlook:
        given = _mapping(of, bore, options.fields())
        if options.measured is not None:
            cut = cast("Mapping[str, object]", given["cut"])
            given["cut"] = {**cut, "measured": finishes_typed(options.measured, cut)}
        looked = look_at_cut(given if folder is None else with_own_force(given, kept_in(folder)), passes)
        if picture is not None:
            _draw(looked, picture)
        return looked

    return answer(look, CutOutlook.plain, cut_rows, as_json=as_json)


def cut_rows(looked: CutOutlook, width: int) -> list[Row]:
    """Lay the outlook out: first what could go wrong, then pass by pass, then what it all rests on.

    Args:
        looked: the outlook.
        width: columns.

    Returns:
        The rows.
    """
    worst = looked.worst()
    rows = [*strong(cut_title(looked), width), Row("")]
    rows += strong(WORST_FIRST if worst else NOTHING, width)
    for number, concern in worst:
        where = looked.in_pass(number, concern)
        rows += _concern_rows(concern, width, f"{where}: " if where else "")
    rows += [Row(""), *labelled("narrows", narrows_most(looked.passes[0].prior), width)]
    for one, concerns in zip(looked.passes, looked.concerns, strict=True):
        rows += _pass_rows(looked, one, concerns, width)
    return [*rows, *_ground_rows(looked, width)]


def _concern_rows(concern: Concern, width: int, where: str) -> list[Row]:
    return [
        *hung(f"  {SAID[concern.rank]}: ", f"{where}{concern.what}", width),
        *hung("      instead: ", concern.would, width),
    ]


def _pass_rows(looked: CutOutlook, one: PassOutlook, concerns: Sequence[Concern], width: int) -> list[Row]:
    rows = [Row(""), *strong(pass_title(looked, one), width)]
    rows += labelled("first", concerns[0].what if concerns else NOTHING, width)
    rows += strip_rows(looked, one, width)
    return [*rows, *(row for label, words in pass_said(looked, one) for row in labelled(label, words, width))]


def strip_rows(looked: CutOutlook, one: PassOutlook, width: int) -> list[Row]:
    """Draw where a pass leaves the hole, along a strip of diameter from the first hole to beyond the upper limit.

    Args:
        looked: the outlook.
        one: the pass.
        width: columns.

    Returns:
        One row; ``=`` holds the hole 95 times in 100, ``#`` is the size aimed at, ``[`` and ``]`` are the limits.
    """
    setup = looked.setup
    columns = max(min(width, 76) - 4, 20)
    left, right = setup.hole, setup.upper + 0.12 * (setup.upper - setup.hole)

    def column(size: float) -> int:
        return min(max(round((size - left) / (right - left) * (columns - 1)), 0), columns - 1)

    cells = [" "] * columns
    for place in range(column(setup.upper) + 1, columns):
        cells[place] = "/"
    spread = sorted((column(one.set_diameter - one.high), column(one.set_diameter - one.low)))
    for place in range(spread[0], spread[1] + 1):
        cells[place] = "="
    cells[column(one.aim)] = "#"
    cells[column(setup.upper)] = "]"
    low = column(setup.lower)
    cells[low if low < column(setup.upper) else max(low - 1, 0)] = "["
    return [Row(f"  |{''.join(cells)}")]


def _ground_rows(looked: CutOutlook, width: int) -> list[Row]:
    rows = [Row(""), *strong(RESTS_ON, width)]
    rows += [row for label, words in grounds_said(looked) for row in labelled(label, words, width)]
    last = f"{BLIND} With a job file, borewright passes plans with what each measured pass teaches."
    return [*rows, Row(""), *wrapped(last, width)]


def _mapping(of: str, bore: str | None, given: Mapping[str, object]) -> dict[str, object]:
    """Take a bore's fields from its job file, where it is one, and put the options over them."""
    path, cut = Path(of), cast("Mapping[str, object]", given.get("cut", {}))
    if not path.is_file() and bore is None:
        return {**given, "callout": of}
    job = load_job(path)
    found = job.bores[0] if bore is None else job.bore(bore)
    before = cast("Mapping[str, object]", found.mapping.get("cut") or {})
    return {
        **found.mapping,
        **{name: value for name, value in given.items() if name != "cut"},
        "cut": {**before, **cut},
    }


def _draw(looked: CutOutlook, picture: Path) -> None:
    from borewright.drawing.cut import draw_cut

    try:
        picture.write_text(draw_cut(looked, standalone=True) + "\n", encoding="utf-8")
    except OSError as error:
        raise EntryError(
            f"The picture cannot be written: {error.strerror}.",
            given=str(picture),
            right="Name a file in a folder that is there.",
        ) from None
