"""``borewright material``: the shop's own cutting forces, and what holds for a material."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from borewright.cli.answering import answer
from borewright.cli.folder import looked_up
from borewright.cli.rows import labelled, strong, wrapped
from borewright.cli.talk import Row
from borewright.errors import EntryError
from borewright.materials.work import OWN, Work, find_work
from borewright.materials.work_tables import WORK
from borewright.record.payloads.cut import OwnForce
from borewright.shop.materials import forget_force, keep_force, own_forces
from borewright.shop.store import Store
from borewright.sizing.own_force import own_plain, own_work, pair_said

Plain = Mapping[str, object]

NONE_KEPT = (
    "The shop keeps no cutting force of its own: the tables hold. Enter one with borewright material 42CrMo4 --kc 2400"
    ' --exponent 0.25 --source "dynamometer, May" --certainty measured --by "I. Thorne".'
)


def run_material(
    name: str | None, entered: Mapping[str, str], folder: Path, *, forget: bool, by: str | None, as_json: bool
) -> int:
    """Keep a cutting force of the shop's own, forget one, or show what holds.

    Args:
        name: the material, or None to list the shop's own.
        entered: what was given of a force, by field.
        folder: the folder of the records.
        forget: whether the shop's own of the material is to hold no longer.
        by: who stands for it.
        as_json: whether to answer in JSON.

    Returns:
        The exit code: 0, or 2 where it could not be done; the message then stands on stderr, a JSON problem on stdout.
    """

    def look() -> Plain:
        if name is None:
            if entered or forget:
                raise EntryError("The material is missing.", right="Name it first, such as 42CrMo4.", where="material")
            return {"kept": [own_plain(force) for force in kept_in(folder)]}
        if forget and entered:
            raise EntryError(
                "A force is either kept or forgotten.", given="--forget", right="Give one of both.", where="forget"
            )
        if not forget and not entered:
            return _holds(name, kept_in(folder))
        with Store.open(folder) as store:
            if forget:
                return {"forgotten": own_plain(forget_force(store, name, by=by)), "holds": _table(name)}
            force, warning = keep_force(store, name, entered, by=by)
        return {"kept": [own_plain(force)], "warnings": [warning] if warning else []}

    return answer(look, dict, material_rows, as_json=as_json)


def kept_in(folder: Path) -> tuple[OwnForce, ...]:
    """Return the shop's own cutting forces, where there is a record.

    Args:
        folder: the folder of the records.

    Returns:
        The forces; none where nothing is on record yet.
    """
    return looked_up(folder, own_forces, ())


def material_rows(found: Plain, width: int) -> list[Row]:
    """Lay out what was kept, forgotten or found.

    Args:
        found: what ``run_material`` found.
        width: columns.

    Returns:
        The rows.
    """
    rows: list[Row] = []
    for force in _listed(found, "kept"):
        rows += [*strong(str(force["material"]), width), *labelled("force", str(force["said"]), width)]
        rows += labelled("source", str(force["provenance"]), width)
    if found.get("kept") == []:
        rows += wrapped(NONE_KEPT, width)
    for warning in _texts(found, "warnings"):
        rows += labelled("mind", warning, width)
    forgotten = found.get("forgotten")
    if isinstance(forgotten, Mapping):
        said = f"{forgotten['said']} ({forgotten['provenance']})"
        rows += [*strong(str(forgotten["material"]), width), *labelled("no longer", said, width)]
    holds = found.get("holds")
    if isinstance(holds, Mapping):
        rows += [*strong(str(holds["material"]), width), *labelled("force", str(holds["said"]), width)]
        rows += labelled("source", str(holds["provenance"]), width)
    return rows


def _holds(name: str, kept: tuple[OwnForce, ...]) -> Plain:
    """Find what holds for words: the shop's own where it keeps one, else the table's."""
    rows = {str(force.material): own_work(force, force.material) for force in kept}
    found = find_work(name, (*rows.values(), *WORK))
    own = next((force for force in kept if force.material == found.name), None)
    if own is None:
        return {"holds": _of_table(found)}
    return {"holds": {**own_plain(own), "said": pair_said(found), "provenance": f"{OWN}: {found.kc.source}"}}


def _table(name: str) -> Plain | None:
    try:
        return _of_table(find_work(name, WORK))
    except LookupError:
        return None


def _of_table(work: Work) -> Plain:
    return {"material": work.said, "said": pair_said(work), "provenance": work.kc.source}


def _listed(found: Plain, name: str) -> list[Plain]:
    several = found.get(name)
    return [one for one in several if isinstance(one, Mapping)] if isinstance(several, list) else []


def _texts(found: Plain, name: str) -> list[str]:
    several = found.get(name)
    return [str(one) for one in several] if isinstance(several, list) else []
