"""Writes the parts of the reference that follow from the code, so that they cannot say something else than it does."""

from __future__ import annotations

import io
import json
import os
import runpy
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any, Final

import typer
from typer.core import TyperArgument, TyperGroup, TyperOption

from borewright import errors
from borewright.callout import parse_callout
from borewright.cli.app import app
from borewright.cli.prompts import WORD_HELP
from borewright.errors import BorewrightError
from borewright.materials.bar import BARS
from borewright.materials.work_tables import WORK
from borewright.record.fields import payload_schema, read_payload
from borewright.record.kinds import BEGINNINGS, EVENT_KINDS, EventKind
from borewright.record.payloads.opened import Start
from borewright.record.schema import entry_schema
from borewright.sizing.priors import Priors, priors_of
from borewright.sizing.schema import advice_schema, plans_schema, problem_schema, recorded_schema

HERE: Final = Path(__file__).parent

# least start
LEAST: Final = {
    "callout": "38.5 ±0.009",
    "unit": "mm",
    "hole": "37.9",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001"},
    "push_off": "0.02",
}
# end of least start

CALLOUTS: Final = (
    ("62 H6", None),
    ("Ø62H6", None),
    ("62 H6/g5", None),
    ("70 +0.012 / -0.005", "mm"),
    ("70 +0.012 -0.005", "mm"),
    ("69,990/70,015", "mm"),
    ("69.990 to 70.015", "mm"),
    ("2.3622 ±.0003", "in"),
    ("2.3622 +/- .0003 in", None),
    ("1.5000-1.5010", "in"),
    ("1.5 in H6", None),
    ("1.5 RC3", None),
)
"""Ways to write a callout, each with the unit of the job."""

CUT: Final = (
    *("46.520 ±0.008", "--unit", "mm", "--hole", "45.9", "--material", "EN-GJL-250", "--feed", "0.1", "--nose", "0.4"),
    *("--bar", "25", "--overhang", "110", "--length", "60", "--finish", "1.6 µm"),
)
"""A cut that is looked at, by the options of its command."""

REFUSED: Final = (
    ("62", "mm"),
    ("62 h6", None),
    ("62 CD6", None),
    ("1.5 H6", None),
    ("70 +0.012", "mm"),
    ("70/71", "mm"),
    ("max 70.015", "mm"),
    ("R31 ±0.01", "mm"),
    ("1.234,5 ±0.01", "mm"),
)
"""Callouts that are refused, each with the unit of the job."""


def write(folder: Path) -> None:
    """Write every part into a folder of its own, for the pages to include.

    Args:
        folder: where; made if it does not exist.
    """
    folder.mkdir(exist_ok=True)
    parts = {
        "advice.md": fields_table(advice_schema(), answer=True),
        "assumptions.md": assumptions(priors_of(read_payload(Start, LEAST, "mm"))),
        "bars.md": bars(),
        "callouts.md": callouts(),
        "commands.md": commands(),
        "cut.txt": command("cut", *CUT),
        "errors.md": error_family(),
        "events.md": events(),
        "materials.md": materials(),
        "example.txt": example(),
        "physics.md": physics(),
        "plans.md": fields_table(plans_schema(), answer=True),
        "problem.md": fields_table(problem_schema(), answer=True),
        "recorded.md": fields_table(recorded_schema(), answer=True),
        "refused.md": refused(),
        "start.md": fields_table(payload_schema(Start)),
        "words.md": words(),
        **session(),
    }
    for name, text in parts.items():
        path = folder / name
        if not path.is_file() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")


def events() -> str:
    """Describe every kind of event, stream by stream.

    Returns:
        Markdown with a heading for each stream and each kind.
    """
    lines: list[str] = []
    stream = ""
    for kind in EVENT_KINDS.values():
        if kind.stream != stream:
            stream = kind.stream
            lines += [f"## Events of a {stream}", ""]
        lines += event(kind)
    return "\n".join(lines)


