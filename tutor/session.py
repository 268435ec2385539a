"""One practice session as a pure value: both the screen and the line mode say things to it and show what it replies.

The clock stands outside: whoever calls hands in the time in seconds, from any fixed start.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tutor.words import say

if TYPE_CHECKING:
    from problems import Attempt
    from problems.derivation.law import Place

WAIT = 8.0
"""Seconds before a later rung opens without a try, so that the ladder is not a lift."""
METHOD = "method"
"""The word that changes the method of a session, with the method's name behind it."""
MISSES = 2
"""Wrong tries at a step after which the first rung is shown unasked."""
LEAVING = ("quit", "exit", "q", "bye", "end", "stop", "close", ":q")
"""Words of other programs for leaving."""

WORKING = ("working", "status", "steps")
"""Words that ask for what is found so far: that of this program first."""


@dataclass(frozen=True)
class Reply:
    """What the tutor answers. kind: a verdict's, or ``hint``, ``wait``, ``why``, ``back`` … place: what to light."""

    kind: str
    lines: tuple[str, ...]
    place: Place | None = None


@dataclass(frozen=True)
class Session:
    """An attempt with what the engine does not keep: the way back, the wrong tries at this step, when a rung may open.

    earlier: attempts before each statement, oldest first, with the text stated then. misses: wrong tries since the last
    right one. opens_at: the time from which the next rung is open.
    """

    attempt: Attempt
    earlier: tuple[tuple[str, Attempt], ...] = ()
    misses: int = 0
    opens_at: float = float("-inf")

    def state(self, text: str) -> tuple[Session, Reply]:
        """A statement or a question in; the new session and what is said to it. A try opens the next rung."""
        from problems.answers.may_i import is_question
        from tutor.sheet import question

        if is_question(text, naming=question(self.attempt) is not None):
            return self, Reply("may", spoken(self.attempt.may(text)))
        attempt, verdict = self.attempt.state(text)
        moved_on = _asked(attempt) != _asked(self.attempt)
        misses = 0 if verdict.right or moved_on else self.misses + verdict.costs_a_try
        kept = attempt.values != self.attempt.values or attempt.standings.found != self.attempt.standings.found
        # an equation is kept without a value; what was known before adds nothing that could be taken back
        kept = kept or (verdict.right and verdict.kind != "known")
        earlier = (*self.earlier, (text, self.attempt)) if kept else self.earlier
        opens_at = self.opens_at if verdict.kind == "unreadable" else float("-inf")
        lines = (*spoken(verdict.message), *_posed(self.attempt, attempt))
        if attempt.done and not self.attempt.done:
            lines = (*lines, *reviewed(attempt), *attempt.outlook, say("reply.done"))
        after = Session(attempt, earlier, misses, opens_at)
        return after._offered(Reply(verdict.kind, lines))

    def _offered(self, reply: Reply) -> tuple[Session, Reply]:
        """The reply, with the first rung added unasked after enough wrong tries."""
        step = self.attempt.next_step
        if self.misses < MISSES or step is None or self.attempt.hints_open.get(step.quantity, 0) > 0:
            return self, reply
        attempt, hint = self.attempt.hint()
        if hint is None:
            return self, reply
        lines = (*reply.lines, say("reply.hint", rung=hint.rung, of=hint.of, text=hint.text))
        return replace(self, attempt=attempt), Reply(reply.kind, lines, hint.place)

    def hint(self, now: float) -> tuple[Session, Reply]:
        """The next rung for the step asked, unless it is too soon after the last."""
        if now < self.opens_at:
            return self, Reply("wait", (say("reply.wait", seconds=max(1, round(self.opens_at - now))),))
        attempt, hint = self.attempt.hint()
        if hint is None:
            return self, Reply("done", (say("reply.nothing-asked"),))
        lines = [say("reply.hint", rung=hint.rung, of=hint.of, text=hint.text)]
        if hint.rung == hint.of:
            lines += [say("reply.shown"), *_posed(self.attempt, attempt)]
        if attempt.done:
            lines += [*reviewed(attempt), *attempt.outlook, say("reply.done")]
        return replace(self, attempt=attempt, misses=0, opens_at=now + WAIT), Reply("hint", tuple(lines), hint.place)

    def why(self) -> Reply:
        """Why the law of the last right step holds there."""
        lesson = self.attempt.lesson
        right = [quantity for quantity in self.attempt.values if quantity in self.attempt.settled]
        last = next((step for quantity in reversed(right) if (step := lesson.step_for(quantity))), None)
        if last is None:
            return Reply("why", (say("reply.no-why"),))
        return Reply("why", (say("reply.why", relation=str(last.relation), why=last.why),))

    def counterexample(self) -> Reply:
        """Where the wrong move named last plainly fails."""
        from problems.answers.counterexample import last_move

        named = last_move(verdict for _, verdict in self.attempt.log) is not None
        none = say("reply.no-short-counterexample" if named else "reply.no-counterexample")
        return Reply("counterexample", spoken(self.attempt.counterexample() or none))

    def by_method(self, method: str) -> tuple[Session, Reply]:
        """Go on by another method, keeping what is stated; without a name, say which there are."""
        from problems.derivation.methods.registry import methods

        known, now = ", ".join(methods()), self.attempt.problem.method
        if not method:
            return self, Reply("method", (say("reply.methods", method=now, known=known),))
        try:
            attempt = self.attempt.with_method(method)
        except ValueError as refused:
            return self, Reply("method", (str(refused),))
        lines = [say("reply.method", how=say(f"method.{method}"))]
        if (step := attempt.next_step) is not None:
            lines.append(say("reply.method-next", quantity=step.label))
        return replace(self, attempt=attempt, misses=0), Reply("method", tuple(lines))

    def back(self) -> tuple[Session, Reply]:
        """Take back the last statement that was kept."""
        if not self.earlier:
            return self, Reply("back", (say("reply.nothing-back"),))
        text, attempt = self.earlier[-1]
        attempt = self.attempt.taken_back(attempt)
        after = replace(self, attempt=attempt, earlier=self.earlier[:-1], misses=0)
        return after, Reply("back", (say("reply.back", text=text),))


def method_in(text: str) -> str | None:
    """The method that a line asks for: ``nodes`` of ``method nodes``, ``""`` for the word alone; None for others."""
    word, *others = text.lower().split()
    return None if word != METHOD or len(others) > 1 else "".join(others)


def _asked(attempt: Attempt) -> str | None:
    step = attempt.next_step
    return None if step is None else step.quantity


def reviewed(attempt: Attempt) -> tuple[str, ...]:
    """The wrong line of each named wrong move above the right one, once all is done."""
    lines = [say("reply.review", cause=two.cause, wrong=two.wrong, right=two.right) for two in attempt.review]
    return tuple(line for text in lines for line in text.splitlines())


def _posed(before: Attempt, after: Attempt) -> tuple[str, ...]:
    """The question that is open now and was not before, as it is put."""
    from tutor.sheet import question

    now = question(after)
    return () if now is None or now == question(before) else (now.text, *now.lines)


def spoken(message: str) -> tuple[str, ...]:
    """A reply in lines: what is said, and from the first question on a line of its own."""
    sentences = re.split("(?<=[.?]) ", message)
    first = next((place for place, sentence in enumerate(sentences) if sentence.endswith("?")), len(sentences))
    return tuple(" ".join(part) for part in (sentences[:first], sentences[first:]) if part)
