"""What people and programs may hand over: entries of the right shape, and things of any shape at all."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from borewright.record import forms
from borewright.record.fields import Payload, _fields, _GroupForm, _GroupsForm
from borewright.record.payloads.cut import CutFacts
from borewright.record.payloads.gauge import Certified
from borewright.record.payloads.opened import Start
from borewright.record.payloads.shared import Adjuster

Made = st.SearchStrategy[Any]

WORDS = st.text(st.characters(exclude_categories=["C"]), min_size=1, max_size=12).filter(lambda text: text.strip())
DECIMALS = st.decimals("0.001", "500", places=4)


def _length(form: forms._LengthForm) -> Made:
    size = DECIMALS if not form.signed else st.one_of(DECIMALS, DECIMALS.map(lambda value: -value))
    return st.one_of(
        size,
        size.map(float),
        size.map(str),
        st.builds("{} {}".format, size, st.sampled_from(("mm", "in", "µm"))).filter(lambda text: "in" not in text),
        st.builds("{} in".format, st.decimals("0.0001", "10", places=5)),
    )


def _number(form: forms._NumberForm) -> Made:
    low = Decimal(-1000) if form.low is None else form.low
    high = low + 1000 if form.high is None else form.high
    value = st.decimals(low, high, places=4)
    return st.one_of(value, value.map(str), value.map(lambda number: str(number).replace(".", ",")))


def _value(form: object) -> Made:  # noqa: C901  # one line for each form
    """Make values that a form takes."""
    if isinstance(form, forms._LengthForm):
        return _length(form)
    if isinstance(form, forms._NumberForm):
        return _number(form)
    if isinstance(form, forms._SpeedForm):
        speed = st.decimals("1", "9999", places=1)
        return st.one_of(speed, speed.map(str), st.builds("{} ft/min".format, speed))
    if isinstance(form, forms._CelsiusForm):
        celsius = st.decimals("-30", "120", places=1)
        return st.one_of(celsius, celsius.map(str), st.builds("{} F".format, st.integers(0, 200)))
    if isinstance(form, forms._WholeForm):
        whole = st.integers(form.low, form.high)
        return st.one_of(whole, whole.map(str), whole.map(float))
    if isinstance(form, forms._DayForm):
        return st.dates(date(2000, 1, 1), date(2099, 12, 31)).map(date.isoformat)
    if isinstance(form, forms._TextForm):
        return WORDS
    if isinstance(form, forms._ChoiceForm):
        return st.sampled_from(form.options)
    if isinstance(form, forms._FlagForm):
        return st.booleans()
    if isinstance(form, forms._FreeForm):
        return plain_mappings()
    if isinstance(form, _GroupForm):
        whole_group = mappings(form.group)
        return whole_group if form.short is None else whole_group | _value(_fields(form.group)[form.short].form)
    assert isinstance(form, _GroupsForm)
    return st.lists(mappings(form.group), max_size=3)


def mappings(of: type[Payload]) -> st.SearchStrategy[dict[str, Any]]:
    """Make mappings whose every field a payload takes; what fields say together may still be refused."""
    declared = _fields(of)
    needed = {name: _value(field.form) for name, field in declared.items() if field.required}
    left_out = {name: _value(field.form) for name, field in declared.items() if not field.required}
    made: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(needed, optional=left_out)
    together = {
        Adjuster: _one_kind_of_adjuster,
        Certified: _days_in_order,
        CutFacts: _giving_way,
        Start: _pushed_off,
    }.get(of)
    return made if together is None else made.map(together)


def _days_in_order(given: dict[str, Any]) -> dict[str, Any]:
    """Let a certificate fall due after it was given."""
    if "dated" in given and "due" in given and given["due"] <= given["dated"]:
        return {**given, "due": date.fromisoformat(given["dated"]).replace(year=2150).isoformat()}
    return given


def _one_kind_of_adjuster(given: dict[str, Any]) -> dict[str, Any]:
    """Give a dial its lines and the others their step, as an adjuster has them."""
    has, lacks = ("line", "step") if given["kind"] == "dial" else ("step", "line")
    return {has: "0.002 mm", **{name: value for name, value in given.items() if name != lacks}}


def _giving_way(given: dict[str, Any]) -> dict[str, Any]:
    """Say how the tool of a cut gives way, and how far a bar reaches."""
    pushed = given.get("push_test") or [{"load": "100", "gives": "0.01 mm"}]
    return {"overhang": "90 mm", **given, "push_test": pushed}


def _pushed_off(given: dict[str, Any]) -> dict[str, Any]:
    """Give a start a push-off where neither that nor a cut was made."""
    return given if "cut" in given else {"push_off": "0.02 mm", **given}


def plain_values() -> Made:
    """Make values that can be stored in a field that takes any."""
    floats = st.floats(-1e6, 1e6).map(lambda value: round(value, 6))
    leaves: Made = st.none() | st.booleans() | st.integers(-(10**11), 10**11) | st.text(max_size=5) | DECIMALS | floats
    return st.recursive(leaves, lambda inner: st.lists(inner, max_size=3) | _named(inner), max_leaves=8)


def plain_mappings() -> Made:
    """Make mappings that can be stored as they are."""
    return _named(plain_values()).map(_storable)


def _named(inner: Made) -> Made:
    return st.dictionaries(st.text(max_size=4), inner, max_size=3)


def _storable(value: Any) -> Any:  # noqa: ANN401  # any plain value
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode()
    if isinstance(value, list):
        return [_storable(inner) for inner in value]
    if isinstance(value, Mapping):
        return {_storable(name): _storable(inner) for name, inner in value.items()}
    return value


def anything() -> Made:
    """Make values of any type that a program may hand over by mistake."""
    odd = st.sampled_from(
        [
            None,
            True,
            "",
            "\ud800",
            "61.9912",
            "1,234.5",
            "7 tenths",
            "-0.000 mm",
            10**40,
            float("nan"),
            float("-inf"),
            Decimal("sNaN"),
            Decimal("1e999999"),
            b"27.030",
            (),
            {1, 2},
            object(),
            date(2031, 5, 6),
            {"a": {"a": {"a": {}}}},
        ]
    )
    leaves = odd | st.integers() | st.floats() | st.decimals() | st.text(max_size=8)
    names = st.text(max_size=6) | st.integers() | st.none()
    return st.recursive(
        leaves, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3), max_leaves=6
    )


@st.composite
def spoiled(draw: st.DrawFn, whole: Mapping[str, Any]) -> dict[Any, Any]:
    """Make a mapping that was right, with something in it left out, added, or put in the place of something else."""
    broken: dict[Any, Any] = dict(whole)
    for _ in range(draw(st.integers(1, 3))):
        if not broken:
            break
        name = draw(st.sampled_from(list(broken)))
        inner = broken[name]
        change = draw(st.sampled_from(["inside", "other", "none", "added"]))
        if change == "inside" and isinstance(inner, Mapping):
            broken[name] = draw(spoiled(inner))
        elif change == "none":
            broken.pop(name)
        elif change == "added":
            broken[draw(st.text(max_size=6) | st.integers() | st.none())] = draw(anything())
        else:
            broken[name] = draw(anything())
    return broken
