"""The rules of the house as functions: each takes source text and returns what is wrong with it, one line a finding."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from typing import Final, TypeAlias

Function: TypeAlias = ast.FunctionDef | ast.AsyncFunctionDef

EDGES: Final = frozenset({"shop", "exchange", "drawing", "paper", "nc", "web", "cli"})
"""The rooms that may touch the world; every other one is core."""

MOST_LINES: Final = 500
VAGUE_NAMES: Final = frozenset({"utils", "util", "helpers", "helper", "manager", "managers", "common", "misc"})
IMPURE_CALLS: Final = frozenset({"open", "input", "print", "exec", "eval", "breakpoint", "globals"})
IDENTIFIERS: Final = ("https://json-schema.org/draft/2020-12/schema", "http://www.w3.org/2000/svg")
"""Names of formats that look like addresses; nothing fetches them."""

_SECTION = re.compile(r"^(?P<name>Args|Returns|Yields|Raises|Attributes|Source|Example|Examples|Note):")
_ENTRY = re.compile(r"^ {4}(?P<names>\*{0,2}\w+(?:, \*{0,2}\w+)*)(?: \([^)]*\))?:")
_ADDRESS = re.compile(r"\b(?:https?|ftp|file|ssh|git)://(?!(?:127\.0\.0\.1|localhost|\[::1\])(?:[:/]|$))[^\s`'\"<>)]*")
_MACHINE_PATH = re.compile(r"(?<![\w.])/(?:work|root|home|Users|tmp|opt|mnt|var|usr/local)/[\w.-]+")
_LOCK_LINE = re.compile(
    r"[a-z0-9][a-z0-9-]*==[\w.+!]+(?: ; [\w.<>=!'\" ()*]+)? \\"  # a pin, with the machines it is for
    r"|    --hash=sha256:[0-9a-f]{64}(?: \\)?"
)
_BIB_ENTRY = re.compile(r"^@\w+\{(?P<key>[^,\s]+),", re.MULTILINE)
_SOURCE_LINE = re.compile(r"\bSource: (?P<says>.*)")
_KEY = re.compile(r"\[(?P<key>[a-z0-9][a-z0-9.-]*)\]")
_NO_SOURCE = ("common practice, no source", "from memory")


def sections(docstring: str) -> dict[str, list[str]]:
    """Split a docstring into its sections.

    Args:
        docstring: as ``ast.get_docstring`` cleans it.

    Returns:
        The lines under each heading, by heading; what stands before the first is under an empty heading.
    """
    found: dict[str, list[str]] = {"": []}
    name = ""
    for line in docstring.splitlines():
        heading = _SECTION.match(line)
        if heading:
            name = heading["name"]
            found[name] = [line[heading.end() :]]
        else:
            found[name].append(line)
    return found


def entries(lines: list[str]) -> list[str]:
    """List the names a section describes.

    Args:
        lines: the lines under ``Args:`` or ``Raises:``.

    Returns:
        The names, stars taken off, in order.
    """
    matches = [_ENTRY.match(line) for line in lines]
    return [name.lstrip("*") for match in matches if match for name in match["names"].split(", ")]


def docstring_findings(source: str) -> list[str]:
    """Hold the docstrings of a module's public functions and classes against their signatures.

    Args:
        source: the module's text.

    Returns:
        Findings, each beginning with the line and the name.
    """
    tree = ast.parse(source)
    findings = [] if ast.get_docstring(tree) else ["1: the module has no docstring"]
    for owner, function in public_functions(tree):
        findings += function_findings(function, f"{function.lineno}: {owner}{function.name}")
    for node in tree.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            findings += class_findings(node, f"{node.lineno}: {node.name}", source.splitlines())
    return findings


def public_functions(tree: ast.Module) -> Iterator[tuple[str, Function]]:
    """List the functions a reader may call: of the module, and of its public classes.

    Args:
        tree: the module.

    Yields:
        The class's name with a dot, or nothing, and the function.
    """
    for node in tree.body:
        if isinstance(node, Function) and not node.name.startswith("_"):
            yield "", node
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for inner in node.body:
                if isinstance(inner, Function) and not inner.name.startswith("_"):
                    yield f"{node.name}.", inner


def function_findings(function: Function, place: str) -> list[str]:
    """Hold one function's docstring against its signature, what it returns and what it raises.

    Args:
        function: the function.
        place: how a finding begins.

    Returns:
        The findings.
    """
    marks = {name_of(decorator) for decorator in function.decorator_list}
    if "overload" in marks or "setter" in marks:
        return []
    docstring = ast.get_docstring(function)
    if docstring is None:
        return [f"{place} has no docstring"]
    if marks & {"property", "cached_property"}:
        return []
    told = sections(docstring)
    findings = name_findings(parameters(function), entries(told.get("Args", [])), place)
    if function.returns is not None and ast.unparse(function.returns) not in {"None", "NoReturn", "Never"}:
        if not told.keys() & {"Returns", "Yields"}:
            findings.append(f"{place} does not say what it returns")
    elif "Returns" in told:
        findings.append(f"{place} says it returns something and does not")
    untold = raised(function) - set(entries(told.get("Raises", [])))
    return findings + [f"{place} raises {name} and does not say so" for name in sorted(untold)]


def class_findings(node: ast.ClassDef, place: str, lines: list[str]) -> list[str]:
    """Hold one class's docstring against its fields, or against its ``__init__``.

    Args:
        node: the class.
        place: how a finding begins.
        lines: of the whole module.

    Returns:
        The findings.
    """
    docstring = ast.get_docstring(node)
    if docstring is None:
        return [f"{place} has no docstring"]
    told = entries(sections(docstring).get("Args", []))
    makers = [item for item in node.body if isinstance(item, Function) and item.name == "__init__"]
    if makers:
        return name_findings(parameters(makers[0]), told, place)
    if any(name_of(decorator) == "dataclass" for decorator in node.decorator_list):
        following = dict(zip(node.body, node.body[1:], strict=False))
        fields = [
            item.target.id
            for item in node.body
            if isinstance(item, ast.AnnAssign)
            and isinstance(item.target, ast.Name)
            and not item.target.id.startswith("_")
            and "ClassVar" not in ast.unparse(item.annotation)
            and not says_itself(item, following.get(item), lines)
        ]
        return [f"{place} does not describe {name}" for name in fields if name not in told]
    return []


def says_itself(field: ast.AnnAssign, following: ast.stmt | None, lines: list[str]) -> bool:
    """Tell whether a field carries its description with it instead of having it in the class docstring.

    Args:
        field: the field's line in the class.
        following: the statement after it.
        lines: of the whole module.

    Returns:
        True for ``as_read: Length = length("what the gauge showed.")``, for a field with a remark behind it, and for
        one with a text under it.
    """
    first = field.value.args[0] if isinstance(field.value, ast.Call) and field.value.args else None
    says = isinstance(first, ast.Constant) and isinstance(first.value, str) and first.value.endswith(".")
    remark = "  # " in lines[field.end_lineno - 1] if field.end_lineno else False
    under = isinstance(following, ast.Expr) and isinstance(following.value, ast.Constant)
    return says or remark or under


def name_findings(has: list[str], told: list[str], place: str) -> list[str]:
    """Compare the parameters a function has with those its docstring tells of.

    Args:
        has: names in the signature.
        told: names under ``Args:``.
        place: how a finding begins.

    Returns:
        A finding for each name that stands in only one of them.
    """
    missing = [f"{place} does not describe {name}" for name in has if name not in told]
    return missing + [f"{place} describes {name}, which it does not have" for name in told if name not in has]


def parameters(function: Function) -> list[str]:
    """List a function's parameters.

    Args:
        function: the function.

    Returns:
        Their names, without ``self`` and ``cls`` and those that begin with an underscore.
    """
    a = function.args
    every = [*a.posonlyargs, *a.args, *([a.vararg] if a.vararg else []), *a.kwonlyargs, *([a.kwarg] if a.kwarg else [])]
    return [each.arg for each in every if each.arg not in {"self", "cls"} and not each.arg.startswith("_")]


def raised(function: Function) -> set[str]:
    """List the errors a function raises by name in its own body.

    Args:
        function: the function.

    Returns:
        The names of the classes, less ``NotImplementedError`` and ``AssertionError``.
    """
    names = set()
    for node in ast.walk(function):
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
            name = name_of(node.exc.func)
            if name[:1].isupper() and isinstance(node.exc.func, ast.Name):
                names.add(name)
    return names - {"NotImplementedError", "AssertionError"}


def name_of(node: ast.expr) -> str:
    """Return the last name of an expression such as a decorator.

    Args:
        node: the expression.

    Returns:
        ``dataclass`` for ``@dataclasses.dataclass(frozen=True)``; nothing for what has no name.
    """
    if isinstance(node, ast.Call):
        return name_of(node.func)
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def purity_findings(source: str) -> list[str]:
    """Look in a module of the core for what touches the world or hides state.

    Args:
        source: the module's text.

    Returns:
        Findings, each beginning with the line.
    """
    findings = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Global):
            findings.append(f"{node.lineno}: global state: {', '.join(node.names)}")
        elif isinstance(node, ast.Call):
            name = name_of(node.func)
            if isinstance(node.func, ast.Name) and name in IMPURE_CALLS:
                findings.append(f"{node.lineno}: {name}() has no place in the core")
            elif name == "default_rng" and not node.args and not node.keywords:
                findings.append(f"{node.lineno}: a random generator without a seed")
    return findings


def source_findings(text: str, known: set[str]) -> list[str]:
    """Hold every line that names a source against the bibliography.

    Args:
        text: the text of a module.
        known: the keys of the bibliography.

    Returns:
        Findings, each beginning with the line.
    """
    findings = []
    for number, line in enumerate(text.splitlines(), 1):
        told = _SOURCE_LINE.search(line)
        if told is None:
            continue
        keys = [match["key"] for match in _KEY.finditer(told["says"])]
        if not keys and not any(words in told["says"] for words in _NO_SOURCE):
            findings.append(f"{number}: names neither a key in brackets nor {' nor '.join(_NO_SOURCE)}")
        findings += [f"{number}: [{key}] is not in docs/references.bib" for key in keys if key not in known]
    return findings


def bibliography_keys(text: str) -> list[str]:
    """List the keys of a bibliography.

    Args:
        text: BibTeX.

    Returns:
        The keys in order, repeated ones too.
    """
    return [match["key"] for match in _BIB_ENTRY.finditer(text)]


def address_findings(text: str) -> list[str]:
    """Look for outside addresses and for paths of somebody's machine.

    Args:
        text: the text of a tracked file.

    Returns:
        Findings, each beginning with the line.
    """
    findings = []
    for number, line in enumerate(text.splitlines(), 1):
        shown = line
        for identifier in IDENTIFIERS:
            shown = shown.replace(identifier, "")
        found = [*_ADDRESS.findall(shown), *_MACHINE_PATH.findall(shown)]
        findings += [f"{number}: {each}" for each in found]
    return findings


def lock_findings(text: str) -> list[str]:
    """Look in a lock file for anything but pins and hashes.

    Args:
        text: the lock file's text.

    Returns:
        Findings, each beginning with the line.
    """
    return [f"{n}: {line}" for n, line in enumerate(text.splitlines(), 1) if not _LOCK_LINE.fullmatch(line)]
