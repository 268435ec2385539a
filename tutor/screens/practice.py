"""The practice sheet: drawing and working side by side, one line to write on, one place where the tutor answers."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input

from tutor import sheet
from tutor.reading import reading
from tutor.screens import layout
from tutor.session import LEAVING, WORKING, Reply, Session, method_in
from tutor.source import Source, Task
from tutor.terminal import steady
from tutor.widgets.answer import Answer
from tutor.widgets.rule import Rule
from tutor.widgets.spans import Spans, plain
from tutor.words import say

GRACE = 0.15
"""Seconds after escape in which something typed keeps the program open: a paste may begin with that character."""


class PracticeScreen(Screen[None]):
    """One session on the screen. source, task: where problems come from, and the first one if it is made already.

    Otherwise the sheet is painted first and its problem made then: the engine takes as long to load as the screen does.
    """

    AUTO_FOCUS = "Answer"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "hint", id="hint", priority=True),
        Binding("f2", "why", id="why"),
        Binding("f3", "counterexample", id="counterexample"),
        Binding("ctrl+z", "back", id="back", priority=True),
        Binding("ctrl+n", "next", id="next", priority=True),
        Binding("f1", "help", id="help"),
        Binding("escape", "leave", id="leave"),
        Binding("ctrl+c", "interrupt", id="interrupt", priority=True),
        Binding("pageup", "page(-1)", id="up"),
        Binding("pagedown", "page(1)", id="down"),
    ]

    def __init__(self, source: Source, task: Task | None = None):
        super().__init__()
        self.source, self._laid = source, task
        self._session: Session | None = None
        self.reply = Reply("start", ())
        self.read = ""
        self.more = False
        self._leaving: Timer | None = None

    @property
    def current(self) -> Task:
        """The task on the sheet, made now if it is not yet."""
        if self._laid is None:
            self._laid = self.source.task()
        return self._laid

    @property
    def session(self) -> Session:
        """The session on that task."""
        if self._session is None:
            self._session = Session(self.current.problem.begin())
        return self._session

    @session.setter
    def session(self, session: Session) -> None:
        self._session = session

    def compose(self) -> ComposeResult:
        yield Spans(id="head")
        yield Rule(id="upper")
        with Horizontal(id="body"):
            yield Spans(id="picture")
            yield Rule(id="middle", classes="upright")
            with Vertical(id="column"):
                yield Spans(id="given")
                with VerticalScroll(id="record", can_focus=False):
                    yield Spans(id="working")
        yield Rule()
        with VerticalScroll(id="says", can_focus=False):
            yield Spans(id="reply")
        yield Rule(id="lower")
        with Horizontal(id="entry"):
            yield Answer(id="answer", compact=True, placeholder=say("screen.start"))
            yield Spans(id="reading")
        yield Spans(id="keys")

    def on_mount(self) -> None:
        self.paint()
        self.call_after_refresh(self._begin)

    def on_resize(self, event: events.Resize) -> None:
        self.call_later(self.paint)

    def _begin(self) -> None:
        """The first problem, once the empty sheet is on the screen."""
        self._open()
        self.warm_up()

    @work(thread=True, group="warm-up", exclusive=True, exit_on_error=False)
    def warm_up(self) -> None:
        """Have the first verdict's material ready before the first answer is typed."""
        attempt = self.session.attempt
        attempt.state("0")

    # ---- what the user does

    @on(Input.Changed, "#answer")
    def read_along(self, event: Input.Changed) -> None:
        """Show how the line would be read, while it is typed."""
        if event.value:
            self._stay()
        self.read = reading(event.value, self.session.attempt)
        self._paint_reading()

    @on(Input.Submitted, "#answer")
    def say_it(self, event: Input.Submitted) -> None:
        """A statement, or nothing when the line is empty."""
        text = event.value.strip()
        if text.lower() in LEAVING and text not in self.current.problem.circuit.units:
            self.answer(Reply("help", (say("screen.interrupt"),)))
        elif text.lower() in WORKING and text not in self.current.problem.circuit.units:
            self.answer(Reply("help", (say("screen.working"),)))
        elif text and (method := method_in(text)) is not None:
            self.session, reply = self.session.by_method(method)
            self._laid = replace(self.current, problem=self.session.attempt.problem)
            self.answer(reply)
        elif text:
            self.session, reply = self.session.state(text)
            self.answer(reply)

    def action_hint(self) -> None:
        self.session, reply = self.session.hint(time.monotonic())
        self.answer(reply)

    def action_why(self) -> None:
        self.answer(self.session.why())

    def action_counterexample(self) -> None:
        self.answer(self.session.counterexample())

    def action_back(self) -> None:
        self.session, reply = self.session.back()
        self.answer(reply)

    def action_next(self) -> None:
        if not self.current.code:
            self.answer(Reply("next", (say("reply.no-next"),)))
            return
        source = self.source.after(self.current)
        try:
            self._laid = source.task()
        except ValueError as fault:  # the file has changed meanwhile
            self.answer(Reply("next", tuple(str(fault).splitlines())))
            return
        self.source, self._session = source, None
        self._open()

    def action_help(self) -> None:
        text = say("screen.help", statement=self._statement(), tolerance=say("reply.tolerance"))
        self.answer(Reply("help", tuple(text.splitlines())))

    def action_interrupt(self) -> None:
        """ctrl+c: by habit, or by mistake while copying; say how to leave rather than lose the session."""
        typed = self.query_one("#answer", Answer).value
        self.answer(Reply("help", (say("screen.interrupt-typed" if typed else "screen.interrupt"),)))

    def action_leave(self) -> None:
        """Clear the line; leave where it is empty and nothing follows at once."""
        entry = self.query_one("#answer", Answer)
        self._stay()
        if entry.value:
            entry.value = ""
        else:
            self._leaving = self.set_timer(GRACE, self.app.exit)

    def _stay(self) -> None:
        if self._leaving is not None:
            self._leaving.stop()
            self._leaving = None

    def action_page(self, pages: int) -> None:
        """Scroll what does not fit: the working, the reply, or both."""
        for part in self.query(VerticalScroll):
            part.scroll_relative(y=pages * max(1, part.size.height - 1), animate=False)

    # ---- what the sheet shows

    def _open(self) -> None:
        """Lay the task on the sheet."""
        self._session = self.session  # made now
        caution, now = sheet.flowed(self.current.problem.caution), sheet.question(self._session.attempt)
        lines = (self._statement(), caution, now.text if now is not None else "")
        self.answer(Reply("start", tuple(filter(None, lines))))

    def _statement(self) -> str:
        problem = self.current.problem
        return sheet.flowed(f"{problem.statement} {problem.setting}") or sheet.asks(problem)

    def answer(self, reply: Reply) -> None:
        """Show a reply and everything that changed with it."""
        self.reply = reply
        self.paint()
        record = self.query_one("#record", VerticalScroll)
        if reply.kind == "start":
            record.scroll_home(animate=False)
        else:
            record.scroll_end(animate=False)
        self.query_one("#says", VerticalScroll).scroll_home(animate=False)

    def paint(self) -> None:
        """Lay out all parts of the sheet for the size at hand."""
        width, height = self.app.size
        if self._session is None:
            self._spans("head").show(plain([say("screen.opening")]))
            self._spans("keys").show(layout.keys(width))
            return
        page = layout.page(self.current, self.session.attempt, self.reply.place, width, height)
        for part in ("head", "picture", "given", "working"):
            self._spans(part).show(getattr(page, part))
        lines = [line for text in self.reply.lines for line in sheet.paragraphs(steady(text), width - 4)]
        self._spans("reply").show(plain(lines))
        self.more = len(lines) > page.said
        self.query_one("#says").styles.max_height = page.said
        self.query_one("#upper").display, self.query_one("#lower").display = page.upper, page.lower
        self.set_class(page.beside, "-beside")
        self.set_class(page.beside and width >= layout.WIDE, "-wide")
        self.query_one(Answer).placeholder = say("screen.start" if width >= 70 else "screen.start-narrow")
        self._paint_reading()

    def _paint_reading(self) -> None:
        """How the line is read: beside it, or where the keys stand."""
        width = self.app.size.width
        beside, below = layout.reading(self.read, self.query_one(Answer).value, width)
        self._spans("reading").show(plain([f"  {beside}"] if beside else []))
        self._spans("keys").show(plain([below]) if below else layout.keys(width, self.more))

    def _spans(self, name: str) -> Spans:
        return self.query_one(f"#{name}", Spans)
