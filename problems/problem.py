"""The public values: a circuit, a problem on it, and one student's attempt at it. None of them ever changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

from problems.answers.counterexample import failing, last_move
from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.line import Line, line_of
from problems.answers.may_i import may_i
from problems.answers.review import Pair, pair
from problems.answers.standing import standing
from problems.answers.verdict import Verdict
from problems.asks.question import ANSWERED, Asked, Posed, Question, Standings, agenda
from problems.asks.registry import agenda_of
from problems.circuits.drawing import Drawing, read_drawing
from problems.circuits.netlist import Netlist
from problems.circuits.solution import Solution, solve
from problems.derivation.guide import Guidance, next_step
from problems.derivation.law import LAWS, NOWHERE, Misuse, Place
from problems.derivation.laws import stated
from problems.derivation.lesson import Lesson
from problems.derivation.outlook import outlook
from problems.derivation.step import RUNGS, Step
from problems.formulas.phasor import Phasor
from problems.formulas.ratio import to_sympy
from problems.formulas.spelling import inert
from problems.quantities import Quantity, UnknownQuantity, canonical
from problems.words import say

SETTLES = frozenset({"right", "unit-missing"})
"""Kinds of verdict after which a quantity is settled: the value is true. A carried value earns its mark, no more."""


class UnknownValue(ValueError):
    """A value for something that the circuit has not. name: what was named. known: what has a value."""

    def __init__(self, name: str, known: tuple[str, ...]):
        self.name, self.known = inert(name, 40), known
        super().__init__(f"there is no {self.name!r} to give a value in this circuit; it has {', '.join(known)}")


class Circuit(Netlist):
    """A circuit, built from parts or read from a drawing.

    ``Circuit([VoltageSource("V1", "in", "0", "1 V"), Resistor("R1", "in", "0", "10k")])``
    """

    drawing: Drawing | None

    @classmethod
    def from_drawing(cls, text: str, values: Mapping[str, Any] | None = None, *, package: str = "single") -> Circuit:
        """The circuit of a drawing; ``values`` gives part values, settings, and the terminals that are driven.

        Raises DrawingError with every fault found, UnknownValue, and ValueError for a value that cannot be read.
        """
        drawing = read_drawing(text)
        circuit = cls(drawing.parts(values or {}, package), values, package=package, drawing=drawing)
        if unknown := [name for name in values or {} if name not in circuit.settable]:
            raise UnknownValue(unknown[0], tuple(circuit.settable))
        return circuit

    def solve(self) -> Solution:
        """The exact solution; raises NoSolution. ManySolutions comes only when what is asked is not determined."""
        return solve(self)

    def walk(self, target: str, method: str = LAWS) -> list[Step]:
        """The steps to a quantity, the last of which is the quantity itself.

        Raises UnknownQuantity, NoNegativeFeedback, NoWalk, MethodNotBuilt, NoSolution.
        """
        return list(self.lesson.walk((self.lesson.quantity(target),), method))

    @cached_property
    def lesson(self) -> Lesson:
        """All that this circuit has to teach."""
        return Lesson.of(self)


class Hint(NamedTuple):
    """One rung of help. rung: 1 to ``of``. place: what to light up in the drawing. quantity: what it is about."""

    rung: int
    of: int
    text: str
    place: Place
    quantity: str


@dataclass(frozen=True)
class Problem:
    """A circuit with values and what is asked of it, in order. Build with ``ask`` or ``Family.problem``.

    asked: the quantities to find. posed: what is asked besides.
    """

    circuit: Circuit
    asked: tuple[Quantity, ...]
    method: str = LAWS
    title: str = ""
    statement: str = ""
    setting: str = ""
    caution: str = ""
    tips: Mapping[str, str] = field(default_factory=dict)
    recalled: Mapping[Quantity, tuple[Misuse, ...]] = field(default_factory=dict)
    posed: tuple[Posed, ...] = ()

    @property
    def asks(self) -> tuple[str, ...]:
        """Names of what is asked: ``V_out`` for a quantity to find, ``slip V_out`` for a question."""
        return tuple(canonical(ask) if isinstance(ask, Quantity) else ask.name for ask in self.agenda)

    @cached_property
    def agenda(self) -> tuple[Quantity | Question, ...]:
        """Quantities to find and questions, in the order in which they are asked."""
        return agenda(self.asked, self.posed)

    @property
    def targets(self) -> tuple[Quantity, ...]:
        """What the walk leads to: the quantities to find, then those that the questions speak of."""
        return tuple(dict.fromkeys((*self.asked, *(target for each in self.posed for target in each.question.targets))))

    @property
    def drawing(self) -> str:
        """The drawing as its author wrote it; empty for a circuit built without one."""
        return "\n".join(self.circuit.drawing.rows) if self.circuit.drawing is not None else ""

    @cached_property
    def lesson(self) -> Lesson:
        """The circuit's lesson, by the laws of this problem's own walk."""
        return replace(self.circuit.lesson.teaching(self.targets, self.method), recalled=self.recalled)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """Every step of the walks to what is asked, each once."""
        return self.lesson.walk(self.targets, self.method)

    def answer(self, name: str) -> Any:
        """The right value of any quantity, as sympy has it. Raises UnknownQuantity."""
        quantity = self.circuit.lesson.quantity(name)
        return to_sympy(self.lesson.holding((quantity,)).values[quantity])

    def check(self, name: str, text: str, stated: Mapping[str, object] | None = None) -> Verdict:
        """What there is to say to ``text`` as the value of a quantity, given what the student stated before.

        stated: name to text, or to a number in SI units as ``Attempt.stated`` has it; what cannot be read is ignored.
        Raises UnknownQuantity for ``name``. Text that cannot be read gives a verdict of kind ``unreadable``.
        """
        quantity = self.circuit.lesson.quantity(name)
        lesson = self.lesson.holding((quantity,))
        earlier: dict[Quantity, Fraction] = {}
        for other, words in (stated or {}).items():
            try:
                place = self.circuit.lesson.quantity(other)
            except UnknownQuantity:
                continue
            value = _stated_value(words, place, lesson)
            if place != quantity and value is not None:
                earlier[place] = value
        return judge(lesson, text, quantity, earlier, earlier=OUTSIDE_ATTEMPT)

    def begin(self) -> Attempt:
        """A fresh attempt."""
        return Attempt(self)


@dataclass(frozen=True)
class Attempt:
    """One student's work on a problem: statement in, new attempt and verdict out.

    values: what the student holds each quantity to be, true or not, in order of statement. settled: those that are
    true, or were shown. shown: those that the last rung gave away. carried: those right from an earlier slip, which
    earns the method its mark and no more. log: every statement with its verdict. rungs: how many rungs are open.
    standings: how far each question has come.
    """

    problem: Problem
    values: Mapping[Quantity, Fraction] = field(default_factory=dict)
    settled: frozenset[Quantity] = frozenset()
    shown: frozenset[Quantity] = frozenset()
    carried: frozenset[Quantity] = frozenset()
    log: tuple[tuple[str, Verdict], ...] = ()
    rungs: Mapping[Quantity, int] = field(default_factory=dict)
    standings: Standings = field(default_factory=Standings)

    @property
    def stated(self) -> Mapping[str, Fraction]:
        """Name to value of what is settled: right or shown; a formula, as sympy has it, in a circuit of names."""
        right = {canonical(key): value for key, value in self.values.items() if key in self.settled}
        kept = Fraction | Phasor
        return {name: value if isinstance(value, kept) else to_sympy(value) for name, value in right.items()}

    def with_method(self, method: str) -> Attempt:
        """The same attempt gone on with by another method: all that is stated stays.

        Rungs are those of the other method's steps, so none is open yet but where a step was shown.

        Raises MethodNotBuilt, NoWalk, NotSuperposable.
        """
        self.problem.circuit.lesson.walk(self.problem.asked, method)
        rungs = {quantity: rung for quantity, rung in self.rungs.items() if quantity in self.shown}
        return replace(self, problem=replace(self.problem, method=method), rungs=rungs)

    @cached_property
    def lesson(self) -> Lesson:
        """The problem's lesson, which speaks of single sources where the student has."""
        return self.problem.lesson.holding(self.values)

    @property
    def hints_open(self) -> Mapping[str, int]:
        """Name to the number of rungs opened for that step or question."""
        return self.standings.rungs | {canonical(quantity): rungs for quantity, rungs in self.rungs.items()}

    @property
    def done(self) -> bool:
        """Whether every ask is right or shown."""
        return self.asked_now is None

    @property
    def asked_now(self) -> Quantity | Question | None:
        """The first ask that is still open."""
        return next((ask for ask in self.problem.agenda if not self._is_settled(ask)), None)

    def _is_settled(self, ask: Quantity | Question) -> bool:
        return ask in self.settled if isinstance(ask, Quantity) else self.standings.settled(ask)

    @cached_property
    def _guidance(self) -> Guidance | None:
        """The cheapest way on from what is stated; None where no value is asked."""
        target, problem = self.asked_now, self.problem
        if not isinstance(target, Quantity):
            return None
        here = standing(problem.lesson, self.settled, (verdict for _, verdict in self.log))
        return next_step(problem.lesson, target, here, problem.method)

    @property
    def next_step(self) -> Step | Asked | None:
        """The next step from what is stated towards the first open ask, or the question; None when all is done."""
        asked = self.asked_now
        if asked is not None and not isinstance(asked, Quantity):
            return Asked(asked)
        return self._guidance.step if self._guidance is not None else None

    def state(self, text: str) -> tuple[Attempt, Verdict]:
        """The attempt after a statement, and what there is to say to it. Never raises."""
        question = self.asked_now
        if question is not None and not isinstance(question, Quantity):
            answer = question.judge(text, self.standings.of(question))
            if answer is not None:
                log, standings = (*self.log, (text, answer.verdict)), self.standings.answered(question, answer)
                return replace(self, log=log, standings=standings), answer.verdict
        after, verdict = self._state_of_circuit(text)
        if verdict.kind == "unreadable" and self.standings.answers(
            text, (each.question for each in self.problem.posed)
        ):
            return replace(self, log=(*self.log, (text, ANSWERED))), ANSWERED
        return after, verdict

    def _state_of_circuit(self, text: str) -> tuple[Attempt, Verdict]:
        """A statement about the circuit, judged as one towards the step at hand."""
        step = self._guidance.step if self._guidance is not None else None
        asked = step.target if step is not None else next(reversed(self.problem.asked), None)
        # replies and help speak of one law, whichever way the student has come
        is_own = step is None or step.law == stated.KEY
        lesson = self.problem.lesson if step is None or is_own else self.problem.lesson.with_step(step)
        verdict = judge(lesson, text, asked, self.values, self._equations)
        after = replace(self, log=(*self.log, (text, verdict)))
        quantity, value = verdict.quantity, verdict.value
        if verdict.kind in SETTLES and value is None and quantity is not None:
            # in a circuit of names the value is the formula itself
            value = self.problem.lesson.holding((quantity,)).values[quantity]
        given = quantity is not None and self.problem.lesson.holding((quantity,)).is_given(quantity)
        if quantity is None or value is None or quantity in self.settled or given:
            return after, verdict
        # a value stated anew stands where it was put right, so that the working reads in order
        others = {key: kept for key, kept in self.values.items() if key != quantity}
        after = replace(after, values={**others, quantity: value}, carried=self.carried - {quantity})
        if verdict.kind in SETTLES:
            after = replace(after, settled=self.settled | {quantity})
        elif verdict.kind == "right-carried":
            after = replace(after, carried=self.carried | {quantity})
        return after, verdict

    @property
    def _equations(self) -> tuple[Mapping[Quantity, Fraction], ...]:
        """The true equations stated so far, as rows over the quantities."""
        return tuple(row for _, verdict in self.log for row in verdict.rows)

    def may(self, text: str) -> str:
        """The answer to “may I use … here?”: whether a law holds there, and why. No try is counted."""
        step = self.next_step
        return may_i(self.problem.lesson, text, NOWHERE if step is None else step.place)

    def hint(self) -> tuple[Attempt, Hint | None]:
        """The next rung for the next step. The last rung gives the step away: it then counts as shown."""
        step = self.next_step
        if isinstance(step, Asked):
            return self._question_hint(step.question)
        if step is None:
            return self, None
        rung = min(self.rungs.get(step.target, 0) + 1, len(RUNGS))
        text = step.hint(rung - 1)
        tip = self.problem.tips.get(step.quantity)
        if rung == 1 and tip:
            text = f"{text} {tip}"
        if rung == 1 and self._guidance is not None:
            text = " ".join([*map(_unknown_named, self._guidance.assumed), text])
        after = replace(self, rungs={**self.rungs, step.target: rung})
        if rung == len(RUNGS):
            after = after._with_shown(step)
        return after, Hint(rung, len(RUNGS), text, step.place, step.quantity)

    def _question_hint(self, question: Question) -> tuple[Attempt, Hint]:
        """The next rung for a question; after the last one it counts as shown."""
        standings, rungs = self.standings.helped(question), question.rungs
        opened = standings.of(question).rungs
        text, place = rungs[opened - 1]
        return replace(self, standings=standings), Hint(opened, len(rungs), text, place, question.name)

    def taken_back(self, earlier: Attempt) -> Attempt:
        """An earlier attempt, by the method of this one, in which the rungs that were opened since stay open."""
        standings = earlier.standings.with_rungs_of(self.standings)
        return replace(earlier, problem=self.problem, rungs=self.rungs, standings=standings)

    def _with_shown(self, step: Step) -> Attempt:
        value = self.problem.lesson.values[step.target]
        return replace(
            self,
            values={**self.values, step.target: value},
            settled=self.settled | {step.target},
            shown=self.shown | {step.target},
        )

    def counterexample(self) -> str | None:
        """Where the wrong move named last plainly fails, in words; None where nothing short shows it."""
        last = last_move(verdict for _, verdict in self.log)
        return failing(self.lesson, *last) if last is not None else None

    @property
    def review(self) -> tuple[Pair, ...]:
        """The line of each wrong move that was named, beside the right one; of steps that are settled, in order."""
        named = [verdict for _, verdict in self.log if verdict.quantity in self.settled]
        own = {
            verdict.quantity: verdict.value for _, verdict in self.log if verdict.quantity and verdict.value is not None
        }
        found = [pair(verdict, self.lesson, own) for verdict in named]
        return tuple(dict.fromkeys(two for two in found if two is not None))

    @property
    def outlook(self) -> tuple[str, ...]:
        """Sentences that lead on from the last ask, once all is done."""
        last = self.problem.agenda[-1:]
        return outlook(self.problem.lesson, last[0]) if self.done and last and isinstance(last[0], Quantity) else ()

    @property
    def working(self) -> tuple[Line, ...]:
        """What stands on the sheet: every settled quantity in order, then those that are not right yet."""
        lines = [self._line(quantity) for quantity in self.values if quantity in self.settled]
        return (*lines, *(self._line(quantity) for quantity in self.values if quantity not in self.settled))

    def _line(self, quantity: Quantity) -> Line:
        return line_of(self.lesson, quantity, self.values[quantity], self._status(quantity))

    def _status(self, quantity: Quantity) -> str:
        if quantity in self.shown:
            return "shown"
        if quantity in self.settled:
            return "right"
        return "carried" if quantity in self.carried else "not yet"