def event(kind: EventKind) -> list[str]:
    """Describe one kind of event.

    Args:
        kind: the kind.

    Returns:
        Lines of Markdown.
    """
    schema = entry_schema(kind)
    named = ("event", "stream", "at", "by")
    fields = {name: field for name, field in schema["properties"].items() if name not in named}
    table = fields_table({**schema, "properties": fields}) if fields else "It carries nothing more.\n"
    note = f"Payload version {kind.version}."
    if kind.name in BEGINNINGS:
        note += " It is not entered: starting a bore makes it."
    return [f"### {kind.stream}: {kind.name}", "", kind.about, "", note, "", table]


def fields_table(schema: dict[str, Any], *, answer: bool = False) -> str:
    """Describe the fields of a mapping.

    Args:
        schema: its JSON Schema.
        answer: whether it comes out; else it goes in.

    Returns:
        A Markdown table, groups of fields opened up under their own names.
    """
    head = "| field | always there | what it says | is |" if answer else "| field | needed | what it says | takes |"
    return "\n".join([head, "| --- | --- | --- | --- |", *field_rows(schema, ""), ""])


def field_rows(schema: dict[str, Any], outer: str) -> Iterator[str]:
    """List the rows of the table for one object, the objects inside it after their own row.

    Args:
        schema: of the object.
        outer: the name of the object with a dot behind it, or nothing.

    Yields:
        Rows of the table.
    """
    for name, field in schema["properties"].items():
        needed = "given" if field.get("readOnly") else "yes" if name in schema.get("required", ()) else ""
        said = " ".join(field.get("description", "").replace("|", "\\|").split())
        yield f"| `{outer}{name}` | {needed} | {said} | {takes(field)} |"
        for inner in (field, field.get("items", {}), *field.get("anyOf", ())):
            if "properties" in inner:
                listed = "[]" if "items" in field else ""
                yield from field_rows(inner, f"{outer}{name}{listed}.")


def takes(field: dict[str, Any]) -> str:
    """Say what a field takes.

    Args:
        field: its JSON Schema.

    Returns:
        Such as ``text or number``, or the words to choose from.
    """
    if "anyOf" in field:
        return ", or ".join(takes(way) for way in field["anyOf"])
    if "enum" in field:
        return ", ".join(f"`{word}`" for word in field["enum"])
    names = {
        "string": "text",
        "object": "fields",
        "array": "a list",
        "boolean": "true or false",
        "integer": "whole number",
        "null": "nothing",
    }
    kinds = field.get("type", "anything")
    words = " or ".join(names.get(kind, kind) for kind in ([kinds] if isinstance(kinds, str) else kinds))
    return words + between(field)


def between(field: dict[str, Any]) -> str:
    """Say what a number lies between, where that is more than having no sign.

    Args:
        field: its JSON Schema.

    Returns:
        Such as ``, 2 to 1000``, or nothing.
    """
    low, high = field.get("minimum"), field.get("maximum")
    if high is not None:
        return f", {low} to {high}"
    return f", {low} or more" if low else ", more than 0" if "exclusiveMinimum" in field else ""


def error_family() -> str:
    """List the errors, each with what it means and what a program can catch it as.

    Returns:
        A Markdown table.
    """
    rows = ["| error | problem | also a | means |", "| --- | --- | --- | --- |"]
    for error in vars(errors).values():
        if isinstance(error, type) and issubclass(error, errors.BorewrightError):
            also = ", ".join(f"`{base.__name__}`" for base in error.__bases__ if base.__module__ == "builtins")
            means = (error.__doc__ or "").strip().splitlines()[0]
            rows.append(f"| `{error.__name__}` | `{error.name}` | {also} | {means} |")
    return "\n".join([*rows, ""])


