"""What an inspector looks for on Release: what the uncertainty is made of, drawn, and marks on readings."""

from __future__ import annotations

from dataclasses import dataclass

from borewright.drawing.budget import draw_budget
from borewright.gauging.budget import Budget, Cause
from borewright.quantity.length import Unit
from borewright.shop.stands import Stand
from borewright.shop.store import Store
from borewright.shop.touched import Mark, Reason, marks
from borewright.sizing.choice import judge
from borewright.sizing.opening import rule_of
from borewright.web.pictures import Picture


@dataclass(frozen=True, slots=True)
class TrustView:
    """What stands beside a release.

    Args:
        marks: why readings are marked, a sentence each; readings that share a reason share the sentence.
        budget: the parts of the uncertainty drawn; empty without a reading that counts.
    """

    marks: tuple[str, ...]
    budget: Picture


def trust_view(store: Store, bore: str, stand: Stand, unit: Unit) -> TrustView:
    """Look at what stands behind a bore's readings.

    Args:
        store: the record that holds it.
        bore: the bore's name in the record.
        stand: how it stands.
        unit: unit to show lengths in.

    Returns:
        The view.
    """
    return TrustView(said_together(marks(store, bore), unit), _budget(stand))


def said_together(found: tuple[Mark, ...], unit: Unit) -> tuple[str, ...]:
    """Say marks, those of one reason in one sentence.

    Args:
        found: the marks.
        unit: unit to show lengths in.

    Returns:
        The sentences.
    """
    sentences: list[str] = []
    reasons: dict[tuple[Reason, float | None], list[int]] = {}
    for mark in found:
        reasons.setdefault((mark.reason, mark.by_mm), []).append(mark.number)
    for (reason, by_mm), numbers in reasons.items():
        if len(numbers) == 1:
            sentences.append(Mark(numbers[0], reason, by_mm).said(unit).capitalize() + ".")
        else:
            one = Mark(numbers[0], reason, by_mm).said(unit).partition(": ")[2]
            sentences.append(f"Readings {', '.join(str(number) for number in numbers)}: {one}.")
    return tuple(sentences)


def _budget(stand: Stand) -> Picture:
    bore = stand.bore
    judged = judge(bore.belief, bore.model, rule_of(bore.opening.rule))
    if judged is None:
        return Picture("")
    causes = tuple(Cause(name, part) for name, part in judged.size.parts_mm if part > 0.0)
    return Picture(draw_budget(Budget(judged.size.mm, causes), standalone=False))
