"""``borewright cut``: what could lose a hole in the cutting, and what each pass gives."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import cast

from borewright.cli.cut_options import CutOptions
from borewright.cli.rows import hung, labelled, strong, wrapped
from borewright.cli.talk import Row, Terminal
from borewright.cutting.concerns import SAID, Concern
from borewright.cutting.outlook import PassOutlook
from borewright.errors import BorewrightError, EntryError
from borewright.exchange.jobfile import load_job
from borewright.quantity.odds import say_odds
from borewright.quantity.say import say_length, say_roughness
from borewright.quantity.show import show_length
from borewright.sizing.cut_outlook import CutOutlook, assumed, look_at_cut, narrows_most


def run_cut(
    of: str, bore: str | None, options: CutOptions, *, passes: int | None, picture: Path | None, as_json: bool
) -> int:
    """Print what could go wrong in the passes of a bore and what they give, or what is wrong with what was given.

    Args:
        of: a job file, or a callout as the drawing writes it.
        bore: which bore of the job file; the first where None.
        options: what options gave; those of the cut go over the job file's.
        passes: how many passes, or None.
        picture: a file that the pictures are written to, or None.
        as_json: whether to answer in JSON.

    Returns:
        The exit code: 0, or 2 where it could not be read; the message then stands on stderr, a JSON problem on stdout.
    """
    try:
        looked = look_at_cut(_mapping(of, bore, options.fields()), passes)
        if picture is not None:
            _draw(looked, picture)
    except BorewrightError as error:
        if as_json:
            print(json.dumps(error.as_problem(), ensure_ascii=False))
        else:
            print(error, file=sys.stderr)
        return 2
    if as_json:
        print(json.dumps(looked.plain(), ensure_ascii=False))
        return 0
    talk = Terminal()
    talk.show(cut_rows(looked, talk.width))
    return 0


def cut_rows(looked: CutOutlook, width: int) -> list[Row]:
    """Lay the outlook out: first what could go wrong, then pass by pass, then what it all rests on.

    Args:
        looked: the outlook.
        width: columns.

    Returns:
        The rows.
    """
    setup, unit = looked.setup, looked.unit
    worst = looked.worst()
    title = f"{looked.callout.written} in {setup.cut.work.said}, from {show_length(setup.hole, unit)}"
    rows = [*strong(title, width), Row("")]
    rows += strong("What could go wrong, the worst first" if worst else "Nothing stands out", width)
    for number, concern in worst:
        rows += _concern_rows(concern, width, f"pass {number}: " if len(looked.passes) > 1 else "")
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
    unit, setup = looked.unit, looked.setup
    head = f"Pass {one.number} of {len(looked.passes)}: {show_length(one.hole, unit)} to {show_length(one.aim, unit)}"
    first = concerns[0].what if concerns else "Nothing stands out."
    way = "smaller" if one.push_off >= 0.0 else "larger"
    push = (
        f"comes out {say_length(abs(one.push_off), unit)} {way} than set;"
        f" {say_length(one.low, unit)} to {say_length(one.high, unit)} 95 times in 100"
    )
    force = (
        f"{float(one.force.cutting):.0f} N along the cut ± {100.0 * one.force_log_sd:.0f} %,"
        f" {float(one.force.radial):.0f} N off the wall, {float(one.force.feed):.0f} N along the bore"
    )
    thickest, least = say_length(float(one.chip.thickest), unit), say_length(setup.least_chip, unit)
    chip = f"{thickest} at its thickest; the edge cuts from {least}"
    finish = f"Ra {say_roughness(one.finish.ra_mm, unit)}" + (
        f", rougher than {say_roughness(setup.ra, unit)} {say_odds(one.finish.odds_above(setup.ra))}"
        if setup.ra
        else ""
    )
    effort = f"{one.power_kw:.2g} kW, {one.torque:.2g} N m at {setup.rpm:.0f} rpm"
    return [
        Row(""),
        *strong(head, width),
        *labelled("first", first, width),
        *strip_rows(looked, one, width),
        *labelled("set", f"{show_length(one.set_diameter, unit)}, {show_length(one.depth, unit)} deep", width),
        *labelled("push-off", push, width),
        *labelled("too large", f"{say_odds(one.oversize)} by push-off alone, nothing measured before", width),
        *labelled("force", force, width),
        *labelled("chip", chip, width),
        *labelled("finish", finish, width),
        *labelled("effort", effort, width),
        *labelled("time", _time(one, looked), width),
    ]


def _time(one: PassOutlook, looked: CutOutlook) -> str:
    if one.minutes is None or one.wear is None:
        return ""
    warm = (
        f"; warms the wall by up to {one.warming.warmer_k:.1f} K, {say_length(one.warming.larger_mm, looked.unit)}"
        if one.warming is not None
        else ""
    )
    return (
        f"{one.minutes:.1f} min; the edge lasts about {one.wear.passes:.0f} such passes and shrinks the bore"
        f" {say_length(one.wear.shrinks_mm, looked.unit)} in each{warm}"
    )


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
    setup, unit = looked.setup, looked.unit
    starting = setup.starting
    ends = [
        f"{show_length(low, unit, with_unit=False)} to {show_length(high, unit)}"
        for low, high in (starting.feed, starting.depth)
    ]
    feet = "" if unit == "mm" else f" ({starting.speed[0] / 0.3048:.0f} to {starting.speed[1] / 0.3048:.0f} ft/min)"
    usual = (
        f"{starting.kind}, {starting.edge}: {starting.speed[0]:g} to {starting.speed[1]:g} m/min{feet}, feed {ends[0]},"
        f" radial depth {ends[1]} ({starting.source})"
    )
    rows = [Row(""), *strong("What it rests on", width)]
    rows += labelled(
        "gives way", f"{1e3 * setup.cut.compliance.radial:.3g} µm/N ({setup.cut.compliance.origin})", width
    )
    rows += labelled("doubt", _parts(looked), width)
    rows += labelled("usual", usual, width)
    for each in assumed(looked.facts, setup, unit):
        rows += hung(
            "  assumed    ", f"{each['what']}: {each['value']} ({each['origin'].removeprefix('assumed: ')})", width
        )
    last = (
        "Each pass is looked at as if nothing were measured before it. With a job file, borewright passes plans with"
        " what each measured pass teaches."
    )
    return [*rows, Row(""), *wrapped(last, width)]


def _parts(looked: CutOutlook) -> str:
    told = [each for each in looked.passes[0].prior.shares if each.share >= 0.03]
    return "; ".join(f"{each.what} {100.0 * each.share:.0f} %" for each in told)


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
