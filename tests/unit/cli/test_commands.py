"""The real command, run as a person or a script runs it."""

from __future__ import annotations

import json
import os
import re
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from borewright import __version__
from borewright.exchange.demo import DEMO_BORES

COMMAND = [sys.executable, "-c", "from borewright.cli.app import main; main()"]
JOB = """\
borewright = 1
units = "mm"
job = "sluice hinge 4"
[[bore]]
name = "upper eye"
callout = "33.4 H7"
hole = 33.28
adjuster = { kind = "dial", line = 0.002, on = "diameter" }
gauge = { step = 0.001 }
push_off = 0.02
"""


def run(
    folder: Path, *words: str, typed: str | bytes = "", env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Run the command with its records in a folder."""
    given = typed.encode() if isinstance(typed, str) else typed
    environment = {**os.environ, "BOREWRIGHT_DATA": str(folder / "data"), "PYTHONUTF8": "1", **(env or {})}
    done = subprocess.run(
        [*COMMAND, *words], input=given, capture_output=True, cwd=folder, env=environment, timeout=60, check=False
    )
    return subprocess.CompletedProcess(
        done.args, done.returncode, done.stdout.decode(errors="replace"), done.stderr.decode(errors="replace")
    )


def job_file(folder: Path, text: str = JOB) -> str:
    (folder / "job.toml").write_text(text, "utf-8")
    return "job.toml"


def lines(folder: Path, *asked: object) -> list[dict[str, object]]:
    """Answers of ``size --json``; what is not text is written as JSON."""
    typed = "".join(f"{line if isinstance(line, str) else json.dumps(line)}\n" for line in asked)
    done = run(folder, "size", "--json", typed=typed)
    assert (done.returncode, done.stderr) == (0, "")
    return [json.loads(line) for line in done.stdout.splitlines()]


def forge(folder: Path) -> None:
    """Change a reading in the file of the record, past everything that refuses it."""
    (file,) = folder.glob("*.sqlite")
    with sqlite3.connect(file) as forger:
        for (trigger,) in forger.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            forger.execute(f"DROP TRIGGER {trigger}")
        forger.execute("UPDATE events SET body = CAST(replace(body, '33.281', '33.280') AS BLOB)")
    forger.close()


START = {
    "callout": "33.4 H7", "unit": "mm", "hole": "33.28", "push_off": "0.02",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"}, "gauge": {"step": "0.001"},
}  # fmt: skip


def test_the_version_is_the_package_s(tmp_path: Path) -> None:
    done = run(tmp_path, "--version")
    assert (done.returncode, done.stdout) == (0, f"borewright {__version__}\n")


def test_help_loads_nothing_heavy(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom typer.testing import CliRunner\nfrom borewright.cli.app import app\n"
        "CliRunner().invoke(app, ['--help'])\n"
        "print([name for name in ('numpy', 'sqlalchemy', 'alembic', 'rich') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=tmp_path, check=True)
    assert done.stdout.strip().endswith("[]")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["size"], "Name the job file"),
        (["size", "none.toml"], "none.toml: There is no such file."),
        (["size", "."], ".: That is a folder."),
        (["size", "job.toml", "--bore", "lower eye"], "No bore of this job has that name. It has upper eye."),
        (["size", "job.toml", "--json"], "leave the job file out"),
        (["size", "--nonsense"], "No such option"),
        (["demo", "--bore", "nave"], "No bore of the demo has that name. It has pinion seat,"),
        (["record", "upper"], "No record is kept in this folder."),
        (["check"], "No record is kept in this folder."),
        (["backup", "copy"], "No record is kept in this folder."),
        (["callout", "62 QQ"], "62 QQ"),
    ],
)
def test_what_cannot_be_done_is_said_on_stderr_with_code_2(tmp_path: Path, words: list[str], said: str) -> None:
    job_file(tmp_path)
    done = run(tmp_path, *words)
    assert done.returncode == 2
    assert said in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr


def test_every_fault_of_a_job_file_is_listed(tmp_path: Path) -> None:
    done = run(tmp_path, "size", job_file(tmp_path, JOB.replace("33.28", "33,28").replace("dial", "dail")))
    assert done.returncode == 2
    assert done.stderr.splitlines()[0] == "job.toml: The job file has 2 faults."
    assert done.stderr.splitlines()[1].startswith("  line 7, hole: '33,28'")
    assert done.stderr.splitlines()[2].startswith("  line 8, bore 1, adjuster.kind: 'dail'")


@pytest.mark.parametrize(
    ("stored", "said"), [(b"a = \xff\xfe", "line 1: A byte there is not UTF-8."), (b"x" * 2_000_000, "too large")]
)
def test_a_file_that_is_no_text_is_told(tmp_path: Path, stored: bytes, said: str) -> None:
    (tmp_path / "job.toml").write_bytes(stored)
    done = run(tmp_path, "size", "job.toml")
    assert (done.returncode, said in done.stderr) == (2, True)


def test_a_hole_that_is_too_large_is_told_by_its_line(tmp_path: Path) -> None:
    done = run(tmp_path, "size", job_file(tmp_path, JOB.replace("33.28", "33.48")))
    assert done.returncode == 2
    assert "line 7, bore 1, hole.size: '33.48 mm': The hole is larger than the upper limit already." in done.stderr


def test_a_session_can_be_left_and_gone_on_with(tmp_path: Path) -> None:
    name = job_file(tmp_path)
    first = run(tmp_path, "size", name, "--by", "Ada Quill", typed="check 33.281\n33.356\nq\n")
    assert first.returncode == 0
    assert "go on with: borewright size job.toml" in first.stdout
    second = run(tmp_path, "size", name, typed="l\n")
    assert second.returncode == 0
    assert "hole read 33.281 mm, Ada Quill" in second.stdout
    assert "Is the tool in the spindle?" in second.stdout
    listed = json.loads(run(tmp_path, "bores", "--json").stdout)
    assert [(bore["bore"], bore["state"]) for bore in listed] == [("sluice_hinge_4.upper_eye", "set")]
    assert "sluice_hinge_4.upper_eye  set  (33.4 H7)" in run(tmp_path, "bores").stdout


def test_later_edits_of_a_used_file_are_told_and_not_applied(tmp_path: Path) -> None:
    name = job_file(tmp_path)
    run(tmp_path, "size", name, typed="q\n")
    job_file(tmp_path, JOB.replace("line = 0.002", "line = 0.01").replace("push_off = 0.02", 'push_off = "20 µm"'))
    done = run(tmp_path, "size", name, typed="q\n")
    said = " ".join(done.stdout.split())
    assert "Not applied: adjuster.line was 0.002 mm when the bore was opened; the file now says 0.01 mm." in said
    assert said.count("Not applied") == 1
    events = json.loads(run(tmp_path, "record", "upper", "--json").stdout)
    opened = next(event for event in events if event["event"] == "opened")
    assert opened["payload"]["given"]["adjuster"]["line"] == "0.002 mm"


def test_the_record_is_printed_with_numbers_hashes_and_heads_and_checked(tmp_path: Path) -> None:
    run(tmp_path, "size", job_file(tmp_path), typed="check 33.281\n\nu\n\nq\n")
    events = json.loads(run(tmp_path, "record", "upper eye", "--json").stdout)
    printed = run(tmp_path, "record", "upper", env={"COLUMNS": "60"})
    assert printed.returncode == 0
    for event in events:
        assert event["hash"] in printed.stdout.replace("\n", "").replace(" ", "")
    assert "withdrawn" in printed.stdout
    heads = printed.stdout[printed.stdout.index("Heads, to keep on paper") :]
    last = {event["stream"]: event for event in events}
    for stream, event in last.items():
        assert f"{stream}, event {event['number']}" in " ".join(heads.split())
        assert event["hash"] in heads.replace("\n", "").replace(" ", "")
    done = run(tmp_path, "check")
    assert (done.returncode, done.stderr) == (0, "")
    assert f"{len(events)} events in 2 streams" in done.stdout
    nobody = run(tmp_path, "record", "lower")
    assert nobody.returncode == 2
    assert "On record: sluice_hinge_4.upper_eye." in nobody.stderr


def test_a_backup_is_copied_checked_and_never_written_over(tmp_path: Path) -> None:
    run(tmp_path, "size", job_file(tmp_path), typed="check 33.281\nq\n")
    done = run(tmp_path, "backup", "stick/monday")
    assert (done.returncode, done.stderr) == (0, "")
    (copy,) = (tmp_path / "stick" / "monday").iterdir()
    kept = run(tmp_path, "record", "upper", "--json").stdout
    streams = len({event["stream"] for event in json.loads(kept)})
    copied = f"{len(json.loads(kept))} events in {streams} streams"
    assert done.stdout.startswith(f"Copied to {Path('stick') / 'monday' / copy.name}: {copied}.")
    assert "Every number and every hash of the copy was checked" in done.stdout
    assert run(tmp_path, "record", "upper", "--json", "--data", "stick/monday").stdout == kept
    before = copy.read_bytes()
    again = run(tmp_path, "backup", "stick/monday")
    assert (again.returncode, "a copy is never written over another" in again.stderr) == (2, True)
    assert copy.read_bytes() == before
    assert "That is a file." in run(tmp_path, "backup", "job.toml").stderr


def test_a_changed_record_is_found_and_so_is_the_change_in_its_backup(tmp_path: Path) -> None:
    run(tmp_path, "size", job_file(tmp_path), typed="check 33.281\nq\n")
    forge(tmp_path / "data")
    done = run(tmp_path, "check")
    assert done.returncode == 2
    assert "was changed after it was stored" in done.stderr
    copied = run(tmp_path, "backup", "copy")
    assert (copied.returncode, copied.stdout) == (2, "")
    assert "was changed after it was stored" in copied.stderr
    assert "Keep older copies." in copied.stderr


def test_lines_answer_the_same_door_as_the_library(tmp_path: Path) -> None:
    from borewright import Bore

    bore = Bore.start(START)
    started, advised, kept = lines(
        tmp_path, {"start": START}, {"advise": {}}, {"record": {"event": "hole_checked", "as_read": "33.281"}}
    )
    assert started == json.loads(json.dumps(bore.recorded(bore.events()[0])))
    assert advised == json.loads(json.dumps(bore.advise()))
    assert kept == json.loads(json.dumps(bore.record({"event": "hole_checked", "as_read": "33.281"})))


def test_numbers_of_a_line_are_kept_as_typed(tmp_path: Path) -> None:
    text = json.dumps(START).replace('"33.28"', "33.280").replace('"0.02"', "0.020")
    started, kept = lines(tmp_path, f'{{"start": {text}}}', '{"record": {"event": "hole_checked", "as_read": 33.2810}}')
    assert '"size": "33.280 mm"' in json.dumps(started)
    assert '"guess": "0.020 mm"' in json.dumps(started)
    assert kept["understood"]["as_read"] == "33.2810 mm"  # type: ignore[index]  # a mapping, as the library's


BAD_LINES = (
    ("nonsense", "That is not JSON"),
    ("{", "That is not JSON"),
    ("[]", "Named fields are wanted."),
    ("7", "Named fields are wanted."),
    ('{"start": {}, "advise": {}}', "That is not one question."),
    ('{"strat": {}}', "That is not one question."),
    ('{"record": 3}', "Named fields are wanted."),
    ('{"record": {"event": "read", "as_read": NaN}}', "That is not a number."),
    ('{"record": {"event": "read", "event": "read"}}', "That name stands there twice."),
    ('{"record": {"event": "raed"}}', "There is no such event."),
    ('{"record": {"event": "hole_checked", "as_read": "3,3,3"}}', "Two decimal commas in one number"),
    ('{"record": {"event": "passed"}}', "A pass needs a tool that was set."),
    ("[" * 100_000, "Brackets in brackets are too deep."),
    ("9" * 10_000, "A number there is too long."),
    (" " * 1_000_000 + "1", "The line is longer than 1000000 bytes."),
)


def test_a_line_that_cannot_be_answered_is_a_problem_and_the_next_is_answered(tmp_path: Path) -> None:
    asked: list[object] = []
    for bad, _ in BAD_LINES:
        asked += [bad, {"advise": {}}]
    answers = lines(tmp_path, {"start": START}, *asked)[1:]
    for place, (_, wrong) in enumerate(BAD_LINES):
        problem, advised = answers[2 * place], answers[2 * place + 1]
        assert problem["line"] == 2 * place + 2
        assert wrong in str(problem["wrong"])
        assert {"problem", "where", "given", "wrong", "right"} <= set(problem)
        assert advised == answers[1]


def test_questions_and_answers_satisfy_the_printed_schema(tmp_path: Path) -> None:
    done = run(tmp_path, "schema")
    assert (done.returncode, done.stderr) == (0, "")
    schema = json.loads(done.stdout)
    Draft202012Validator.check_schema(schema)
    checked = {
        name: Draft202012Validator({**schema, "anyOf": [{"$ref": f"#/$defs/{name}"}]})
        for name in ("question", "answer")
    }
    asked: list[object] = [{"start": START}, {"advise": {}}, {"record": {"event": "hole_checked", "as_read": "33.281"}}]
    for question in asked:
        checked["question"].validate(question)
    for answer in lines(tmp_path, *asked, *(bad for bad, _ in BAD_LINES)):
        checked["answer"].validate(answer)


def test_lines_that_are_not_text_or_come_too_early_are_problems(tmp_path: Path) -> None:
    done = run(tmp_path, "size", "--json", typed=b'\xff\xfe\n\n{"advise": {}}\n{"start": {"callout": "62"}}')
    problems = [json.loads(line) for line in done.stdout.splitlines()]
    assert [problem["line"] for problem in problems] == [1, 3, 4]
    assert problems[0]["wrong"] == "Byte 1 is not UTF-8."
    assert problems[1]["wrong"] == "No bore is started."
    assert done.returncode == 0


def test_a_reader_that_goes_away_is_no_fault_of_ours(tmp_path: Path) -> None:
    command = " ".join(f"'{word}'" for word in [*COMMAND, "demo", "--auto"])
    done = subprocess.run(
        ["bash", "-c", f"{command} | head -3"],
        capture_output=True,
        text=True,
        env={**os.environ, "BOREWRIGHT_DATA": str(tmp_path)},
        timeout=60,
        check=False,
    )
    assert len(done.stdout.splitlines()) == 3
    assert done.stderr == ""


def test_terminals_without_drawing_characters_are_served(tmp_path: Path) -> None:
    env = {"PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii", "LC_ALL": "C"}
    done = run(tmp_path, "size", job_file(tmp_path), typed="check 33.281\n\nq\n", env=env)
    assert done.returncode == 0
    assert "?" * 4 not in done.stdout
    assert done.stdout.isascii()


def test_the_demo_runs_by_itself_to_a_release_and_the_truth(tmp_path: Path) -> None:
    done = run(tmp_path, "demo", "--auto", env={"COLUMNS": "60"})
    assert (done.returncode, done.stderr) == (0, "")
    said = " ".join(done.stdout.split())
    assert "released: shown within limits" in said
    assert "What the simulated machine hid" in said
    assert "Released, and rightly: the whole of it is inside the limits." in said
    assert f"Next: borewright demo --bore {DEMO_BORES[1].name!r}" in said
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_the_demo_goes_on_where_it_was_killed(tmp_path: Path) -> None:
    """Killed after each of its first entries, the demo meets the same fortune as one that was let run."""
    whole = run(tmp_path, "demo", "--auto", env={"BOREWRIGHT_DATA": str(tmp_path / "whole")})
    seen = [enter_once_and_kill(tmp_path / "killed") for _ in range(5)]
    rest = run(tmp_path, "demo", "--auto", env={"BOREWRIGHT_DATA": str(tmp_path / "killed")})
    assert seen + kept_rows(rest.stdout) == kept_rows(whole.stdout)
    assert rest.stdout[rest.stdout.index("What the sim") :] == whole.stdout[whole.stdout.index("What the sim") :]


def kept_rows(shown: str) -> list[str]:
    return [row for row in shown.splitlines() if row.startswith("  kept")]


def enter_once_and_kill(folder: Path) -> str:
    """Press Enter once, wait for the entry to be acknowledged, and kill the process there and then."""
    with subprocess.Popen(
        [*COMMAND, "demo"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "BOREWRIGHT_DATA": str(folder), "PYTHONUTF8": "1"},
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("\n")
        process.stdin.flush()
        row = next(row for row in process.stdout if row.startswith("  kept"))
        process.send_signal(signal.SIGKILL)
    return row.rstrip("\n")


def test_a_fresh_demo_puts_the_old_records_aside(tmp_path: Path) -> None:
    run(tmp_path, "demo", typed="\nq\n")
    assert "entry 2" in run(tmp_path, "demo", typed="q\n").stdout
    assert "entry 1" in run(tmp_path, "demo", "--fresh", typed="q\n").stdout
    assert (tmp_path / "data" / "demo-1").is_dir()


def test_a_fault_of_the_program_is_told_in_words_and_kept_in_a_file(tmp_path: Path) -> None:
    code = "import borewright.cli.app as app\napp.app = lambda: 1 / 0\napp.main()"
    env = {**os.environ, "TMPDIR": str(tmp_path)}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, check=False)
    assert done.returncode == 1
    assert "The program itself is at fault here (ZeroDivisionError)." in done.stderr
    assert "Traceback" not in done.stderr
    (file,) = tmp_path.glob("borewright-fault-*.txt")
    assert "ZeroDivisionError" in file.read_text("utf-8")


def test_plans_stand_side_by_side_in_words_and_as_json(tmp_path: Path) -> None:
    file = job_file(tmp_path)
    told = run(tmp_path, "passes", file)
    assert (told.returncode, told.stderr) == (0, "")
    assert "upper eye  33.4 H7" in told.stdout
    assert re.search(r"^> \d pass", told.stdout, re.MULTILINE)
    assert "Straight on" in told.stdout
    plain = json.loads(run(tmp_path, "passes", file, "--json", "--pass-minutes", "7").stdout)
    assert plain["minutes"]["pass"] == {"minutes": 7.0, "origin": "as asked"}
    assert told.stdout.count(" costs ") == len(plain["plans"])
    assert not (tmp_path / "data").exists()


def test_plans_of_a_bore_on_record_start_from_where_it_stands(tmp_path: Path) -> None:
    file = job_file(tmp_path)
    run(tmp_path, "size", file, typed="check 33.281\nq\n")
    for named in (run(tmp_path, "passes", "upper", "--json"), run(tmp_path, "passes", file, "--json")):
        plain = json.loads(named.stdout)
        assert plain["plans"]
        assert not any(plan["checked"] for plan in plain["plans"])


def test_what_cannot_be_compared_is_said(tmp_path: Path) -> None:
    refused = run(tmp_path, "passes", "nowhere")
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "No record is kept in this folder." in refused.stderr
    asked = run(tmp_path, "passes", job_file(tmp_path), "--pass-minutes", "soon", "--json")
    assert asked.returncode == 2
    assert json.loads(asked.stdout)["where"] == "pass_minutes"
