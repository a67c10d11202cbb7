"""The simulated machine stands alone: what it imports, and that importing it brings in nothing it is there to test."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import borewright.rehearsal

FOLDER = Path(borewright.rehearsal.__file__).parent
ALLOWED = ("borewright.rehearsal", "borewright.errors", "borewright.quantity", "numpy")
STANDARD = {"__future__", "collections", "dataclasses", "math", "typing"}
LOADED = "import sys, borewright.rehearsal.truth; print(*sorted(name for name in sys.modules if 'borewright' in name))"


def imports_of(text: str) -> set[str]:
    """Return the modules a text imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ImportFrom):
            names.add(node.module or ".")
        elif isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
    return names


def strangers(text: str) -> set[str]:
    """Return what a text imports that the machine must not."""
    return {
        name
        for name in imports_of(text)
        if name.split(".")[0] not in STANDARD and not any(f"{name}.".startswith(f"{room}.") for room in ALLOWED)
    }


def machine() -> list[Path]:
    """Return the modules that ``truth`` is made of: itself, and what it imports of its own room, to the end."""
    found: list[Path] = []
    waiting = ["borewright.rehearsal.truth"]
    while waiting:
        path = FOLDER / f"{waiting.pop().removeprefix('borewright.rehearsal.')}.py"
        if path not in found:
            found.append(path)
            waiting += [name for name in imports_of(path.read_text(encoding="utf-8")) if "rehearsal." in name]
    return sorted(found)


def test_the_machine_is_found_whole() -> None:
    assert {"truth", "kinds", "hidden", "pushoff", "slide", "gauge"} <= {path.stem for path in machine()}


@pytest.mark.parametrize("path", machine(), ids=lambda path: path.stem)
def test_nothing_of_sizing_record_or_shop_is_imported(path: Path) -> None:
    assert not strangers(path.read_text(encoding="utf-8"))


def test_a_stranger_would_be_seen() -> None:
    bad = "def f():\n    from borewright.sizing import model\n    import borewright.record.stream\nimport borewrights\n"
    assert strangers(bad) == {"borewright.sizing", "borewright.record.stream", "borewrights"}


def test_loading_the_machine_loads_no_other_room() -> None:
    done = subprocess.run([sys.executable, "-c", LOADED], capture_output=True, check=True, text=True)
    loaded = done.stdout.split()
    assert "borewright.rehearsal.truth" in loaded
    rooms = {name.split(".")[1] for name in loaded if "." in name}
    assert rooms <= {"rehearsal", "errors", "quantity"}
