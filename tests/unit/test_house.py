"""The rules of the house, held against every file; and each rule shown to bite."""

from __future__ import annotations

import importlib
import re
import subprocess
from pathlib import Path

import pytest

import borewright
from tests.published import case, page
from tests.unit import house

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "borewright"
LOCKS = sorted((ROOT / "requirements").glob("*.txt"))
MODULES = sorted(path for folder in (SOURCE, ROOT / "tests") for path in folder.rglob("*.py"))
CORE = [
    path for path in MODULES if path.is_relative_to(SOURCE) and path.relative_to(SOURCE).parts[0] not in house.EDGES
]


def tracked() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
        text=True,
    )
    return [ROOT / name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]


def told(path: Path, findings: list[str]) -> list[str]:
    return [f"{path.relative_to(ROOT)}:{finding}" for finding in findings]


def bibliography() -> set[str]:
    return set(house.bibliography_keys((ROOT / "docs" / "references.bib").read_text(encoding="utf-8")))


def test_core_docstrings_tell_what_signatures_have() -> None:
    findings = [
        line for path in CORE for line in told(path, house.docstring_findings(path.read_text(encoding="utf-8")))
    ]
    assert not findings, "\n".join(findings)


def test_core_is_pure() -> None:
    findings = [line for path in CORE for line in told(path, house.purity_findings(path.read_text(encoding="utf-8")))]
    assert not findings, "\n".join(findings)


def test_sources_stand_in_the_bibliography() -> None:
    known = bibliography()
    modules = [path for path in MODULES if path.is_relative_to(SOURCE)]
    findings = [
        line for path in modules for line in told(path, house.source_findings(path.read_text(encoding="utf-8"), known))
    ]
    findings += [f"{each.title}: [{each.key}]" for each in page.sources() if each.key not in known]
    assert not findings, "\n".join(findings)


def test_bibliography_has_no_key_twice_and_none_that_nobody_cites() -> None:
    text = (ROOT / "docs" / "references.bib").read_text(encoding="utf-8")
    keys = house.bibliography_keys(text)
    assert len(keys) == len(set(keys))
    citing = [path for path in tracked() if path.suffix in {".py", ".md"} and path.name != "CHANGELOG.md"]
    said = "\n".join(path.read_text(encoding="utf-8") for path in citing)
    assert not [key for key in keys if not re.search(rf"(?<![\w.-]){re.escape(key)}(?![\w-])", said)]


def test_modules_are_short_and_named_after_their_subject() -> None:
    long = [
        path.relative_to(ROOT)
        for path in MODULES
        if len(path.read_text(encoding="utf-8").splitlines()) > house.MOST_LINES
    ]
    vague = [path.relative_to(ROOT) for path in MODULES if {path.stem, path.parent.name} & house.VAGUE_NAMES]
    assert not long
    assert not vague


def test_every_folder_says_what_it_is() -> None:
    folders = sorted({path.parent for path in MODULES})
    silent = []
    for folder in folders:
        init = folder / "__init__.py"
        if not init.is_file() or not init.read_text(encoding="utf-8").startswith('"""'):
            silent.append(folder.relative_to(ROOT))
    assert not silent


def test_no_outside_address_and_no_path_of_a_machine() -> None:
    findings = []
    for path in tracked():
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        if path != Path(__file__):
            findings += told(path, house.address_findings(text))
    assert not findings, "\n".join(findings)


