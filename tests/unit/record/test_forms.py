"""What a field may hold: read as people and programs give it, stored as text, described as it is read."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import jsonschema
import pytest
from hypothesis import given

from borewright.errors import EntryError
from borewright.quantity.length import Length
from borewright.record import forms
from borewright.record.forms import as_stored, either
from tests.unit.record.strategies import plain_mappings

SIZE = forms.length_form(signed=False, zero=False)
MOVE = forms.length_form(signed=True, zero=True)
SHARE = forms.number_form(Decimal(0), Decimal(1))
COUNT = forms.whole_form(2, 1000)
WARM = forms.celsius_form()
WORDS = forms.text_form()
SIDE = forms.choice_form(("opening", "closing"))
FLAG = forms.flag_form()
FREE = forms.free_form()

TAKEN: tuple[tuple[forms.Form, object, object], ...] = (
    (SIZE, "27.0300", "27.0300 mm"),
    (SIZE, "27,03", "27.03 mm"),
    (SIZE, ".0003 in", "0.0003 in"),
    (SIZE, "12 µm", "0.012 mm"),
    (SIZE, "3.7 thou", "0.0037 in"),
    (SIZE, 27, "27 mm"),
    (SIZE, 27.03, "27.03 mm"),
    (SIZE, Decimal("27.030"), "27.030 mm"),
    (SIZE, Length(Decimal("1.0642"), "in"), "1.0642 in"),
    (SIZE, "27.0300 mm", "27.0300 mm"),
    (MOVE, "+0.0095 in", "0.0095 in"),
    (MOVE, "-0.012", "-0.012 mm"),
    (MOVE, -0.012, "-0.012 mm"),
    (MOVE, "0", "0 mm"),
    (SHARE, "0,25", "0.25"),
    (SHARE, 1, "1"),
    (SHARE, 0.5, "0.5"),
    (COUNT, "50", 50),
    (COUNT, 50, 50),
    (COUNT, 50.0, 50),
    (COUNT, Decimal("50.0"), 50),
    (WARM, "21,5", "21.5 °C"),
    (WARM, "70 F", "21.11 °C"),
    (WARM, 21.5, "21.5 °C"),
    (WARM, "21.5 °C", "21.5 °C"),
    (WORDS, "  the short head \n", "the short head"),
    (WORDS, "first\n\tsecond", "first\n\tsecond"),
    (SIDE, " opening ", "opening"),
    (FLAG, False, False),
    (FREE, {}, {}),
    (
        FREE,
        {"a": 0.1, 7: (1, None, True), "b": {"c": Decimal("0.30")}},
        {"a": "0.1", "7": [1, None, True], "b": {"c": "0.30"}},
    ),
)
"""Form, what is given, what is stored."""

REFUSED: tuple[tuple[forms.Form, object, str], ...] = (
    (SIZE, "0.000", "It cannot be nothing."),
    (SIZE, "0 mm", "It cannot be nothing."),
    (SIZE, "-1", "A size has no sign."),
    (SIZE, "-1 mm", "It cannot be negative."),
    (SIZE, Length(Decimal(-1), "mm"), "It cannot be negative."),
    (SIZE, True, "A length is wanted."),
    (SIZE, [27], "A length is wanted."),
    (SIZE, "1.234,5", "A point and a comma"),
    (SIZE, "1e2", "A power of ten"),
    (MOVE, "", "Nothing was entered."),
    (SHARE, "1.01", "That is above 1."),
    (SHARE, -0.5, "That is below 0."),
    (SHARE, False, "A number is wanted."),
    (COUNT, 1, "That is below 2."),
    (COUNT, 50.5, "It must be a whole number."),
    (COUNT, "fifty", "That is not a number."),
    (WARM, 300, "300 °C is not a temperature"),
    (WARM, None, "A temperature is wanted."),
    (WORDS, "\x00", "It holds a control character."),
    (WORDS, "", "Nothing stands there."),
    (WORDS, "n" * 2001, "2001 characters are too many."),
    (WORDS, b"n", "Words are wanted."),
    (SIDE, "Opening", "That is not one of the choices."),
    (SIDE, 1, "That is not one of the choices."),
    (FLAG, 1, "Yes or no is wanted."),
    (FLAG, "true", "Yes or no is wanted."),
    (FREE, "a=1", "Named fields are wanted."),
    (FREE, {"a": {"b": [object()]}}, "That cannot be stored."),
)


@pytest.mark.parametrize(("form", "given", "stored"), TAKEN)
def test_what_is_taken_is_stored_as_text_and_read_back_the_same(form: forms.Form, given: Any, stored: object) -> None:  # noqa: ANN401
    value = form.read(given, "mm", "field")
    assert form.plain(value) == stored
    again = form.read(stored, None, "field")
    assert again == value
    assert form.plain(again) == stored


@pytest.mark.parametrize(("form", "given", "stored"), TAKEN)
def test_what_is_stored_satisfies_the_schema(form: forms.Form, given: object, stored: object) -> None:
    validator = jsonschema.Draft202012Validator(form.schema())
    assert validator.is_valid(stored)
    if isinstance(given, int | float | bool):
        assert validator.is_valid(given)


@pytest.mark.parametrize(("form", "given", "wrong"), REFUSED)
def test_what_is_refused_names_the_field_and_what_would_be_right(form: forms.Form, given: Any, wrong: str) -> None:  # noqa: ANN401
    with pytest.raises(EntryError) as caught:
        form.read(given, "mm", "field")
    assert caught.value.wrong.startswith(wrong)
    assert caught.value.where.startswith("field")
    assert caught.value.right


@pytest.mark.parametrize("given", [27.03, "27.03", Decimal("27.03")])
def test_a_length_needs_a_unit_from_somewhere(given: object) -> None:
    with pytest.raises(EntryError, match="unit"):
        SIZE.read(given, None, "field")
    assert SIZE.plain(SIZE.read(given, "in", "field")) == "27.03 in"


@pytest.mark.parametrize(
    ("form", "schema"),
    [
        (SIZE, {"type": ["string", "number"], "exclusiveMinimum": 0}),
        (forms.length_form(signed=False, zero=True), {"type": ["string", "number"], "minimum": 0}),
        (MOVE, {"type": ["string", "number"]}),
        (SHARE, {"type": ["string", "number"], "minimum": 0, "maximum": 1}),
        (forms.number_form(Decimal("1.01"), None), {"type": ["string", "number"], "minimum": 1.01}),
        (COUNT, {"type": ["string", "integer"], "minimum": 2, "maximum": 1000}),
        (WARM, {"type": ["string", "number"], "minimum": -30, "maximum": 120}),
        (WORDS, {"type": "string", "minLength": 1, "maxLength": 2000}),
        (SIDE, {"enum": ["opening", "closing"]}),
        (FLAG, {"type": "boolean"}),
        (FREE, {"type": "object"}),
    ],
)
def test_a_form_is_described_as_it_reads(form: forms.Form, schema: object) -> None:
    assert form.schema() == schema


@given(plain_mappings())
def test_plain_values_are_stored_without_a_float_and_then_stay_as_they_are(given: dict[str, Any]) -> None:
    stored = as_stored(given, "shown")
    assert as_stored(stored, "shown") == stored
    assert not floats(stored)


def floats(value: object) -> bool:
    if isinstance(value, dict):
        return any(floats(inner) for inner in value.values())
    return any(floats(inner) for inner in value) if isinstance(value, list) else isinstance(value, float | Decimal)


@pytest.mark.parametrize(
    ("given", "where"),
    [
        ({"a": {"b": [1, float("inf")]}}, "shown.a.b[1]"),
        ({"a": 10**12}, "shown.a"),
        ({"a": Decimal("1e999999")}, "shown.a"),
        ({7: {1}}, "shown.7"),
    ],
)
def test_what_cannot_be_stored_is_told_by_its_place(given: object, where: str) -> None:
    with pytest.raises(EntryError) as caught:
        as_stored(given, "shown")
    assert caught.value.where == where


def test_a_nest_without_bottom_is_refused() -> None:
    nest: dict[str, object] = {}
    nest["a"] = nest
    with pytest.raises(EntryError, match="too deep"):
        FREE.read(nest, None, "shown")


def test_choices_are_said_in_words() -> None:
    assert either(("mm",)) == "mm"
    assert either(("mm", "in")) == "mm or in"
    assert either(("bore", "tool", "gauge")) == "bore, tool or gauge"
