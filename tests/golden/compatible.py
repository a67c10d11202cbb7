"""What of a changed schema of the door would break those who rely on the one before.

Whoever asks must be able to go on asking as before, and whoever reads answers must find in them what was promised. So
what is asked may only be taken more widely, and what is answered may only be given more narrowly, or with more beside
it. More words where one of several is said are allowed in answers too, because the schema says that there may be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

Schema: TypeAlias = Mapping[str, Any]

KNOWN: Final = frozenset(
    {
        "$ref",
        "additionalProperties",
        "anyOf",
        "const",
        "description",
        "enum",
        "exclusiveMinimum",
        "items",
        "maxLength",
        "maximum",
        "minLength",
        "minimum",
        "pattern",
        "properties",
        "readOnly",
        "required",
        "type",
    }
)
"""Keywords that are compared or that change nothing for anybody; any other one is told of, so that none is missed."""

ANY_TYPE: Final = frozenset({"array", "boolean", "integer", "null", "number", "object", "string"})
BOUNDS: Final = (("minimum", 1), ("exclusiveMinimum", 1), ("minLength", 1), ("maximum", -1), ("maxLength", -1))


def breaking_changes(old: Schema, new: Schema) -> list[str]:
    """Compare two schemas of the door.

    Args:
        old: the one that others rely on.
        new: the one of today.

    Returns:
        A line for each change that breaks something, beginning with where it is; none where nothing does.
    """
    found = [f"{name}: is gone" for name in old["$defs"] if name not in new["$defs"]]
    found += _Comparison(old, new, asked=True).at("question")
    found += _Comparison(old, new, asked=False).at("answer")
    return found


@dataclass(frozen=True, slots=True)
class _Comparison:
    """A walk through both schemas at once.

    Args:
        old: the whole schema of before.
        new: the whole schema of today.
        asked: whether what is compared is asked, or else answered.
    """

    old: Schema
    new: Schema
    asked: bool

    def at(self, name: str) -> Iterator[str]:
        return self.walk(self.old["$defs"][name], self.new["$defs"].get(name, {}), name)

    def walk(self, old: Schema, new: Schema, where: str) -> Iterator[str]:
        where = _named(old) or where
        old, new = _resolved(old, self.old), _resolved(new, self.new)
        for keyword in sorted((old.keys() | new.keys()) - KNOWN):
            yield f"{where}: the comparison does not know {keyword}"
        if "anyOf" in old or "anyOf" in new:
            yield from self.ways(old, new, where)
            return
        yield from self.types(old, new, where)
        yield from self.words(old, new, where)
        yield from self.bounds(old, new, where)
        yield from self.fields(old, new, where)
        if "items" in old or "items" in new:
            yield from self.walk(old.get("items", {}), new.get("items", {}), f"{where}[]")

    def ways(self, old: Schema, new: Schema, where: str) -> Iterator[str]:
        before, after = _ways(old, self.old), _ways(new, self.new)
        for label, way in before.items():
            if label not in after:
                yield f"{where}: {label} is gone"
            else:
                yield from self.walk(way, after[label], where)

    def types(self, old: Schema, new: Schema, where: str) -> Iterator[str]:
        before, after = _types(old), _types(new)
        if self.asked and not before <= after:
            yield f"{where}: does not take {_listed(before - after)} any more"
        if not self.asked and not after <= before:
            yield f"{where}: may now be {_listed(after - before)}"

    def words(self, old: Schema, new: Schema, where: str) -> Iterator[str]:
        before, after = old.get("enum"), new.get("enum")
        if before is not None and after is not None:
            yield from (f"{where}: the choice {word!r} is gone" for word in before if word not in after)
        elif before is None and after is not None and self.asked:
            yield f"{where}: takes only some words now"
        elif before is not None and after is None and not self.asked:
            yield f"{where}: may now be any words"
        if old.get("const") != new.get("const"):
            yield f"{where}: is now {new.get('const')!r}, not {old.get('const')!r}"

    def bounds(self, old: Schema, new: Schema, where: str) -> Iterator[str]:
        for keyword, sign in BOUNDS:
            before, after = old.get(keyword), new.get(keyword)
            narrow, wide = (before, after) if self.asked else (after, before)
            if wide is not None and (narrow is None or sign * wide > sign * narrow):
                yield f"{where}: {keyword} was {before}, is {after}"
        before, after = old.get("pattern"), new.get("pattern")
        if before != after and (after if self.asked else before) is not None:
            yield f"{where}: pattern was {before}, is {after}"

    def fields(self, old: Schema, new: Schema, where: str) -> Iterator[str]:
        before, after = old.get("properties", {}), new.get("properties", {})
        needed_before, needed_after = set(old.get("required", ())), set(new.get("required", ()))
        yield from (f"{where}.{name}: is gone" for name in before if name not in after)
        if self.asked:
            yield from (f"{where}.{name}: is needed now" for name in sorted(needed_after - needed_before))
            if old.get("additionalProperties", True) and not new.get("additionalProperties", True):
                yield f"{where}: does not take further fields any more"
        else:
            missing = sorted((needed_before - needed_after) & after.keys())
            yield from (f"{where}.{name}: may be missing now" for name in missing)
        for name, field in before.items():
            if name in after:
                yield from self.walk(field, after[name], f"{where}.{name}")


def _named(schema: Schema) -> str:
    return str(schema.get("$ref", "")).rpartition("/")[2]


def _resolved(schema: Schema, whole: Schema) -> Schema:
    while "$ref" in schema:
        schema = whole["$defs"].get(_named(schema), {})
    return schema


def _ways(schema: Schema, whole: Schema) -> dict[str, Schema]:
    """Name each way of an ``anyOf``: by its definition, as a bare value, as fields, or by the field that it needs."""
    ways = schema.get("anyOf", [schema])
    several = sum(_resolved(way, whole).get("type") == "object" for way in ways) > 1
    return {_named(way) or _label(way, several=several): way for way in ways}


def _label(way: Schema, *, several: bool) -> str:
    if way.get("type") != "object":
        return "the short way"
    return str(way["required"][0]) if several else "the way with fields"


def _types(schema: Schema) -> frozenset[str]:
    given = schema.get("type")
    if given is None:
        return frozenset({"string"}) if {"enum", "const"} & schema.keys() else ANY_TYPE
    types = frozenset({given} if isinstance(given, str) else given)
    return types | {"integer"} if "number" in types else types


def _listed(words: frozenset[str]) -> str:
    return ", ".join(sorted(words))
