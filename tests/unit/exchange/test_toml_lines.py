"""The line of every key and table."""

from __future__ import annotations

import tomllib

import pytest

from borewright.exchange.toml_lines import Path, key_lines, nearest_line

EVERYTHING = '''# a comment with [brackets] and "quotes"
borewright = 1
units = "mm"   # then a comment = 3
"quoted key" = 'literal \\'

dotted.inner.key = 6.10
dotted.other = """
several lines = not a key
[not.a.table]
\\""" still inside
"""

literal = \'\'\'
key = "no"
\'\'\'
ends_in_quotes = """a"" b"""""
when = 1979-05-27 07:32:00
list = [1, 2.5, "three, ] #", # a comment ]
    [4, 5],
    { deep = 1, more.deep = "}" },
]
empty_list = []
empty = {}

[gauge]
step = 0.001
inline = { on = "radius", "odd.name" = [ { a = 1 } ] }

[[bore]]
name = "one"
[bore.gauge]
step = 0.002
[[bore.cuts]]
depth = 1
[[bore.cuts]]
depth = 2

[[bore]]
name = "two"
tool.set = "46.1"
[bore.hole]
size = 45.9
[  "shop" . 'inner' ]
x = true
'''


def paths_of(value: object, path: Path = ()) -> set[Path]:
    """List every path in what the reader gave."""
    found = {path}
    if isinstance(value, dict):
        for key, inner in value.items():
            found |= paths_of(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            found |= paths_of(inner, (*path, index))
    return found


def test_every_path_of_the_reader_is_found_and_no_other() -> None:
    assert set(key_lines(EVERYTHING)) == paths_of(tomllib.loads(EVERYTHING))


@pytest.mark.parametrize("text", [EVERYTHING, EVERYTHING.replace("\n", "\r\n"), EVERYTHING.rstrip()])
def test_lines_are_those_an_editor_shows(text: str) -> None:
    lines = key_lines(text)
    rows = text.splitlines()
    for path, line in lines.items():
        names = [step for step in path if isinstance(step, str)]
        if names and not isinstance(path[-1], int):
            assert names[-1] in rows[line - 1], path
    assert lines["borewright",] == 2
    assert rows[lines["bore", 1] - 1] == "[[bore]]"
    assert lines["bore", 1] > lines["bore", 0, "cuts", 1, "depth"]
    assert "0.002" in rows[lines["bore", 0, "gauge", "step"] - 1]
    assert "[4, 5]" in rows[lines["list", 3, 1] - 1]
    assert rows[lines["list", 4, "more", "deep"] - 1].strip().startswith("{ deep")


def test_a_missing_field_is_told_at_the_table_around_it() -> None:
    lines = key_lines(EVERYTHING)
    assert nearest_line(lines, ("bore", 0, "gauge", "scatter")) == lines["bore", 0, "gauge"]
    assert nearest_line(lines, ("bore", 1, "adjuster", "line")) == lines["bore", 1]
    assert nearest_line(lines, ("units",)) == 3
    assert nearest_line(lines, ("nothing",)) == 1


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment", "a=1", "\ta = 1 \n\n#"])
def test_small_texts(text: str) -> None:
    assert set(key_lines(text)) == paths_of(tomllib.loads(text))
