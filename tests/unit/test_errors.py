"""An error says four things in one line and as plain values, whatever was given."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest

from borewright import errors
from borewright.errors import BorewrightError, ConflictError, EntryError

FAMILY = [kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, BorewrightError)]


def nested(levels: int) -> dict[str, object]:
    inner: dict[str, object] = {}
    for _ in range(levels):
        inner = {"a": inner}
    return inner


def test_one_line_says_where_what_was_given_what_is_wrong_and_what_would_be_right() -> None:
    error = EntryError("That is not a number.", given="6x", right="Enter digits.", where="hole.size")
    assert str(error) == "hole.size: '6x': That is not a number. Enter digits."
    assert str(EntryError("It is missing.")) == "It is missing."
    assert error.as_problem() == {
        "problem": "entry",
        "where": "hole.size",
        "given": "6x",
        "wrong": "That is not a number.",
        "right": "Enter digits.",
    }


@pytest.mark.parametrize(
    ("inner", "outer", "where"),
    [("", "gauge", "gauge"), ("step", "gauge", "gauge.step"), ("[2].size", "bore", "bore[2].size")],
)
def test_a_place_is_put_in_front_of_the_one_it_has(inner: str, outer: str, where: str) -> None:
    error = EntryError("No.", where=inner)
    assert error.at(outer) is error
    assert error.where == where


@pytest.mark.parametrize(
    ("given", "plain"),
    [
        (None, None),
        (True, True),
        (7, 7),
        (0.25, 0.25),
        ("x", "x"),
        (Decimal("0.00030"), "0.00030"),
        ([1, 2], "[1, 2]"),
        (2**53, "9007199254740992"),
        (float("nan"), "nan"),
        (float("-inf"), "-inf"),
        pytest.param(10**5000, "<int>", id="5001 digits"),
        ("y" * 1000, "y" * errors.LONGEST_GIVEN),
        (nested(5000), "<dict>"),
    ],
)
def test_what_was_given_is_repeated_as_a_value_that_json_has(given: object, plain: object) -> None:
    problem = EntryError("No.", given=given).as_problem()
    assert problem["given"] == plain
    assert json.loads(json.dumps(problem, allow_nan=False)) == problem
    assert len(str(EntryError("No.", given=given))) < errors.LONGEST_GIVEN + 10


def test_a_conflict_tells_what_came_since() -> None:
    error = ConflictError("More was recorded.", since=[{"number": 3}])
    assert error.as_problem()["since"] == [{"number": 3}]


@pytest.mark.parametrize("kind", FAMILY)
def test_each_of_the_family_has_a_name_and_is_a_builtin_too(kind: type[Any]) -> None:
    assert [other for other in FAMILY if other.name == kind.name] == [kind]
    if kind is not BorewrightError:
        assert [base for base in kind.__bases__ if base.__module__ == "builtins"]
