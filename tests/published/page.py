"""Writes the validation page of the docs from the published checks.

``python -m tests.published.page`` writes ``docs/validation.md``; with ``--check`` it only says, by its exit code,
whether the page is the one that would be written.
"""

from __future__ import annotations

import importlib
import math
import sys
from pathlib import Path
from typing import Final

from tests.published.case import Case, Source, agrees, exact

HERE: Final = Path(__file__).parent
PAGE: Final = HERE.parents[1] / "docs" / "validation.md"

HEAD: Final = """\
# Validation

<!-- Written by `make validation` from tests/published; do not edit. -->

Borewright's numbers held against numbers printed elsewhere. Every row is also a test, run by `make test`. "Theirs" is
the value as the source prints it; the two must lie within the tolerance, which is what the printed digits allow.

What a row's standing means: *read*, somebody read the value in the source; *recomputed*, the value follows from a
formula of the source; *exact*, it is true by definition; *from memory*, nobody has looked it up yet, so trust it less.

A check that is not on this page has not been made. In particular nothing here shows that a push-off, a lock shift or a
scatter on your machine is what you were told it is: that is what the readings are for.
"""

NO_BREAK: Final = "\N{NO-BREAK SPACE}"

STANDING: Final = {"read": "read", "recomputed": "recomputed", "exact": "exact", "memory": "from memory"}


def sources() -> list[Source]:
    """Collect the sources of this folder.

    Returns:
        The ``SOURCE`` of every ``test_*.py``, by file name.

    Raises:
        TypeError: a file has none.
    """
    found: list[Source] = []
    for path in sorted(HERE.glob("test_*.py")):
        source = getattr(importlib.import_module(f"tests.published.{path.stem}"), "SOURCE", None)
        if not isinstance(source, Source):
            raise TypeError(f"{path.name} has no SOURCE.")
        found.append(source)
    return found


def page(shown: list[Source]) -> str:
    """Return the page as MyST Markdown.

    Args:
        shown: the sources, in the order of the page.

    Returns:
        The whole text of the page.
    """
    cases = [case for source in shown for case in source.cases]
    differ = sum(bool(case.disagreement) for case in cases)
    total = f"{count(len(cases), 'value')} from {count(len(shown), 'source')}; {count(differ, 'known disagreement')}."
    return "\n".join([HEAD, total, "", *(section(source) for source in shown)])


def section(source: Source) -> str:
    """Return one source's heading, table and findings.

    Args:
        source: the source.

    Returns:
        Markdown text that ends with an empty line.
    """
    lines = [
        f"## {source.title}",
        "",
        f"{{cite:p}}`{source.key}`",
        "",
        "| case | place | theirs | ours | tolerance | standing | verdict |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    lines += [row(case) for case in source.cases]
    findings = [f"- *{cell(case.name)}*: {case.disagreement}" for case in source.cases if case.disagreement]
    if findings:
        lines += ["", "Where ours differs, and why:", "", *findings]
    return "\n".join([*lines, ""])


def row(case: Case) -> str:
    """Return one line of the table.

    Args:
        case: what the line shows.

    Returns:
        A Markdown table row, with our value as it comes out now.
    """
    ours = case.ours()
    same = agrees(ours, case)
    if case.disagreement:
        verdict = "**agrees now: mend the case**" if same else "differs, known"
    else:
        verdict = "agrees" if same else "**differs**"
    tolerance = f"{exact(case.tolerance):f}" if case.tolerance else "exact"
    cells = (
        case.name,
        case.place,
        with_unit(number(case.theirs), case.unit),
        with_unit(rounded(ours, case), case.unit),
        tolerance,
        STANDING[case.standing],
        verdict,
    )
    return "| " + " | ".join(cell(text) for text in cells) + " |"


def rounded(ours: float | str, case: Case) -> str:
    """Return our value with two decimals more than the printed one and its tolerance have.

    Args:
        ours: our value.
        case: the printed one.

    Returns:
        The text for the table; a text or a value that is not finite as it is.
    """
    if isinstance(ours, str) or isinstance(case.theirs, str) or not math.isfinite(ours):
        return str(ours)
    decimals = 2 + max(decimals_of(case.theirs), decimals_of(case.tolerance))
    text = f"{round(exact(ours), decimals):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def decimals_of(value: float) -> int:
    """Count the decimals of a number's shortest text.

    Args:
        value: any finite number.

    Returns:
        Digits after the point, 0 for a whole number.
    """
    exponent = exact(value).normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def number(value: float | str) -> str:
    """Return a printed value as text, without an exponent.

    Args:
        value: the value.

    Returns:
        Its text.
    """
    if isinstance(value, str):
        return value
    text = f"{exact(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def with_unit(text: str, unit: str) -> str:
    """Put a unit behind a value.

    Args:
        text: the value.
        unit: the unit, or an empty text.

    Returns:
        Both, with a space between that no line is broken at.
    """
    return f"{text}{NO_BREAK}{unit}" if unit else text


def cell(text: str) -> str:
    """Make a text safe inside a Markdown table.

    Args:
        text: any text.

    Returns:
        The text without bare bars or line ends.
    """
    return text.replace("|", "\\|").replace("\n", " ")


def count(number_of: int, what: str) -> str:
    """Say how many.

    Args:
        number_of: how many.
        what: of what, in the singular.

    Returns:
        Such as ``1 value`` or ``3 values``.
    """
    return f"{number_of} {what}{'' if number_of == 1 else 's'}"


def main(arguments: list[str]) -> int:
    """Write the page, or check it.

    Args:
        arguments: nothing, or ``--check``.

    Returns:
        0, or 1 when the page on disk is not the one that would be written.
    """
    text = page(sources())
    if arguments == ["--check"]:
        if PAGE.is_file() and PAGE.read_text(encoding="utf-8") == text:
            return 0
        print("docs/validation.md is not what the published checks give now. Run `make validation`.", file=sys.stderr)
        return 1
    PAGE.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
