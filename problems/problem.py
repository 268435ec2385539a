"""The public values: a circuit, a problem on it, and one student's attempt at it. None of them ever changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

from problems.answers.counterexample import counterexample
from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.may_i import may_i
from problems.answers.review import Pair, pair
from problems.answers.standing import standing
from problems.answers.verdict import Verdict
from problems.circuits.drawing import Drawing, read_drawing
from problems.circuits.netlist import Netlist
from problems.circuits.solution import Solution, solve
from problems.derivation.guide import Guidance, next_step
from problems.derivation.law import NOWHERE, Misuse, Place
from problems.derivation.laws import stated
from problems.derivation.lesson import Lesson
from problems.derivation.outlook import outlook
from problems.derivation.step import RUNGS, Step, shown
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

    def walk(self, target: str, method: str = "laws") -> list[Step]:
        """The steps to a quantity, the last of which is the quantity itself.

        Raises UnknownQuantity, NoNegativeFeedback, NoWalk, MethodNotBuilt, NoSolution.
        """
        return list(self.lesson.walk((self.lesson.quantity(target),), method))

    @cached_property
    def lesson(self) -> Lesson:
        """All that this circuit has to teach."""
        return Lesson.of(self)


class Hint(NamedTuple):
    """One rung of help. rung: 1 to ``of``. place: what to light up in the drawing."""

    rung: int
    of: int
    text: str
    place: Place
    quantity: str


class Line(NamedTuple):
    """One line of the working as a student would write it.

    quantity: its name. label: the same as the drawing has it, ``V_2`` for ``V_U1.2``. status: ``right``, ``carried``
    (right from an earlier slip), ``shown`` or ``not yet``.
    """

    quantity: str
    label: str
    relation: str
    value: str
    law: str
    status: str


@dataclass(frozen=True)
class Problem:
    """A circuit with values and what is asked of it, in order. Build with ``ask`` or ``Family.problem``."""

    circuit: Circuit
    asked: tuple[Quantity, ...]
    method: str = "laws"
    title: str = ""
    statement: str = ""
    setting: str = ""
    caution: str = ""
    tips: Mapping[str, str] = field(default_factory=dict)
    recalled: Mapping[Quantity, tuple[Misuse, ...]] = field(default_factory=dict)

    @property
    def asks(self) -> tuple[str, ...]:
        """Names of the quantities asked."""
        return tuple(canonical(quantity) for quantity in self.asked)

    @property
    def drawing(self) -> str:
        """The drawing as its author wrote it; empty for a circuit built without one."""
        return "\n".join(self.circuit.drawing.rows) if self.circuit.drawing is not None else ""

    @cached_property
    def lesson(self) -> Lesson:
        """The circuit's lesson, by the laws of this problem's own walk."""
        return replace(self.circuit.lesson.teaching(self.asked, self.method), recalled=self.recalled)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """Every step of the walks to what is asked, each once."""
        return self.lesson.walk(self.asked, self.method)

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
    """

    problem: Problem
    values: Mapping[Quantity, Fraction] = field(default_factory=dict)
    settled: frozenset[Quantity] = frozenset()
    shown: frozenset[Quantity] = frozenset()
    carried: frozenset[Quantity] = frozenset()
    log: tuple[tuple[str, Verdict], ...] = ()
    rungs: Mapping[Quantity, int] = field(default_factory=dict)

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
        """Name to the number of rungs opened for that step."""
        return {canonical(quantity): rungs for quantity, rungs in self.rungs.items()}

    @property
    def done(self) -> bool:
        """Whether every ask is right or shown."""
        return all(quantity in self.settled for quantity in self.problem.asked)

    @property
    def asked_now(self) -> Quantity | None:
        """The first ask that is still open."""
        return next((quantity for quantity in self.problem.asked if quantity not in self.settled), None)

    @cached_property
    def _guidance(self) -> Guidance | None:
        """The cheapest way on from what is stated."""
        target, problem = self.asked_now, self.problem
        if target is None:
            return None
        here = standing(problem.lesson, self.settled, (verdict for _, verdict in self.log))
        return next_step(problem.lesson, target, here, problem.method)

    @property
    def next_step(self) -> Step | None:
        """The next step from what is stated towards the first open ask; None when all is done."""
        return self._guidance.step if self._guidance is not None else None

    def state(self, text: str) -> tuple[Attempt, Verdict]:
        """The attempt after a statement, and what there is to say to it. Never raises."""
        step = self.next_step
        asked = step.target if step is not None else self.problem.asked[-1]
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
        verdict = next((verdict for _, verdict in reversed(self.log) if verdict.quantity is not None), None)
        if verdict is None or verdict.move is None or verdict.quantity is None:
            return None
        found = counterexample(self.lesson.holding((verdict.quantity,)), verdict.quantity, verdict.move)
        return found.text if found is not None else None

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
        return outlook(self.problem.lesson, self.problem.asked[-1]) if self.done else ()

    @property
    def working(self) -> tuple[Line, ...]:
        """What stands on the sheet: every settled quantity in order, then those that are not right yet."""
        lines = [self._line(quantity) for quantity in self.values if quantity in self.settled]
        return (*lines, *(self._line(quantity) for quantity in self.values if quantity not in self.settled))

    def _line(self, quantity: Quantity) -> Line:
        step = self.lesson.step_for(quantity)
        relation = str(step.relation) if step is not None else canonical(quantity)
        value = shown(self.values[quantity], quantity.unit)
        label = self.problem.circuit.names.head(quantity)
        return Line(
            canonical(quantity), label, relation, value, step.name if step is not None else "", self._status(quantity)
        )

    def _status(self, quantity: Quantity) -> str:
        if quantity in self.shown:
            return "shown"
        if quantity in self.settled:
            return "right"
        return "carried" if quantity in self.carried else "not yet"


def _unknown_named(assumed: Step) -> str:
    """That a quantity goes by a letter for now."""
    return say("hint.unknown", label=assumed.label, letter=assumed.rule.fields["letter"])


def _stated_value(words: object, place: Quantity, lesson: Lesson) -> Fraction | None:
    """The value that an earlier statement gave a quantity; None where it cannot be read as one."""
    if isinstance(words, Fraction | int):
        return Fraction(words)
    said = judge(lesson, words, place, {}, OUTSIDE_ATTEMPT) if isinstance(words, str) else None
    return said.value if said is not None and said.quantity == place else None


def ask(circuit: Circuit, *names: str, method: str = "laws", title: str = "", statement: str = "") -> Problem:
    """A problem on any circuit, asking these quantities in this order; without names, ``V_out``.

    Raises UnknownQuantity, NoNegativeFeedback, NoWalk, NoSolution, MethodNotBuilt.
    """
    asked = tuple(circuit.lesson.quantity(name) for name in names or ("V_out",))
    circuit.lesson.walk(asked, method)
    return Problem(circuit, asked, method, title, statement)