@pytest.mark.parametrize("lock", LOCKS, ids=lambda path: path.name)
def test_locks_hold_pins_and_hashes_alone(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    assert not house.lock_findings(text)
    wanted = [
        line
        for line in lock.with_suffix(".in").read_text(encoding="utf-8").splitlines()
        if line and line[0] not in "#-"
    ]
    assert wanted
    assert not [name for name in wanted if not re.search(rf"^{re.escape(name)}==", text, re.MULTILINE)]


def test_locks_agree_with_each_other() -> None:
    pins: dict[str, set[str]] = {}
    for lock in LOCKS:
        for line in lock.read_text(encoding="utf-8").splitlines():
            if "==" in line:
                name, _, rest = line.partition("==")
                pins.setdefault(f"{lock.name} {name}", set()).add(rest.split()[0])
    by_library: dict[str, list[set[str]]] = {}
    for key, versions in pins.items():
        by_library.setdefault(key.split()[1], []).append(versions)
    assert not [name for name, sets in by_library.items() if any(each != sets[0] for each in sets)]


def test_change_log_tells_of_this_version() -> None:
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert re.search(rf"^## {re.escape(borewright.__version__)}\b", text, re.MULTILINE)


def test_every_published_check_has_a_source_and_is_parametrised_by_it() -> None:
    names = [path.stem for path in sorted((ROOT / "tests" / "published").glob("test_*.py"))]
    assert len(page.sources()) == len(names)
    for name in names:
        module = importlib.import_module(f"tests.published.{name}")
        marks = [mark for value in vars(module).values() for mark in getattr(value, "pytestmark", [])]
        assert any(mark.args[1:] == (module.SOURCE.cases,) for mark in marks if mark.name == "parametrize"), name


BAD_FUNCTION = '''"""A module."""
def size(a, b):
    """Add.

    Args:
        a: one.
        c: another.
    """
def told(a: int) -> int:
    """Return it.

    Args:
        a: one.
    """
    raise EntryError("no")
def untold(): pass
'''


def test_docstring_rule_bites() -> None:
    assert house.docstring_findings(BAD_FUNCTION) == [
        "2: size does not describe b",
        "2: size describes c, which it does not have",
        "9: told does not say what it returns",
        "9: told raises EntryError and does not say so",
        "16: untold has no docstring",
    ]


def test_docstring_rule_reads_classes() -> None:
    text = '"""M."""\n@dataclass\nclass A:\n    """A.\n\n    Args:\n        x, y: both.\n    """\n    x: int\n'
    assert house.docstring_findings(text + "    y: int\n") == []
    assert house.docstring_findings(text + "    z: int\n") == ["3: A does not describe z"]
    assert house.docstring_findings(text + "    z: int = whole('how many.')\n") == []
    assert house.docstring_findings(text + "    z: int  # how many\n") == []
    assert house.docstring_findings(text + "    z: int\n    'How many.'\n") == []
    assert house.docstring_findings(text + "    z: int = whole('many')\n") == ["3: A does not describe z"]
    assert house.docstring_findings('"""M."""\nclass _A: pass\n') == []
    assert house.docstring_findings("class A: pass\n") == ["1: the module has no docstring", "1: A has no docstring"]


def test_purity_rule_bites() -> None:
    text = "def f():\n    global x\n    open('a')\n    default_rng()\n    default_rng(3)\n"
    assert [line[0] for line in house.purity_findings(text)] == ["2", "3", "4"]


def test_source_rule_bites() -> None:
    known = {"grubbs1954"}
    assert house.source_findings("Source: [grubbs1954], eq. 3\nSource: common practice, no source", known) == []
    assert house.source_findings("Source: [nobody1900]", known) == ["1: [nobody1900] is not in docs/references.bib"]
    assert house.source_findings("Source: a book", known)


@pytest.mark.parametrize(
    "line",
    [
        "see https" + "://example.org/a",
        "ssh" + "://host/x",
        "open('" + "/root" + "/x.py')",
        "/home" + "/somebody",
        "(" + "/var" + "/lib)",
    ],
)
def test_address_rule_bites(line: str) -> None:
    assert len(house.address_findings(line)) == 1


@pytest.mark.parametrize("line", ["http://127.0.0.1:8000/", "src/work/x", "and/or", *house.IDENTIFIERS])
def test_address_rule_lets_pass(line: str) -> None:
    assert house.address_findings(line) == []


@pytest.mark.parametrize(
    "line",
    ["--index-url x", "--find-links y", "numpy", "numpy @ file:x", "    --hash=sha256:00", "numpy==2.4.6 # via x"],
)
def test_lock_rule_bites(line: str) -> None:
    assert house.lock_findings(line)


def test_a_case_agrees_at_its_tolerance_and_not_beyond() -> None:
    at = case.Case("x", lambda: 0.3, 0.2, tolerance=0.1)
    case.check(at)
    beyond = case.Case("x", lambda: 0.30000000000000004, 0.2, tolerance=0.1)
    with pytest.raises(AssertionError, match=r"theirs 0\.2 within 0\.1"):
        case.check(beyond)
    case.check(case.Case("x", lambda: 0.31, 0.2, tolerance=0.1, disagreement="ours is larger"))
    with pytest.raises(AssertionError, match="the disagreement is gone"):
        case.check(case.Case("x", lambda: 0.3, 0.2, tolerance=0.1, disagreement="ours is larger"))
    assert not case.agrees(float("nan"), at)


@pytest.mark.parametrize("tolerance", [-1.0, float("nan"), float("inf")])
def test_a_tolerance_is_a_number(tolerance: float) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        case.Case("x", lambda: 0.0, 0.0, tolerance=tolerance)


def test_the_validation_page_shows_what_differs() -> None:
    cases = (
        case.Case("same", lambda: 7.0, 7, unit="µm"),
        case.Case("not | same", lambda: 8.25, 7, unit="µm", tolerance=0.5),
        case.Case("known", lambda: 8.0, 7, disagreement="the print is wrong"),
        case.Case("mended", lambda: 7.0, 7, disagreement="the print is wrong"),
    )
    text = page.page([case.Source("k", "A title", cases)]).replace(page.NO_BREAK, " ")
    assert "4 values from 1 source; 2 known disagreements." in text
    assert "| same |  | 7 µm | 7 µm | exact | read | agrees |" in text
    assert "| not \\| same |  | 7 µm | 8.25 µm | 0.5 | read | **differs** |" in text
    assert "| known |  | 7 | 8 | exact | read | differs, known |" in text
    assert "| mended |  | 7 | 7 | exact | read | **agrees now: mend the case** |" in text