def _unknown_named(assumed: Step) -> str:
    """That a quantity goes by a letter for now."""
    label, letter = assumed.label, assumed.rule.fields["letter"]
    return say("hint.unknown-kept" if letter == label else "hint.unknown", label=label, letter=letter)


def _stated_value(words: object, place: Quantity, lesson: Lesson) -> Fraction | None:
    """The value that an earlier statement gave a quantity; None where it cannot be read as one."""
    if isinstance(words, Fraction | int):
        return Fraction(words)
    said = judge(lesson, words, place, {}, OUTSIDE_ATTEMPT) if isinstance(words, str) else None
    return said.value if said is not None and said.quantity == place else None


def ask(
    circuit: Circuit, *names: str, method: str = LAWS, title: str = "", statement: str = "", lot: int = 0
) -> Problem:
    """A problem on any circuit, asking these in this order; without names, ``V_out``.

    names: quantities, or asks of other kinds as text, such as ``slip V_out``. lot: the number by which such an ask
    chooses where it has a choice. Raises UnknownQuantity, AskFault, NoNegativeFeedback, NoWalk, NoSolution,
    MethodNotBuilt.
    """
    asked, posed = agenda_of(circuit.lesson, names or ("V_out",), lot)
    problem = Problem(circuit, asked, method, title, statement, posed=posed)
    circuit.lesson.walk(problem.targets, method)
    return problem
