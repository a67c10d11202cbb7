"""Reading a callout as the drawing writes it: a class, plus and minus, or two limits."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from borewright.callout import ansi_b41, iso286
from borewright.callout.callout import AS_WRITTEN, Callout
from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.quantity import Length, Unit, parse_length
from borewright.quantity.number import EXACT, tidy

WIDEST: Final = 10
"""A tolerance wider than one part in this many of the size is taken for a slip of unit or of form."""

_LONGEST_SEARCHED: Final = 100
"""Signs of a text that is searched for a callout inside it."""

_LONGEST_REST: Final = 40

_FORMS: Final = "Write it as 62 H6, 70 +0.012 / -0.005, 2.3622 ±.0003, 69.990/70.015 or 1.5000-1.5010."

_NUMBER = r"[.,]?[0-9][0-9.,]*"
_SIZE = rf"(?:[0-9]+[ -])?[0-9]+ ?/ ?[0-9]+|{_NUMBER}"
_UNIT = r'mm|inch(?:es)?|in\.?|"'
_ANY_UNIT = r'(?:[a-zµ][a-z ]*|")\.?'
_DEVIATION = rf"[+-]? ?(?:{_NUMBER}|half an?|an?)(?: ?{_ANY_UNIT})?"
_CLASS = re.compile(
    rf"(?P<size>{_SIZE}) ?(?P<unit>{_UNIT})? ?(?P<letter>(?!mm|in)[a-z]{{1,2}}) ?(?P<grade>[0-9]{{1,2}})"
    rf"(?: ?/ ?(?P<mate>[a-z]{{1,2}}) ?[0-9]{{1,2}})? ?(?P<after>{_UNIT})?",
    re.IGNORECASE,
)
_BEFORE_HALF = rf"(?P<size>{_SIZE}) ?(?P<unit>{_UNIT})? ?± ?"
_PLUS_MINUS = re.compile(rf"{_BEFORE_HALF}(?P<half>.+)", re.IGNORECASE)
_PLUS_MINUS_ALONE = re.compile(rf"{_BEFORE_HALF}{_NUMBER}(?: ?(?:{_UNIT}))?", re.IGNORECASE)
_DEVIATIONS = re.compile(
    rf"(?P<size>{_SIZE}) ?(?P<unit>{_UNIT})?(?: |(?=[+-]))(?P<first>{_DEVIATION})"
    rf"(?: ?/ ?| |(?=[+-]))(?P<second>{_DEVIATION})",
    re.IGNORECASE,
)
_LIMITS = re.compile(
    rf"(?P<one>{_NUMBER}) ?(?P<unit>{_UNIT})? ?(?P<between>/|-|to) ?(?P<two>{_NUMBER}) ?(?P<after>{_UNIT})?",
    re.IGNORECASE,
)
_UNITS: Final[tuple[tuple[Unit, bool, str], ...]] = (
    ("mm", True, r"mm(?![a-z])|millimet"),
    ("mm", False, r"[µu]m(?![a-z])|micro(?:n|met)"),
    ("in", True, r'(?<![a-zµ])in(?:ch|(?![a-z]))|"'),
    ("in", False, r"thou|tenth|[µu]in|microin"),
)
"""Unit, whether sizes are given in it, and the pattern that finds it."""

_POWER_OF_TEN: Final = r"[0-9]e[+-]?[0-9]"
_UNREADABLE: Final = (
    (r"^[+-]", "A size has no sign.", "Write it without plus or minus."),
    (_POWER_OF_TEN, "A power of ten is too easily misread here.", "Write the number out, such as 0.0003."),
    (
        r"thru|through|deep|depth| x ",
        "That holds more than size and limits.",
        "Leave out depth and notes: size and tolerance alone.",
    ),
    (r"^[0-9]+ ?(?:x|off|holes?)\b", "That gives the number of holes too.", "Leave it out: one callout for one size."),
    (r"^r ?[0-9]", "That looks like a radius.", "Give the diameter."),
    (r"\b(?:min|max)\b", "One limit alone does not bound a bore.", "Give both limits, such as 69.990/70.015."),
    (r"[a-z]{1,2} ?[0-9]+ ?\(|\)", "That gives more than one callout.", "Give the class or the limits, not both."),
    (rf"^(?:{_SIZE}) ?(?:{_UNIT})?$", "There is no tolerance in it.", _FORMS),
    (
        rf"^(?:{_SIZE}) ?(?:{_UNIT})? ?[a-z]{{1,2}}$",
        "There is no grade after the class letter.",
        "Write letter and grade, such as 62 H6.",
    ),
    (r"^[a-z]{1,2} ?[0-9]{1,2}$", "There is no size in front of the class.", "Write size and class, such as 62 H6."),
    (
        rf"^(?:{_SIZE}) ?(?:{_UNIT})? ?[+-] ?{_NUMBER} ?(?:{_ANY_UNIT})?$",
        "There is one deviation only.",
        "Write both, such as 70 +0.012 / 0.",
    ),
)
"""What is often written and cannot be read, what is wrong with it, and what would be right."""


def parse_callout(text: str, unit: Unit | None = None, *, where: str = "") -> Callout:
    """Read what the drawing asks of a bore.

    Args:
        text: such as ``62 H6``, ``Ø2.3622 ±.0003 in``, ``70 +0.012 / -0.005``, ``69.990/70.015``, ``1.5000-1.5010`` or
            ``1.5 RC3``. A metric class follows ISO 286, an inch class ANSI B4.1. A unit that is written wins.
        unit: the unit where none is written, or None to ask for one; a class that is held in mm only then means mm.
        where: the field it belongs to, for the message.

    Returns:
        The callout with exact limits.

    Raises:
        EntryError: it is not a callout of a bore, or could be read in two ways.
        NotHeldError: the class is not in the tables held.
    """
    try:
        if not isinstance(text, str):
            raise EntryError("A callout is text.", given=str(text)[:40], right=_FORMS)
        return _read(text, unit)
    except BorewrightError as error:
        if where:
            error.at(where)
        raise


@dataclass(frozen=True, slots=True)
class _Entry:
    """A callout as given and tidied, with the unit for sizes that carry none."""

    given: str
    text: str
    unit: Unit | None

    def length(self, part: str, *, signed: bool = False) -> Length:
        try:
            return parse_length(re.sub(r"^([+-]) ", r"\1", part.strip()), self.unit, signed=signed)
        except EntryError as error:
            raise (_not_understood(self) or self.wrong(error.wrong, error.right)) from None

    def wrong(self, wrong: str, right: str = _FORMS) -> EntryError:
        return EntryError(wrong, given=self.given, right=right)


def _read(given: str, unit: Unit | None) -> Callout:
    text = re.sub(r"\+ ?/ ?-|\+-", "±", tidy(given))
    text = re.sub(r"[Øø⌀] ?(?=[0-9.,])|(?i:\bdia(?:meter)?\b\.?)", "", text).strip()
    entry = _Entry(given, text, _unit_of(text, given, unit))
    if found := _CLASS.fullmatch(text):
        return _of_class(entry, found)
    if found := _PLUS_MINUS.fullmatch(text):
        return _of_plus_minus(entry, found)
    if found := _DEVIATIONS.fullmatch(text):
        return _of_two_deviations(entry, found)
    if found := _LIMITS.fullmatch(text):
        return _of_limits(entry, found)
    raise _why_not(entry)


def _unit_of(text: str, given: str, unit: Unit | None) -> Unit | None:
    found = {(name, sizes) for name, sizes, pattern in _UNITS if re.search(pattern, text, re.IGNORECASE)}
    names = {name for name, _ in found}
    if len(names) > 1:
        raise EntryError("It mixes millimetres and inches.", given=given, right="Write it in one unit.")
    if not names:
        return unit
    name = names.pop()
    if unit not in (None, name) and (name, True) not in found:
        raise EntryError(
            "Its deviation is in parts of a mm, and sizes here are in inches."
            if name == "mm"
            else "Its deviation is in parts of an inch, and sizes here are in mm.",
            given=given,
            right="Write the unit after the size too.",
        )
    return name


def _joined(size: str, unit: str | None) -> str:
    return f"{size} {unit}" if unit else size


def _of_plus_minus(entry: _Entry, found: re.Match[str]) -> Callout:
    if found["half"][0] in "+-":
        raise entry.wrong("There is a sign after ±.", "Write one deviation without a sign, such as 2.3622 ±.0003.")
    half = entry.length(found["half"])
    return _of_deviations(entry, _joined(found["size"], found["unit"]), -half, half)


def _of_two_deviations(entry: _Entry, found: re.Match[str]) -> Callout:
    first, second = found["first"], found["second"]
    for part in (first, second):
        if part[0] not in "+-" and re.search(r"[1-9]", part):
            raise entry.wrong("A deviation has no sign.", "Write the sign of both, such as 70 +0.012 / -0.005.")
    unit = re.search(r" ?[a-zµ][a-zµ ]*$", second, re.IGNORECASE)
    if unit and not re.search(r"[a-zµ\"]", first, re.IGNORECASE):
        first += unit[0]
    one, two = entry.length(first, signed=True), entry.length(second, signed=True)
    return _of_deviations(entry, _joined(found["size"], found["unit"]), min(one, two), max(one, two))


def _of_deviations(entry: _Entry, size: str, lower: Length, upper: Length) -> Callout:
    nominal = entry.length(size)
    return _callout(entry, nominal + lower, nominal + upper, nominal=nominal)


def _of_limits(entry: _Entry, found: re.Match[str]) -> Callout:
    one, two = found["one"], found["two"]
    if found["between"] == "/" and not re.search(r"[.,]", one + two):
        raise entry.wrong(
            "That could be a fraction or two limits.", "Write limits with decimals, and a fraction with its tolerance."
        )
    unit = found["unit"] or found["after"]
    sizes = sorted((entry.length(_joined(one, unit)), entry.length(_joined(two, found["after"] or unit))))
    return _callout(entry, *sizes)


def _of_class(entry: _Entry, found: re.Match[str]) -> Callout:
    letter, grade, mate = found["letter"], found["grade"], found["mate"]
    if mate:
        if not (letter.isupper() and mate.islower()):
            raise entry.wrong(
                "A fit has the hole's class in capitals first and the shaft's in small letters after it.",
                "Give the hole alone, such as 62 H6.",
            )
    elif letter.islower() and letter.upper() not in ansi_b41.FIT_LETTERS:
        raise entry.wrong(
            "Small letters are a shaft class; this is a bore.", "Write the hole's class with a capital, such as 62 H6."
        )
    if grade.startswith("0") and grade not in ("0", "01"):
        raise entry.wrong(f"There is no grade {grade}.", "Grades are 01, 0 and 1 to 18.")
    size = _joined(found["size"], found["unit"] or found["after"])
    unit = entry.length(size).unit if size != found["size"] else entry.unit
    if letter.upper() in ansi_b41.FIT_LETTERS:
        if unit == "mm":
            raise entry.wrong(f"{letter.upper()} is an inch fit.", "Give the size in inches, or an ISO class with mm.")
        return _of_inch_class(_Entry(entry.given, entry.text, "in"), size, f"{letter.upper()}{grade}")
    if unit is None:
        unit = _unit_of_class(entry, size)
    sized = _Entry(entry.given, entry.text, unit)
    if unit == "in":
        return _of_inch_class(sized, size, f"{letter}{grade}")
    return _of_metric_class(sized, size, letter, grade)


def _unit_of_class(entry: _Entry, size: str) -> Unit:
    if "/" in size:
        raise entry.wrong("The unit is missing.", "Write in after the size.")
    if _Entry(entry.given, entry.text, "mm").length(size).value <= ansi_b41.STEPS_IN[-1]:
        raise entry.wrong("The unit is missing; that size could be inches or mm.", "Write mm or in after the size.")
    return "mm"


def _of_metric_class(entry: _Entry, size: str, letter: str, grade: str) -> Callout:
    nominal = entry.length(size).to("mm")
    try:
        lower_um, upper_um = iso286.hole_deviations_um(nominal.value, letter, grade)
    except (EntryError, NotHeldError) as error:
        error.given = entry.given
        raise
    lower, upper = (Length(um.scaleb(-3, EXACT), "mm") for um in (lower_um, upper_um))
    return _callout(
        entry, nominal + lower, nominal + upper, nominal=nominal, designation=f"{letter}{grade}", source=iso286.SOURCE
    )


def _of_inch_class(entry: _Entry, size: str, designation: str) -> Callout:
    nominal = entry.length(size)
    try:
        lower_thou, upper_thou = ansi_b41.hole_deviations_thou(nominal.value, designation)
    except NotHeldError as error:
        error.given = entry.given
        raise
    lower, upper = (Length(thou.scaleb(-3, EXACT), "in") for thou in (lower_thou, upper_thou))
    return _callout(
        entry, nominal + lower, nominal + upper, nominal=nominal, designation=designation, source=ansi_b41.SOURCE
    )


def _callout(
    entry: _Entry,
    lower: Length,
    upper: Length,
    *,
    nominal: Length | None = None,
    designation: str | None = None,
    source: str = AS_WRITTEN,
) -> Callout:
    if designation is None and upper.exact_mm - lower.exact_mm > upper.exact_mm / WIDEST:
        raise entry.wrong(
            f"That leaves {(upper - lower).text} between the limits, too much for a bore brought to size.",
            "Check the unit and the decimals, or whether a deviation was meant.",
        )
    places = max(lower.decimals, upper.decimals)
    return Callout(
        written=entry.given.strip(),
        unit=lower.unit,
        lower=_to_decimals(lower, places),
        upper=_to_decimals(upper, places),
        nominal=nominal,
        designation=designation,
        source=source,
    )


def _to_decimals(length: Length, places: int) -> Length:
    return Length(length.value.quantize(Decimal(1).scaleb(-places, EXACT), context=EXACT), length.unit)


def _why_not(entry: _Entry) -> EntryError:
    for pattern, wrong, right in _UNREADABLE:
        if re.search(pattern, entry.text, re.IGNORECASE):
            return entry.wrong(wrong, right)
    return _not_understood(entry) or entry.wrong("That is not a callout of a bore.", _FORMS)


def _not_understood(entry: _Entry) -> EntryError | None:
    rest = _left_over(entry.text)
    if not rest:
        return None
    return entry.wrong(f"“{rest[:_LONGEST_REST]}” is not understood.", "Leave it out: size and tolerance alone.")


def _left_over(text: str) -> str:
    """Return what stands before or after a whole callout, where one is in the text and all else is not understood."""
    if len(text) > _LONGEST_SEARCHED or re.search(_POWER_OF_TEN, text, re.IGNORECASE):
        return ""
    words = text.split(" ")
    for count in range(len(words) - 1, 0, -1):
        if _is_whole(" ".join(words[:count])):
            return " ".join(words[count:])
        if _is_whole(" ".join(words[-count:])):
            return " ".join(words[:-count])
    for end in range(len(text) - 1, 0, -1):
        if re.match(r"[0-9][^0-9.,]", text[end - 1 : end + 1]) and _is_whole(text[:end]):
            return text[end:]
    return ""


def _is_whole(text: str) -> bool:
    return any(form.fullmatch(text) for form in (_CLASS, _PLUS_MINUS_ALONE, _DEVIATIONS, _LIMITS))
