"""Job files: decimals as typed, faults by line and field, identities, edits of a used file."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from borewright.exchange.jobfile import JobFileError, edits_since, read_job
from borewright.record.fields import payload_plain, read_payload
from borewright.record.payloads.opened import Start

GOOD = """\
borewright = 1
units = "mm"
job = "sluice hinge 4"

[gauge]
step = 0.001

[adjuster]
kind = "dial"
line = 0.0020
on = "diameter"

[[bore]]
name = "upper eye"
callout = "33.4 H7"
hole = 32.90
push_off = "18 µm"

[[bore]]
name = "lower eye"
callout = "33.40/33.42"
hole = { size = "32,910", within = 0.05 }
push_off = { guess = 0.02, at = 0.25 }
gauge = { step = "0.00005 in" }
unit = "mm"
"""


def faults_of(text: str) -> list[str]:
    """Return what is said of each fault of a file."""
    with pytest.raises(JobFileError) as caught:
        read_job(text, "job.toml")
    said = [str(fault) for fault in caught.value.faults]
    assert str(caught.value).splitlines()[1:] == [f"  {fault}" for fault in said]
    return said


def only_fault(text: str) -> str:
    """Return what is said of the only fault of a file."""
    (fault,) = faults_of(text)
    return fault


def test_decimals_stay_as_typed_and_shared_tables_are_taken_whole() -> None:
    job = read_job(GOOD)
    upper, lower = job.bores
    assert (job.name, job.units) == ("sluice hinge 4", "mm")
    assert str(upper.mapping["hole"]) == "32.90"
    assert upper.mapping["adjuster"] == {"kind": "dial", "line": Decimal("0.0020"), "on": "diameter"}
    assert upper.mapping["gauge"] == {"step": Decimal("0.001")}
    assert lower.mapping["gauge"] == {"step": "0.00005 in"}
    stored = payload_plain(read_payload(Start, lower.mapping, "mm"))
    assert stored["hole"] == {"size": "32.910 mm", "within": "0.05 mm"}
    assert stored["adjuster"] == {"kind": "dial", "line": "0.0020 mm", "on": "diameter"}


def test_identity_is_made_of_both_names() -> None:
    job = read_job(GOOD)
    assert [bore.identity for bore in job.bores] == ["sluice_hinge_4.upper_eye", "sluice_hinge_4.lower_eye"]
    assert job.bore("  UPPER  eye ").name == "upper eye"
    with pytest.raises(LookupError, match="upper eye, lower eye"):
        job.bore("middle eye")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("borewright = 1", "borewright = 2", "line 1, borewright: 2: That version of job files is not known."),
        ("borewright = 1\n", "", "line 1, borewright: It is missing. Write borewright = 1 at the top."),
        ('units = "mm"', "", "line 1, units: It is missing: every job file says its unit."),
        ('units = "mm"', 'units = "cm"', "line 2, units: 'cm': That is not a unit of a job."),
        ('job = "sluice hinge 4"', "job = 4", "line 3, job: 4: Words are wanted."),
        ('job = "sluice hinge 4"', "", 'line 1, job: It is missing. Write job = "..." at the top.'),
        ("step = 0.001\n", "stepp = 0.001\nstep = 1\n", "line 6, gauge.stepp: There is no such field. Did you mean"),
        ('callout = "33.4 H7"', 'calout = "33.4 H7"', "line 15, bore 1, calout: There is no such field. Did you mean"),
        ('callout = "33.4 H7"', "", "line 13, bore 1, callout: It is missing."),
        ('callout = "33.4 H7"', 'callout = "33.4 CD7"', "line 15, bore 1, callout: '33.4 CD7'"),
        ('callout = "33.4 H7"', "callout = 33.4", "line 15, bore 1, callout: '33.4': Words are wanted."),
        ("hole = 32.90", "hole = true", "line 16, bore 1, hole.size: True: A length is wanted."),
        ("hole = 32.90", "hole = []", "line 16, bore 1, hole: []"),
        ("hole = 32.90", "hole = inf", "line 16, bore 1, hole.size: 'Infinity'"),
        ("hole = 32.90", "hole = -32.90", "line 16, bore 1, hole.size: '-32.90': A size has no sign."),
        ("hole = 32.90", 'hole = "32.90 kg"', "line 16, bore 1, hole.size: '32.90 kg': That is not a unit of length"),
        ("hole = 32.90", 'hole = "32.90 °C"', "line 16, bore 1, hole.size: '32.90 °C': That is not a unit of length"),
        ("hole = 32.90", "hole = 1979-05-27", "line 16, bore 1, hole"),
        ("hole = 32.90\n", "", "line 13, bore 1, hole: It is missing."),
        ('push_off = "18 µm"', 'push_off = ""', "line 17, bore 1, push_off.guess: ''"),
        ("within = 0.05", "withn = 0.05", "line 22, bore 2, hole.withn: There is no such field. Did you"),
        ('name = "lower eye"', 'name = "Upper  Eye"', "line 20, bore 2, name: 'Upper Eye': The bore on line 13"),
        ('name = "lower eye"', "name = 2", "line 20, bore 2, name: 2: Words are wanted."),
        ('name = "lower eye"', 'name = " "', "line 20, bore 2, name: ' ': Nothing stands there."),
        ('name = "lower eye"', "", "line 19, bore 2, name: It is missing."),
        ('unit = "mm"', 'unit = "cm"', "line 25, bore 2, unit: 'cm': That is not one of the choices. Use mm or in."),
        ('kind = "dial"', 'kind = "dail"', "line 9, adjuster.kind: 'dail': That is not one of the choices."),
        ("line = 0.0020\n", "", "line 8, adjuster.line: A dial needs the worth of one line."),
        ("line = 0.0020\n", "line = 0\n", "line 10, adjuster.line: '0 mm': It cannot be nothing."),
        ("[adjuster]", "callout = 1\n[adjuster]", "line 8, gauge.callout: There is no such field."),
        ('job = "sl', 'callout = "1"\njob = "sl', "line 3, callout: It cannot stand for the whole job."),
    ],
)  # fmt: skip
def test_each_fault_is_told_by_line_and_field(old: str, new: str, said: str) -> None:
    assert old in GOOD
    assert only_fault(GOOD.replace(old, new, 1)).startswith(said)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("32.90", "32,90", "line 16, hole: '32,90': A bare number takes a point, not a comma. Write 32.90, or"),
        ("32.90", ".90", "line 16, hole: '.90': A bare number cannot begin with its point. Write 0.90, or"),
        ("32.90", "32.", "line 16, hole: '32.': A bare number cannot end with its point. Write 32."),
        ("32.90", "032.90", "line 16, hole: '032.90': A bare number has one point, and no 0 before its other digits."),
        ("32.90", "32.90 mm", "line 16, hole: '32.90 mm': Words, and numbers with a unit, need quotes."),
        ("32.90", '1.295"', "line 16, hole: '1.295\"': Words, and numbers with a unit, need quotes."),
        ('"33.4 H7"', "33.4 H7 # as drawn", "line 15, callout: '33.4 H7': Words, and numbers with a unit,"),
        ('"33.4 H7"', "“33.4 H7”", "line 15, callout: '“33.4 H7”': Those quotes are a printer's"),
        ('"33.4 H7"', '"33.4 H7', "line 15, callout: 'callout = \"33.4 H7': The quotes are not closed on that line."),
        ("[gauge]", "[gauge", "line 5: '[gauge': The bracket around that name is not closed."),
        ("[[bore]]", "[[bore]", "line 13: '[[bore]': The bracket around that name is not closed."),
        ("hole = 32.90", "hole 32.90", "line 16: 'hole 32.90': That is not a field and its value."),
        ("hole = 32.90", "hole = 32.90\nhole = 32.91", "line 17, hole: 'hole = 32.91': That name stands there twice."),
        ("[adjuster]", "[gauge]", "line 8: '[gauge]': That table stands there twice."),
        ("within = 0.05 }", "within = 0.05", "line 22, hole: "),
        ("[gauge]", "gauge = [1, 2\n", "line 7, step: 'step = 0.001': The bracket [ is not closed."),
    ],
)  # fmt: skip
def test_what_toml_cannot_read_is_told_in_plain_words(old: str, new: str, said: str) -> None:
    assert faults_of(GOOD.replace(old, new, 1))[0].startswith(said)


def test_all_faults_come_together_in_the_order_of_lines() -> None:
    text = GOOD.replace("32.90", "32,90").replace('"18 µm"', "18 µm").replace("within", "withn")
    text = text.replace('units = "mm"', 'units = "cm"')
    assert [fault.partition(":")[0] for fault in faults_of(text)] == [
        "line 2, units",
        "line 16, hole",
        "line 17, push_off",
        "line 22, bore 2, hole.withn",
    ]


def test_a_shared_table_with_a_slip_in_its_name_is_told_where_it_stands() -> None:
    slip, missing = faults_of(GOOD.replace("[gauge]", "[guage]"))
    assert slip == "line 5, guage: There is no such field. Did you mean gauge?"
    assert missing.startswith("line 13, bore 1, gauge: It is missing.")


def test_a_fault_of_a_shared_table_is_told_once() -> None:
    text = GOOD.replace('gauge = { step = "0.00005 in" }\n', "").replace("step = 0.001", 'step = "one"')
    assert only_fault(text).startswith("line 6, gauge.step: 'one'")


@pytest.mark.parametrize("text", ["", "# nothing", 'borewright = 1\nunits = "mm"\njob = "j"'])
def test_a_file_without_bores_says_how_one_begins(text: str) -> None:
    assert "No bore stands in the file. Begin each bore with a line [[bore]] of its own." in faults_of(text)[-1]


def test_one_table_for_a_bore_is_not_a_list_of_bores() -> None:
    assert only_fault('borewright = 1\nunits = "mm"\njob = "j"\n[bore]\nname = "a"') == (
        "line 4, bore: A list of bores is wanted. Begin each bore with a line [[bore]] of its own."
    )


@pytest.mark.parametrize("text", ["\x00", "a" * 100_000, "[" * 5000, "x = " + "[" * 20_000, "\ud800", "=", "'", '"""'])
def test_no_text_breaks_the_reader(text: str) -> None:
    assert faults_of(text)