def callouts() -> str:
    """Show how each way to write a callout is understood.

    Returns:
        A Markdown table.
    """
    rows = ["| written | the job's unit | limits | middle | rests on |", "| --- | --- | --- | --- | --- |"]
    for written, unit in CALLOUTS:
        read = parse_callout(written, "in" if unit == "in" else "mm" if unit == "mm" else None)
        limits = f"{read.lower.text} to {read.upper.text}"
        rows.append(f"| `{written}` | {unit or 'not asked for'} | {limits} | {read.mid.text} | {read.source} |")
    return "\n".join([*rows, ""])


def refused() -> str:
    """Show what is said to callouts that are refused.

    Returns:
        A Markdown table.

    Raises:
        ValueError: one of them is not refused any more.
    """
    rows = ["| written | the job's unit | what is wrong | what would be right |", "| --- | --- | --- | --- |"]
    for written, unit in REFUSED:
        try:
            parse_callout(written, "mm" if unit == "mm" else None)
        except BorewrightError as error:
            rows.append(f"| `{written}` | {unit or 'not said'} | {error.wrong} | {error.right} |")
        else:
            raise ValueError(f"{written!r} is not refused any more.")
    return "\n".join([*rows, ""])


def assumptions(priors: Priors) -> str:
    """Show what a belief starts from.

    Args:
        priors: the priors of a bore.

    Returns:
        A Markdown table.
    """
    rows = ["| what | value | one standard deviation | where from |", "| --- | --- | --- | --- |"]
    for _, prior in priors.named():
        width = with_unit(prior.width, prior.unit) if prior.width else ""
        rows.append(f"| {prior.about} | {with_unit(prior.value, prior.unit)} | {width} | {prior.origin} |")
    return "\n".join([*rows, ""])


def with_unit(value: float, unit: str) -> str:
    """Write a number of the model with its unit, to four digits.

    Args:
        value: the number.
        unit: as the model names it; ``1`` is none.

    Returns:
        The text.
    """
    return f"{value:.4g}" if unit == "1" else f"{value:.6g} {unit}" if value > 1 else f"{value:.4g} {unit}"


def commands() -> str:
    """Describe every command with its arguments and options.

    Returns:
        Markdown with a heading for each command.
    """
    lines: list[str] = []
    group = typer.main.get_command(app)
    assert isinstance(group, TyperGroup)
    for name, command in group.commands.items():
        lines += [f"## borewright {name}", "", f"{command.help}", ""]
        if command.params:
            lines += ["| | what it is |", "| --- | --- |", *(parameter(each) for each in command.params), ""]
    return "\n".join(lines)


def parameter(given: object) -> str:
    """Describe one argument or option of a command.

    Args:
        given: the parameter as the command line's library holds it.

    Returns:
        A row of a Markdown table.
    """
    assert isinstance(given, TyperArgument | TyperOption)
    if isinstance(given, TyperArgument):
        names = given.metavar or str(given.name).upper()
    else:
        names = ", ".join(given.opts) + (f" {given.metavar}" if given.metavar else "")
    variable = f" Also from `{given.envvar}`." if given.envvar else ""
    return f"| `{names}` | {given.help}{variable} |"


def materials() -> str:
    """List the work materials held, each value with its width and its ground.

    Returns:
        A Markdown table.
    """
    rows = ["| material | group | kc1.1, N/mm² | within | mc | from |", "| --- | --- | --- | --- | --- | --- |"]
    for row in WORK:
        also = f" ({', '.join(row.also)})" if row.also else ""
        force, share = f"{row.kc.value:.0f}", f"{100.0 * row.kc.relative:.0f} %"
        rows.append(f"| {row.said}{also} | {row.group} | {force} | {share} | {row.exponent.value:.3f} | {row.family} |")
    return "\n".join([*rows, ""])


def bars() -> str:
    """List the bar and ring materials held.

    Returns:
        A Markdown table.
    """
    rows = ["| material | modulus, GPa | density, kg/m³ | growth, µm/(m K) | from |", "| --- | --- | --- | --- | --- |"]
    for bar in BARS:
        modulus = f"{bar.modulus.value / 1e3:g} ± {bar.modulus.sd / 1e3:g}"
        density = f"{bar.density.value * 1e9:.0f} ± {bar.density.sd * 1e9:.0f}"
        growth = f"{bar.expansion.value * 1e6:g} ± {bar.expansion.sd * 1e6:g}"
        rows.append(f"| {bar.name} | {modulus} | {density} | {growth} | {bar.modulus.source} |")
    return "\n".join([*rows, ""])


