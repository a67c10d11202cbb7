"""The shop's own cutting force of a material: both numbers of one source, with who entered them, when, and how sure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.materials.value import Value
from borewright.materials.work import OWN, Work, find_work, named_itself, overwritten
from borewright.materials.work_tables import GROUP_SPREAD, READ_SPREAD, WORK
from borewright.record.fields import payload_plain
from borewright.record.payloads.cut import OwnForce

OWN_FORCE_SHARE, OWN_EXPONENT_SD = 0.10, 0.03
"""Widths of a shop's own pair where it gives none. Common practice, no source."""

SHARES: Final = {"measured": OWN_FORCE_SHARE, "read": READ_SPREAD, "estimated": GROUP_SPREAD}
"""Relative standard deviation of a force by how sure it is, where the shop gives none: those of the tables held."""

CERTAINTY_SAID: Final = {
    "measured": "measured on metal",
    "read": "read in a table or leaflet",
    "estimated": "estimated",
}

FAR: Final = 2.0
"""Over this factor apart, a shop's force and the table's are told of: tables of one material differ by less. Chosen."""


def share_of(force: OwnForce) -> float:
    """Return the relative standard deviation of a shop's own force.

    Args:
        force: the force.

    Returns:
        As given, else by its certainty.
    """
    return SHARES[force.certainty or "measured"] if force.within is None else float(force.within)


def provenance(force: OwnForce) -> str:
    """Say where a shop's own force comes from.

    Args:
        force: the force.

    Returns:
        Source, certainty, who entered it and when, as far as they are known.
    """
    entered = " ".join(filter(None, (f"by {force.by}" if force.by else "", force.on or "")))
    said = (
        force.source,
        CERTAINTY_SAID[force.certainty] if force.certainty else "",
        f"entered {entered}" if entered else "",
    )
    return "; ".join(filter(None, said))


def pair_said(work: Work) -> str:
    """Say the pair of a material, both numbers together.

    Args:
        work: the material.

    Returns:
        Such as ``kc 2526 N/mm² ± 12 %, mc 0.250 ± 0.04``.
    """
    kc, exponent = work.kc, work.exponent
    return f"kc {kc.value:.0f} N/mm² ± {100.0 * kc.relative:.0f} %, mc {exponent.value:.3g} ± {exponent.sd:.2g}"


def own_plain(force: OwnForce) -> dict[str, object]:
    """Return a shop's own force as plain values.

    Args:
        force: the force, with its material.

    Returns:
        Its fields as they are kept, the pair in words, and where it comes from.
    """
    said = pair_said(own_work(force, force.material))
    return {**_plain(force), "said": said, "provenance": f"{OWN}: {provenance(force)}"}


def own_work(force: OwnForce, material: str | None) -> Work:
    """Return a material with the shop's own force in the place of the table's.

    Args:
        force: the shop's own, both numbers of the pair.
        material: what the part is made of, in words.

    Returns:
        The material; what the shop said nothing of stays as held, or is that of the material that it is like.

    Raises:
        EntryError: no material was said, or the pair cannot be one of metal.
        NotHeldError: nothing is held for the words, nor for what it is like.
    """
    share, source = share_of(force), provenance(force)
    thrust = None
    if force.thrust is not None:
        thrust = Value(float(force.thrust), share * float(force.thrust), "shop", source)
    return overwritten(
        _as_held(force, material),
        Value(float(force.kc), share * float(force.kc), "shop", source),
        Value(float(force.exponent), OWN_EXPONENT_SD, "shop", source),
        thrust,
    )


def keepable(force: OwnForce, material: str) -> OwnForce:
    """Make a shop's own force ready to be kept for a material.

    Args:
        force: as it was entered.
        material: the material, in words.

    Returns:
        The force with the material's own name, by which it is found again.

    Raises:
        EntryError: the words name only a kind, or ``like`` is given of a material that is held itself.
        NotHeldError: the material is not held, and nothing is said of what it is like.
    """
    row = named_itself(material, WORK)
    if row is not None and force.like is not None:
        raise EntryError(
            f"{row.name} is held itself.", given=force.like, right="Leave out what it is like.", where="like"
        )
    if row is None and force.like is None:
        _refuse_unnamed(material)
    kept = replace(force, material=material.strip() if row is None else row.name)
    own_work(kept, material)
    return kept


def far_from_table(force: OwnForce) -> str:
    """Say where a shop's own force lies so far from the table's that a unit may have slipped.

    Args:
        force: the force, with its material.

    Returns:
        A sentence; nothing where it is near. What a material is only like stands in for it.
    """
    row = _as_held(force, force.material)
    if 1.0 / FAR < float(force.kc) / row.kc.value < FAR:
        return ""
    return (
        f"The table holds {row.kc.value:.0f} N/mm² for {row.like or row.name}, with mc {row.exponent.value:.2f}: check"
        " that kc is of a chip 1 mm thick and in N/mm². Kept as entered."
    )


def with_own_force(given: Mapping[str, object], kept: Sequence[OwnForce]) -> Mapping[str, object]:
    """Fill in the shop's own force where a cut of that material names none.

    Args:
        given: what a bore is started with, or what a cut is looked at with.
        kept: the shop's own forces, each with its material.

    Returns:
        The same, with ``cut.force`` where the shop keeps one for the material; wider where only a kind was said.
    """
    cut, material = given.get("cut"), given.get("material")
    if not kept or not isinstance(cut, Mapping) or not isinstance(material, str) or cut.get("force") is not None:
        return given
    own = {force.material: force for force in kept}
    try:
        rows = [own_work(force, force.material) for force in kept]
        found = find_work(material, (*rows, *WORK))
    except BorewrightError:  # whoever reads the material next says what is wrong with it
        return given
    if found.name not in own or not found.family.startswith(OWN):
        return given
    force = own[found.name]
    plain: dict[str, object] = {**_plain(force)}
    if named_itself(material, rows) is None:
        plain |= {"within": f"{found.kc.relative:.4f}", "source": f"{force.source}; only “{material}” was said"}
    return {**given, "cut": {**cut, "force": plain}}


def _plain(force: OwnForce) -> Mapping[str, object]:
    found = payload_plain(force)
    assert isinstance(found, Mapping)
    return found


def _as_held(force: OwnForce, material: str | None) -> Work:
    if force.like is None or material is None or named_itself(material, WORK) is not None:
        return find_work(material, WORK)
    try:
        like = find_work(force.like, WORK)
    except BorewrightError as error:
        error.where = "like"
        raise
    return replace(like, name=(force.material or material).strip(), condition="", also=(), like=like.name)


def _refuse_unnamed(material: str) -> None:
    try:
        kind = find_work(material, WORK)
    except NotHeldError as error:
        error.right = f"{error.right} Or keep it as a material of its own, and say which of those held it is like."
        raise
    raise EntryError(
        "That names a kind of material and not one of its own.",
        given=material,
        right=f"Name the material itself, such as {kind.name}; where it is not held, say too what it is like.",
        where="material",
    )
