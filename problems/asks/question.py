"""What every kind of ask gives: a question on one circuit that is judged, helped with and solved.

A question never changes. How far a student has come with it is a ``Standing``, which the attempt keeps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple, Protocol

from problems.answers.verdict import Sentence, Verdict
from problems.derivation.law import Place
from problems.derivation.lesson import Lesson
from problems.quantities import Quantity
from problems.words import say

Fields = Mapping[str, Any]
"""What an [[ask]] of a family says, by key."""


class Standing(NamedTuple):
    """How far a student has come with a question.

    found: which of its ``needs`` are settled. tries: wrong answers so far. rungs: how many rungs of help are open.
    shown: whether the last of them gave it away.
    """

    found: frozenset[str] = frozenset()
    tries: int = 0
    rungs: int = 0
    shown: bool = False


FRESH = Standing()
ANSWERED = Verdict("known", (Sentence("ask.answered"),))
"""What is said to an answer to a question that is settled."""


class Answer(NamedTuple):
    """What a question says to a text. found: what of its ``needs`` the text settles."""

    verdict: Verdict
    found: frozenset[str] = frozenset()


class Rung(NamedTuple):
    """One rung of help. place: what to light up in the drawing."""

    text: str
    place: Place = Place()


class Question(Protocol):
    """One question of a kind.

    name: what ``Problem.asks`` calls it, such as ``slip V_out``. needs: what an answer must settle, in order. targets:
    the quantities that its working speaks of; the problem's walk leads to them too.
    """

    @property
    def name(self) -> str: ...
    @property
    def needs(self) -> tuple[str, ...]: ...
    @property
    def targets(self) -> tuple[Quantity, ...]: ...
    @property
    def title(self) -> str:
        """In two or three words, for the head of a sheet."""
        ...

    @property
    def text(self) -> str:
        """What is asked, in sentences."""
        ...

    @property
    def lines(self) -> tuple[str, ...]:
        """What the question is about, where it is set line by line."""
        ...

    @property
    def rungs(self) -> tuple[Rung, ...]:
        """Help, from a pointer to the whole answer."""
        ...

    @property
    def solution(self) -> tuple[str, ...]:
        """The answer, a sentence or a formula each."""
        ...

    def judge(self, text: str, standing: Standing) -> Answer | None:
        """What there is to say to a text; None where it is no answer to this question. Never raises."""
        ...


@dataclass(frozen=True)
class Standings:
    """How far a student has come with each question of a problem, by its name."""

    by_name: Mapping[str, Standing] = field(default_factory=dict)

    @property
    def found(self) -> frozenset[tuple[str, str]]:
        """What is settled: name of the question, and which of its needs."""
        return frozenset((name, need) for name, each in self.by_name.items() for need in each.found)

    @property
    def rungs(self) -> dict[str, int]:
        """How many rungs are open, by the name of the question."""
        return {name: each.rungs for name, each in self.by_name.items()}

    def of(self, question: Question) -> Standing:
        return self.by_name.get(question.name, FRESH)

    def settled(self, question: Question) -> bool:
        """Whether a question is answered, or was given away."""
        standing = self.of(question)
        return standing.shown or standing.found >= set(question.needs)

    def answers(self, text: str, questions: Iterable[Question]) -> bool:
        """Whether a text answers one of the questions that are settled."""
        judged = (each.judge(text, FRESH) for each in questions if self.settled(each))
        return any(answer is not None and answer.verdict.kind != "unreadable" for answer in judged)

    def answered(self, question: Question, answer: Answer) -> Standings:
        """After an answer, right or not."""
        now = self.of(question)
        tries = now.tries + answer.verdict.costs_a_try
        return self._with(question.name, now._replace(found=now.found | answer.found, tries=tries))

    def helped(self, question: Question) -> Standings:
        """After one more rung; the last one gives the answer away."""
        now, last = self.of(question), len(question.rungs)
        opened = min(now.rungs + 1, last)
        return self._with(question.name, now._replace(rungs=opened, shown=opened == last))

    def with_rungs_of(self, later: Standings) -> Standings:
        """These, with the rungs open that were opened later: taking back is no way to unsee a hint."""
        kept = self
        for name, standing in later.by_name.items():
            kept = kept._with(name, kept.by_name.get(name, FRESH)._replace(rungs=standing.rungs))
        return kept

    def _with(self, name: str, standing: Standing) -> Standings:
        return Standings({**self.by_name, name: standing})


class Posed(NamedTuple):
    """A question in a problem's list of asks. after: how many of the quantities to find stand before it."""

    after: int
    question: Question


def agenda(asked: tuple[Quantity, ...], posed: tuple[Posed, ...]) -> tuple[Quantity | Question, ...]:
    """Quantities to find and questions, in the order in which they are asked."""
    found: list[Quantity | Question] = []
    for place in range(len(asked) + 1):
        found += [each.question for each in posed if each.after == place]
        found += asked[place : place + 1]
    return tuple(found)


@dataclass(frozen=True)
class Asked:
    """A question as a step to take, with what callers ask of a step: ``Attempt.next_step`` while one is open."""

    question: Question

    role = "asked"
    value = None
    wrong_moves = ()

    @property
    def quantity(self) -> str:
        """What stands in the place of a quantity's name."""
        return self.question.name

    @property
    def label(self) -> str:
        return self.question.title

    @property
    def law(self) -> str:
        """The key of its kind, in the place of a law's."""
        return self.question.name.partition(" ")[0]

    @property
    def place(self) -> Place:
        """What the first rung of help lights up."""
        return self.question.rungs[0].place

    @property
    def relation(self) -> str:
        """What is asked, in sentences."""
        return self.question.text

    @property
    def hints(self) -> tuple[str, ...]:
        """Every rung of help, in words."""
        return tuple(rung.text for rung in self.question.rungs)


class AskFault(ValueError):
    """An ask that cannot be put to a circuit. key: names its sentences, ``ask.<key>.says`` and ``.remedy``.

    fields: what those speak of.
    """

    key = ""

    def __init__(self, **fields: str):
        self.fields = fields
        super().__init__(self.says)

    @property
    def says(self) -> str:
        """What is wrong."""
        return say(f"ask.{self.key}.says", **self.fields)

    @property
    def remedy(self) -> str:
        """What to do about it."""
        return say(f"ask.{self.key}.remedy", **self.fields)


class NotNumeric(AskFault):
    """The circuit has values that are no plain numbers."""

    key = "not-numeric"


class Unfinished(AskFault):
    """The text of an ask does not say all that its kind needs. fields: ask, example."""

    key = "unfinished"


def check_numeric(lesson: Lesson, name: str) -> None:
    """Raises NotNumeric where some value is only a name, or a part makes voltages depend on s."""
    if not lesson.is_numeric or any(part.laplace for part in lesson.netlist.parts):
        raise NotNumeric(name=name)


def unread(key: str, **fields: str) -> Answer:
    """A text that is no answer to a question: what one looks like. It costs no try."""
    return Answer(Verdict("unreadable", (Sentence("unreadable.start"), Sentence(key, fields))))
