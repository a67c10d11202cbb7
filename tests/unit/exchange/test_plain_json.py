"""JSON without loss: decimals as written, no name twice, nothing that is no number."""

from __future__ import annotations

import contextlib
import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as some

from borewright.errors import EntryError
from borewright.exchange.plain_json import read_object

RIGHT = "Send one object."


def test_a_decimal_is_kept_to_its_last_zero() -> None:
    assert str(read_object(b'{"as_read": 46.4910}', RIGHT)["as_read"]) == "46.4910"
    assert read_object(b'{"n": 7}', RIGHT) == {"n": 7}
    assert read_object('\ufeff{"wide": "ø"}'.encode(), RIGHT) == {"wide": "ø"}


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        (b"", "not JSON"),
        (b"{", "not JSON"),
        (b"[1]", "Named fields"),
        (b'"words"', "Named fields"),
        (b"null", "Named fields"),
        (b'{"a": NaN}', "not a number"),
        (b'{"a": -Infinity}', "not a number"),
        (b'{"a": 1, "a": 2}', "twice"),
        (b'{"b": {"a": 1, "a": 2}}', "twice"),
        (b"\xff", "not UTF-8"),
        (b"[" * 100_000, "too deep"),
        (b'{"a": ' + b"9" * 5000 + b"}", "too long"),
    ],
)
def test_what_is_lost_or_doubled_is_refused(text: bytes, wrong: str) -> None:
    with pytest.raises(EntryError) as refused:
        read_object(text, RIGHT)
    assert wrong in refused.value.wrong
    assert refused.value.right


@given(some.dictionaries(some.text(), some.none() | some.booleans() | some.integers(-(2**53), 2**53) | some.text()))
def test_what_is_written_is_read_back(values: dict[str, object]) -> None:
    assert read_object(json.dumps(values).encode(), RIGHT) == values


@given(some.decimals(allow_nan=False, allow_infinity=False, places=6))
def test_every_decimal_comes_back_digit_for_digit(value: Decimal) -> None:
    assert str(read_object(f'{{"v": {value:f}}}'.encode(), RIGHT)["v"]) == f"{value:f}"


@given(some.binary())
def test_nothing_else_comes_out_than_an_object_or_a_refusal(text: bytes) -> None:
    with contextlib.suppress(EntryError):
        assert isinstance(read_object(text, RIGHT), dict)
