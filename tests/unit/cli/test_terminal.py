"""The session on a real terminal: line editing, width, and the ways in which a person goes away."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

CODE = "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); from borewright.cli.app import main; main()"
"""Takes the terminal as its own first, so that Control-C reaches it."""
PATIENCE_S = 30.0
STYLES = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]")


class Screen:
    """A terminal of a given width with the command running in it."""

    def __init__(self, folder: Path, words: list[str], width: int) -> None:
        self.ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, width, 0, 0))
        env = {**os.environ, "BOREWRIGHT_DATA": str(folder), "TERM": "xterm", "PYTHONUTF8": "1"}
        env = {name: value for name, value in env.items() if name not in {"COLUMNS", "LINES", "NO_COLOR"}}
        self.process = subprocess.Popen(
            [sys.executable, "-c", CODE, *words],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            env=env,
            start_new_session=True,
        )
        os.close(theirs)
        self.shown = ""

    def type(self, keys: str) -> None:
        """Press keys."""
        os.write(self.ours, keys.encode())

    def wait_for(self, words: str, *, after: int = 0) -> str:
        """Read until words are shown, and return what was shown up to then, without its styles."""
        until = time.monotonic() + PATIENCE_S
        while words not in self.plain[after:]:
            assert time.monotonic() < until, self.plain[-2000:]
            if not self.read():
                raise AssertionError(self.plain[-2000:])
        return self.plain

    def read(self) -> bool:
        """Read what there is; False at the end."""
        ready, _, _ = select.select([self.ours], [], [], 1.0)
        if not ready:
            return True
        try:
            new = os.read(self.ours, 65536)
        except OSError:
            return False
        self.shown += new.decode(errors="replace")
        return bool(new)

    @property
    def plain(self) -> str:
        """What was shown, without its styles."""
        return STYLES.sub("", self.shown)

    def insist(self, keys: str, answer: str) -> None:
        """Press keys, and as a person does once more where nothing happens.

        Python's line reader misses a signal that comes between a key it works on and the next one it waits for, and
        leaves keys that it has read ahead until another one comes.
        """
        for _ in range(3):
            self.type(keys)
            until = time.monotonic() + PATIENCE_S / 3
            while time.monotonic() < until:
                if not self.read() or answer in self.plain:
                    return

    def take_away(self) -> None:
        """Take the terminal away: the command is told by a signal, and reads and writes nothing any more."""
        os.close(self.ours)
        self.ours = -1

    def end(self) -> int:
        """Read to the end and return the exit code."""
        until = time.monotonic() + PATIENCE_S
        while self.read():
            assert time.monotonic() < until, self.plain[-2000:]
            if self.process.poll() is not None and not select.select([self.ours], [], [], 0.2)[0]:
                break
        return self.process.wait(PATIENCE_S)


@contextmanager
def demo(folder: Path, width: int = 80) -> Iterator[Screen]:
    """Run the demo in a terminal."""
    screen = Screen(folder, ["demo"], width)
    try:
        screen.wait_for("\n> ")
        yield screen
    finally:
        screen.process.kill()
        screen.process.wait()
        if screen.ours >= 0:
            screen.take_away()


@pytest.mark.parametrize("width", [60, 80])
def test_nothing_wraps_at_the_width_of_the_terminal(tmp_path: Path, width: int) -> None:
    with demo(tmp_path, width) as screen:
        screen.type("?\r")
        screen.wait_for("Arithmetic")
        screen.type("h\r")
        screen.wait_for("as it was cut")
        for row in screen.plain.split("\n"):
            assert len(row.rstrip("\r")) <= width, row


def test_what_could_not_be_kept_stands_on_the_line_again_to_be_mended(tmp_path: Path) -> None:
    with demo(tmp_path) as screen:
        screen.type("46.2x5\r")
        screen.wait_for("Not kept.")
        screen.wait_for("> 46.2x5", after=screen.plain.index("Not kept."))
        screen.type("\x7f\x7f25 mm\r")
        screen.wait_for("kept       set to 46.2")


def test_control_c_leaves_and_keeps_what_was_kept(tmp_path: Path) -> None:
    with demo(tmp_path) as screen:
        screen.type("\r")
        screen.wait_for("Is the tool in the spindle?")
        screen.type("sea")
        screen.wait_for("> sea")
        screen.insist("\x03", "Everything that was kept stands.")
        assert screen.end() == 130
        assert "Everything that was kept stands." in screen.plain
        assert "Traceback" not in screen.plain
    with demo(tmp_path) as screen:
        assert "Is the tool in the spindle?" in screen.plain
        assert "entry 2" in screen.plain


def test_the_end_of_input_leaves_politely(tmp_path: Path) -> None:
    with demo(tmp_path) as screen:
        screen.type("\x04")
        assert screen.end() == 0
        assert "Left. Everything kept stands" in screen.plain


def test_a_terminal_that_is_taken_away_loses_nothing(tmp_path: Path) -> None:
    with demo(tmp_path) as screen:
        screen.type("\r")
        screen.wait_for("Is the tool in the spindle?")
        screen.take_away()
        screen.process.wait(PATIENCE_S)
    with demo(tmp_path) as screen:
        assert "Is the tool in the spindle?" in screen.plain


def test_lines_typed_ahead_are_answered_in_turn(tmp_path: Path) -> None:
    with demo(tmp_path) as screen:
        screen.type("\r\r\r")
        shown = screen.wait_for("What does the gauge show?")
        assert [shown.index(said) for said in ("set to", "tool put in", "cut through")] == sorted(
            shown.index(said) for said in ("set to", "tool put in", "cut through")
        )


@pytest.mark.parametrize("keys", ["\x1b[A\x1b[B\t\t\r", "\x00\r", "\x16\x1b\r", "\xff\r", "é🙂\r", "\x0c\r"])
def test_odd_keys_break_nothing(tmp_path: Path, keys: str) -> None:
    with demo(tmp_path) as screen:
        screen.type(keys)
        screen.type("q\r")
        screen.insist("\x15q\r", "Left.")
        assert screen.end() == 0
        assert "Traceback" not in screen.plain
        assert "program itself is at fault" not in screen.plain
