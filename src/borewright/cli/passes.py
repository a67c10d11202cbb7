"""``borewright passes``: the plans that are left of a bore, side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import cast

from borewright.cli.answering import answer
from borewright.cli.card import listed, part
from borewright.cli.materials import kept_in
from borewright.cli.records import identity_of, opened
from borewright.cli.rows import hung, labelled, strong, wrapped
from borewright.cli.talk import Row
from borewright.exchange.jobfile import JobBore, load_job
from borewright.quantity.odds import say_odds
from borewright.shop import bores
from borewright.shop.database import FILE_NAME
from borewright.sizing.bore import Bore
from borewright.sizing.cut_words import BLIND, NOTHING, OF_PLAN, pass_said, pass_title
from borewright.sizing.own_force import with_own_force
from borewright.sizing.taught_push_off import CutOfBore, cut_of_bore

Plain = Mapping[str, object]


def run_passes(
    of: str, bore: str | None, folder: Path, *, pass_minutes: str | None, measurement_minutes: str | None, as_json: bool
) -> int:
    """Print the plans that are left of a bore.

    Args:
        of: a job file, or as much of the name of a bore on record as tells it apart.
        bore: which bore of the job file; the first where None.
        folder: the folder of the records.
        pass_minutes: minutes that a pass takes, or None.
        measurement_minutes: minutes that a measurement takes, or None.
        as_json: whether to answer in JSON.

    Returns:
        The exit code: 0, or 2 where it could not be read; the message then stands on stderr, a JSON problem on stdout.
    """

    def look() -> Plain:
        found = _found(of, bore, folder)
        plans = found.plans(pass_minutes=pass_minutes, measurement_minutes=measurement_minutes)
        physics = cut_of_bore(found, plans, found.unit)
        if physics is not None:
            seen.append(physics)
        return plans if physics is None else {**plans, "cut": physics.plain()}

    def rows(plans: Plain, width: int) -> list[Row]:
        return [*plans_rows(plans, width), *(row for physics in seen for row in physics_rows(physics, width))]

    seen: list[CutOfBore] = []

    return answer(look, dict, rows, as_json=as_json)


def plans_rows(compared: Plain, width: int) -> list[Row]:
    """Draw plans side by side.

    Args:
        compared: what ``Bore.plans`` returned.
        width: columns.

    Returns:
        The rows.
    """
    title = f"{compared.get('name') or 'Bore'}  {compared.get('callout')}"
    rows = [*strong(title, width), Row("")]
    rows += labelled("advised", str(compared.get("why", "")), width)
    plans = _groups(compared, "plans")
    for begins in dict.fromkeys(str(plan["begins"]) for plan in plans):
        rows += [Row(""), *strong(begins[:1].upper() + begins[1:], width)]
        for plan in (one for one in plans if one["begins"] == begins):
            rows += _plan_rows(plan, width)
    rows += [Row(""), *_shut_rows(_groups(compared, "shut"), width)] if compared.get("shut") else []
    return [*rows, *(_minutes_rows(part(compared, "minutes"), width) if plans else [])]


def physics_rows(physics: CutOfBore, width: int) -> list[Row]:
    """Say what physics has to say of the passes that are advised, and what measured ones taught of push-off.

    Args:
        physics: the physics of a bore.
        width: columns.

    Returns:
        The rows.
    """
    rows: list[Row] = []
    if physics.shown:
        rows += [Row(""), *strong("Push-off, measured against physics", width)]
        rows += [row for shown in physics.shown for row in wrapped(shown.said(physics.unit), width)]
    if physics.looked is None:
        return rows
    for one, concerns in zip(physics.looked.passes, physics.looked.concerns, strict=True):
        rows += [Row(""), *strong(pass_title(physics.looked, one), width)]
        rows += labelled("first", concerns[0].what if concerns else NOTHING, width)
        rows += [row for label, words in pass_said(physics.looked, one) for row in labelled(label, words, width)]
    return [*rows, Row(""), *wrapped(f"{OF_PLAN} {BLIND}", width)]


def _plan_rows(plan: Plain, width: int) -> list[Row]:
    passes = int(str(plan["passes"]))
    count = f"{passes} {'pass  ' if passes == 1 else 'passes'}"
    odds = part(plan, "odds")
    said = (
        f"about {float(str(plan['minutes'])):.0f} min · over size {say_odds(plan['too_large'])}"
        f" · under size {say_odds(odds.get('undersize', 0))} · costs {plan['said']}"
    )
    mark = ">" if plan["advised"] else " "
    leaves = ", ".join(_leaves(cast("Plain", step)) for step in listed(plan, "steps"))
    rows = hung(f"{mark} {count}  ", said, width)
    return [
        *([Row(row.text, "strong") for row in rows] if plan["advised"] else rows),
        *hung(f"{' ' * 12}leaves ", leaves, width),
    ]


def _leaves(step: Plain) -> str:
    return f"{part(step, 'leaves').get('size')}{' (trial cut)' if step['trial'] else ''}"


def _shut_rows(shut: Iterable[Plain], width: int) -> list[Row]:
    """Say what cannot be; what is in the way of several plans once."""
    by_reason: dict[str, list[str]] = {}
    for plan in shut:
        by_reason.setdefault(str(plan["why"]), []).append(f"{plan['passes']} ({plan['begins']})")
    return [
        row for why, plans in by_reason.items() for row in labelled("not open", f"{', '.join(plans)}: {why}", width)
    ]


def _minutes_rows(minutes: Plain, width: int) -> list[Row]:
    said = "; ".join(
        f"{words} {float(str(part(minutes, name)['minutes'])):g} min, {part(minutes, name)['origin']}"
        for name, words in (("pass", "a pass"), ("measurement", "a measurement"), ("trial", "a trial cut"))
    )
    cost = "Costs are in passes: the time, and what may be lost as often as it may be."
    again = "A hole under size takes one more pass, and is counted so."
    return [Row(""), *wrapped(f"{cost} {again} Time: {said}.", width)]


def _found(of: str, bore: str | None, folder: Path) -> Bore:
    """Find a bore: of a job file as it stands on record, or as it would be opened; else of the record by its name."""
    path = Path(of)
    if not path.is_file() and bore is None:
        store = opened(folder)
        return bores.view(store, identity_of(store, of, folder))
    job = load_job(path)
    return of_job(job.bores[0] if bore is None else job.bore(bore), folder)


def of_job(bore: JobBore, folder: Path) -> Bore:
    """Find a bore of a job file: as it stands on record, else as it would be opened.

    Args:
        bore: the bore as the file has it.
        folder: the folder of the records.

    Returns:
        The bore.
    """
    if (folder / FILE_NAME).exists():
        store = opened(folder)
        if any(one.bore == bore.identity for one in bores.list_bores(store)):
            return bores.view(store, bore.identity)
    return Bore.start(with_own_force(bore.mapping, kept_in(folder)), bore_id=bore.identity)


def _groups(compared: Plain, name: str) -> list[Plain]:
    return [cast("Plain", one) for one in listed(compared, name)]