def test_only_what_means_something_else_is_an_edit() -> None:
    upper, lower = read_job(GOOD).bores
    opened = payload_plain(read_payload(Start, lower.mapping, "mm"))
    assert edits_since(opened, lower) == []
    written_otherwise = read_job(GOOD.replace('"32,910"', '"32.91 mm"').replace("[[bore]]", "# now\n[[bore]]"))
    assert edits_since(opened, written_otherwise.bores[1]) == []
    edited = read_job(
        GOOD.replace('"32,910"', "32.90").replace(", at = 0.25", "").replace("line = 0.0020", "line = 0.01")
    )
    assert [(edit.field, edit.opened, edit.now) for edit in edits_since(opened, edited.bores[1])] == [
        ("adjuster.line", "0.0020 mm", "0.01 mm"),
        ("hole.size", "32.910 mm", "32.90 mm"),
        ("push_off.at", "0.25 mm", None),
    ]
    assert [edit.field for edit in edits_since(payload_plain(read_payload(Start, upper.mapping, "mm")), lower)] != []


def test_the_problem_of_a_job_file_lists_its_faults() -> None:
    with pytest.raises(JobFileError) as caught:
        read_job(GOOD.replace("32.90", "-32.90"), "job.toml")
    problem = caught.value.as_problem()
    assert problem["where"] == "job.toml"
    assert problem["faults"] == [
        {
            "problem": "entry",
            "where": "line 16, bore 1, hole.size",
            "given": "-32.90",
            "wrong": "A size has no sign.",
            "right": "Enter it without plus or minus.",
        }
    ]


def test_the_job_files_of_the_demo_are_read_by_the_same_reader() -> None:
    import borewright.exchange

    for path in Path(borewright.exchange.__file__).parent.joinpath("jobs").glob("*.toml"):
        assert read_job(path.read_text("utf-8"), path.name).bores
