"""The installed command in a true terminal, read back through a terminal emulator."""

from __future__ import annotations

import os
import re
import sys
import time
from pathlib import Path

import pytest

if sys.platform == "win32":
    pytest.skip("needs a pseudo-terminal", allow_module_level=True)

import pexpect
import pyte

ROOT = Path(__file__).resolve().parents[2]
COMMAND = ["-c", "from tutor.commands import main; main()", "practice", "adjustable-polarity-gain", "--seed", "7"]


class Terminal:
    """A child in a pseudo-terminal and the picture that it paints."""

    def __init__(self, *words: str, **environment: str):
        env = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **environment}
        self.child = pexpect.spawn(sys.executable, [*COMMAND, *words], env=env, dimensions=(30, 110), timeout=20)
        self.child.delaybeforesend = None
        self.screen = pyte.Screen(110, 30)
        self.stream = pyte.ByteStream(self.screen)
        self.raw = b""

    def wait_for(self, text: str, seconds: float = 20) -> None:
        """Feed the emulator until the text stands on its screen."""
        ends = time.monotonic() + seconds
        while text not in "\n".join(self.screen.display):
            assert time.monotonic() < ends, f"{text!r} not in\n" + "\n".join(self.screen.display)
            self.feed()

    def feed(self) -> None:
        try:
            data = self.child.read_nonblocking(1 << 16, timeout=0.2)
        except (pexpect.TIMEOUT, pexpect.EOF):
            return
        self.raw += data
        self.stream.feed(re.sub(rb"\x1b\[[<>=][0-9]*u", b"", data))  # a key protocol that the emulator does not know

    def ended(self) -> int:
        """Exit status after the rest of the output."""
        self.child.expect(pexpect.EOF)
        self.raw += self.child.before or b""
        self.child.close()
        assert self.child.exitstatus is not None
        return int(self.child.exitstatus)


def test_a_statement_is_typed_answered_and_left() -> None:
    terminal = Terminal()
    terminal.wait_for("esc leave")
    terminal.wait_for("[Ri]")
    terminal.child.send("V_3 = 5 V\r")
    terminal.wait_for("not yet")
    terminal.child.send("\t")
    terminal.wait_for("1 of 4")
    terminal.child.send("\x03")
    terminal.wait_for("esc leaves")
    terminal.child.send("\x1b")
    assert terminal.ended() == 0
    assert b"tworules practice adjustable-polarity-gain --seed 000-007" in terminal.raw


def test_what_brings_the_problem_back_holds_what_was_set_and_asked() -> None:
    terminal = Terminal("--set", "Vin=0.8 V", "--find", "V_3")
    terminal.wait_for("esc leave")
    terminal.wait_for("[Ri]")
    terminal.child.send("\x1b")
    assert terminal.ended() == 0
    said = b"tworules practice adjustable-polarity-gain --seed 000-007 --set 'Vin=0.8 V' --find V_3"
    assert said in terminal.raw


def test_a_paste_that_begins_with_escapes_is_read_and_does_not_leave() -> None:
    terminal = Terminal()
    terminal.wait_for("esc leave")
    terminal.wait_for("[Ri]")
    terminal.child.send("\x1b\x1bV_3 = 5 V\r")
    terminal.wait_for("not yet")
    terminal.child.send("\x1b")
    assert terminal.ended() == 0


def test_no_colour_is_sent_when_none_is_wanted() -> None:
    terminal = Terminal(NO_COLOR="1")
    terminal.wait_for("esc leave")
    terminal.child.send("\t")
    terminal.wait_for("1 of 4")
    terminal.child.send("\x1b")
    terminal.ended()
    codes = {code for found in re.findall(rb"\x1b\[([0-9;]*)m", terminal.raw) for code in found.split(b";")}
    coloured = {c for c in codes if c.isdigit() and (30 <= int(c) <= 38 or 40 <= int(c) <= 48 or 90 <= int(c) <= 107)}
    assert coloured == set()
    assert b"7" in codes, "what a hint points at is reversed"


@pytest.mark.parametrize(
    "environment",
    [{"TERM": "dumb"}, {"PYTHONIOENCODING": "ascii"}, {"LC_ALL": "C"}, {"LC_ALL": "", "LANG": "C"}],
    ids=["a dumb terminal", "a terminal without UTF-8", "the locale C", "LANG alone is C"],
)
def test_a_terminal_that_cannot_paint_gets_lines(environment: dict[str, str]) -> None:
    terminal = Terminal(**environment)
    terminal.child.expect("> ")
    terminal.child.send("V_3 = 5 V\n")
    terminal.child.expect("not yet")
    terminal.child.expect("> ")  # what comes before the prompt may be lost while the line editor takes over
    terminal.child.sendeof()
    assert terminal.ended() == 0
    assert b"\x1b[2J" not in terminal.raw


def test_ctrl_c_at_the_prompt_of_line_mode_ends_with_130() -> None:
    terminal = Terminal("--lines")
    terminal.child.expect("> ")
    terminal.child.sendintr()
    terminal.child.expect("Stopped.")
    assert terminal.ended() == 130