def physics() -> str:
    """Show what the push-off of physics was worth in rehearsal, from the kept result.

    Returns:
        A Markdown table.
    """
    kinds = json.loads((HERE / "results" / "physics.json").read_text(encoding="utf-8"))["kinds"]
    rows = [
        "| kind, bores | guess | a named bar | a push test | level known | twin |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for each in kinds:
        cells = [f"{each['kind']}, {each['bores']}", f"{each['cost']['guess']:.2f}"]
        for arm in ("a named bar", "a push test", "level known"):
            saved = each["saved"][arm]
            cells.append(
                f"{each['cost'][arm]:.2f} (saves {saved['saved']:.2f}, {saved['low']:.2f} to {saved['high']:.2f})"
            )
        rows.append(f"| {' | '.join([*cells, format(each['cost']['twin'], '.2f')])} |")
    table = (
        "\n".join([*rows, ""])
        .replace("-", "\N{MINUS SIGN}")
        .replace("| \N{MINUS SIGN}\N{MINUS SIGN}\N{MINUS SIGN}", "| ---")
    )
    minutes = sum(each["seconds"] for each in kinds) / 60.0
    commits = ", ".join(dict.fromkeys(f"`{each['commit'][:10]}`" for each in kinds))
    return f"{table}\nMade at commit {commits} in {minutes:.1f} minutes of one core.\n"


def words() -> str:
    """List what can be typed in a session.

    Returns:
        A Markdown table.
    """
    rows = [f"| `{word}` | {means} |" for word, means in WORD_HELP if word]
    return "\n".join(["| type | for |", "| --- | --- |", *rows, ""])


def example() -> str:
    """Run the example of the docs.

    Returns:
        What it prints.
    """
    printed = io.StringIO()
    with redirect_stdout(printed):
        runpy.run_path(str(HERE / "example.py"))
    return printed.getvalue()


def session() -> dict[str, str]:
    """Run the demo from raw hole to released, and take from it what the tutorial shows.

    Returns:
        By file name: the callout's picture, and the cards with the settings, the first move, the verdict and the end.

    Raises:
        LookupError: the demo shows no such card any more.
    """
    with tempfile.TemporaryDirectory() as folder:
        cards = command("demo", "--auto", "--data", folder).split("─" * 80 + "\n")
    return {
        "callout.txt": command("callout", "46.520 ±0.008", "--unit", "mm"),
        "welcome.txt": cards[0].strip("\n") + "\n",
        "set.txt": first_card(cards, "Set the tool to"),
        "measure.txt": first_card(cards, "Measure again, a quarter round."),
        "move.txt": first_card(cards, "  Open "),
        "release.txt": first_card(cards, "Release the bore."),
        "end.txt": first_card(cards, "Nothing is left to do."),
    }


def first_card(cards: list[str], says: str) -> str:
    """Find the first card that says something.

    Args:
        cards: the cards of a session, in order.
        says: what stands on it.

    Returns:
        The card.

    Raises:
        LookupError: no card says it.
    """
    for card in cards:
        if says in card:
            return card.strip("\n") + "\n"
    raise LookupError(f"No card of the demo says {says!r}.")


def command(*arguments: str) -> str:
    """Run a command of the program as a person would, at a terminal of 80 columns.

    Args:
        arguments: the command and what it is given.

    Returns:
        What it prints.
    """
    program = Path(sys.executable).with_name("borewright")
    environment = {**os.environ, "COLUMNS": "80", "PYTHONIOENCODING": "utf-8"}
    ran = subprocess.run(
        [program, *arguments], env=environment, capture_output=True, check=True, text=True, encoding="utf-8"
    )
    return ran.stdout
