"""The session as plain appended lines: for screen readers, pipes and simple terminals. Nothing is ever repainted."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace

from tutor import sheet
from tutor.session import LEAVING, WORKING, Reply, Session, method_in
from tutor.sheet import Entry
from tutor.source import Source, Task, again
from tutor.terminal import Paper, shortened
from tutor.words import say

PROMPT = "> "
MEANT: Mapping[str, str] = {
    **dict.fromkeys(LEAVING, "leave"),
    **dict.fromkeys(("h", "?", "commands", "man"), "help"),
    **dict.fromkeys(("undo", "u"), "back"),
    **dict.fromkeys(("new", "skip", "n"), "next"),
    **dict.fromkeys(("tip", "hints"), "hint"),
    **dict.fromkeys(("counter", "example"), "counterexample"),
    **dict.fromkeys(("draw", "circuit", "picture"), "drawing"),
    **dict.fromkeys(("describe", "text"), "words"),
    **dict.fromkeys(WORKING[1:], WORKING[0]),
    **dict.fromkeys(("again", "repeat", "statement"), "problem"),
}
"""Words of other programs, and the word of this one that does it."""


class Lines:
    """A session on standard input and output. source, task: where problems come from, and the first one."""

    def __init__(self, source: Source, task: Task, clock: Callable[[], float] = time.monotonic):
        self.source, self.task, self.clock = source, task, clock
        self.session = Session(task.problem.begin())
        self.paper = Paper.of(sys.stdout)
        self.leaving = False
        self.words: dict[str, Callable[[], None]] = {
            "hint": self.hint,
            "why": self.why,
            "counterexample": self.counterexample,
            "back": self.back,
            "drawing": self.drawing,
            "working": self.working,
            "words": self.describe,
            "problem": self.problem,
            "next": self.next,
            "help": self.help,
            "leave": self.leave,
        }

    def run(self) -> None:
        """Prompt until the user leaves or the input ends."""
        if sys.stdin is not None and sys.stdin.isatty():
            with suppress(ImportError):  # line editing and history, where the platform has them
                import readline  # noqa: F401
        self.problem()
        self.prose(say("lines.start"), "")
        while not self.leaving:
            text = self._read()
            if text is None:
                break
            self.hear(text.strip())
        self.print(say("practice.left", command=again(self.source, self.task)))

    def hear(self, text: str) -> None:
        """One line of the user: a word of the session, or a statement about the circuit."""
        if not text:
            return
        method = method_in(text)
        if method is not None:
            self.method(method)
            return
        action = self.words.get(text.lower())
        if action is not None:
            action()
            return
        meant = MEANT.get(text.lower())
        if meant is not None and text not in self.task.problem.circuit.units:
            self.prose(say("lines.meant", word=meant))
            return
        self.session, reply = self.session.state(text)
        self._answer(reply)

    def problem(self) -> None:
        """The whole sheet: what stands above the drawing, the drawing where it has room, what stands below it."""
        for line in sheet.opening(self.task, self.paper):
            self.print(line)
        rows = sheet.shown(self.session.attempt, self.paper)
        across = max(map(len, rows), default=0)
        if across > self.paper.across:
            self.prose(say("lines.narrow", columns=across), "")
            rows = ()
        self._circuit(rows)
        for line in sheet.notes(self.task, self.paper):
            self.print(line)
        now = sheet.question(self.session.attempt)
        for line in (now.text, *now.lines) if now is not None else ():
            self.prose(line, "")

    def drawing(self) -> None:
        """The drawing with pins and arrows, however wide; the circuit in words where it has none."""
        self._circuit(sheet.shown(self.session.attempt, self.paper))

    def _circuit(self, rows: tuple[str, ...]) -> None:
        """The rows of a drawing, or the circuit in words where there are none."""
        if not rows:
            self.describe()
            return
        for line in ("", *rows, ""):
            self.print(line)

    def describe(self) -> None:
        """The circuit in words, one fact a line."""
        for fact in sheet.description(self.task.problem):
            self.prose(fact)

    def working(self) -> None:
        """What has been found so far, and what is asked now."""
        entries = (Entry(*map(self.paper.spelled, entry)) for entry in sheet.working(self.session.attempt))
        for line in sheet.columns(tuple(entries), self.paper.columns - 2):
            self.print(f"  {line}")

    def hint(self) -> None:
        """The next rung."""
        self.session, reply = self.session.hint(self.clock())
        self._answer(reply)

    def why(self) -> None:
        """Why the last law holds."""
        self._answer(self.session.why())

    def counterexample(self) -> None:
        """Where the wrong move named last fails."""
        self._answer(self.session.counterexample())

    def method(self, name: str) -> None:
        """Go on by another method."""
        self.session, reply = self.session.by_method(name)
        self.task = replace(self.task, problem=self.session.attempt.problem)
        self._answer(reply)

    def back(self) -> None:
        """Take the last statement back."""
        self.session, reply = self.session.back()
        self._answer(reply)

    def next(self) -> None:
        """Another problem."""
        if not self.task.code:
            self._answer(Reply("next", (say("reply.no-next"),)))
            return
        source = self.source.after(self.task)
        try:
            self.task = source.task()
        except ValueError as fault:  # the file has changed meanwhile
            self._answer(Reply("next", tuple(str(fault).splitlines())))
            return
        self.source, self.session = source, Session(self.task.problem.begin())
        self.print("")
        self.problem()

    def help(self) -> None:
        """What can be typed, one thing a line."""
        for line in say("lines.help", tolerance=say("reply.tolerance")).splitlines():
            self.prose(line)

    def leave(self) -> None:
        """End the session."""
        self.leaving = True

    def prose(self, text: str, indent: str = "  ") -> None:
        """Text wrapped to the terminal, each line indented."""
        for line in sheet.paragraphs(self.paper.spelled(text), self.paper.columns - len(indent)):
            self.print(indent + line)

    def print(self, text: str) -> None:
        """One line out."""
        self.paper.line(text)

    def _answer(self, reply: Reply) -> None:
        for line in reply.lines:
            self.prose(line)

    def _read(self) -> str | None:
        """The next line typed, None at the end of the input; a piped line is repeated, so that the record is whole."""
        if sys.stdin is None or sys.stdin.closed:
            return None
        if sys.stdin.isatty():
            try:
                return input(PROMPT)
            except EOFError:
                print()
                return None
        text = sys.stdin.readline()
        if not text:
            return None
        self.print(PROMPT + shortened(text.rstrip("\r\n")))
        return text
