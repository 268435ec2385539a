"""A family compiled: the walk to its asks and their wrong moves as fast functions, and whether a draw is fit to ask.

The laws of a circuit do not depend on its values, but on which of them are 0 (a silent source, a wiper at its end). So
a family has a plan for each pattern of zeros, made when a draw first has it.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property, partial
from itertools import product
from typing import Any, NamedTuple

from problems.answers.tolerance import SHARE, ZERO_SHARE
from problems.circuits.netlist import Netlist
from problems.circuits.solution import NoSolution
from problems.derivation.affine import Affine
from problems.derivation.law import LAWS, NODES, Law, Misuse
from problems.derivation.lesson import Lesson
from problems.derivation.reductions import true_values
from problems.formulas.expression import ZERO, Call, Expression, Name, Sum, keys, nodes
from problems.quantities import GROUND, Quantity, voltage
from problems.templates.closures import Formula, closure
from problems.templates.definition import Ask, Definition
from problems.templates.keep import Rule, Test, close
from problems.templates.twin import KEY
from problems.templates.working import further_workings

APART = 2 * SHARE
"""How far a known wrong value stands from the right one, as a share of it: twice the tolerance."""
CANCELLED = 2 * ZERO_SHARE
"""A sum smaller than this share of its largest term is neither a clean zero nor a clean value."""
_RESIDUE = 1e-13
"""What floats leave of an exact zero is below this; the smallest currents asked are far above."""
_PRIMES = (29, 37, 41, 43, 47, 53, 59, 61, 67)
_APART, _CANCELLED, _SHARE, _ZERO_SHARE = float(APART), float(CANCELLED), float(SHARE), float(ZERO_SHARE)


class Refusal(NamedTuple):
    """Why a draw is not fit. reason: ``rule``, ``near``, ``apart``, ``rounding``, ``cancelled``, ``unsolved``, ``ask``.

    about: the rule, the quantity, or what stands against a question. move: the wrong move in the way, or what to do.
    """

    reason: str
    about: str = ""
    move: str = ""


class _Step(NamedTuple):
    """A law of the walk. slot: where its head stands in the row. sums: each sum in it, and its terms. tails: slots."""

    slot: int
    formula: Formula
    law: Law
    sums: tuple[tuple[Formula, tuple[Formula, ...]], ...]
    tails: tuple[int, ...]


class _Move(NamedTuple):
    """A wrong move. sizes: what it takes the size of, if that is all that is wrong: void while none is negative."""

    key: str
    formula: Formula
    relation: Expression
    sizes: tuple[Formula, ...]


@dataclass(frozen=True)
class _Question:
    """An ask with the wrong moves that can act on it. slot: where its quantity stands in the row."""

    ask: Ask
    label: str
    slot: int
    moves: tuple[_Move, ...]


class Draw:
    """The values of one draw, in floats and, where those do not decide, exactly."""

    def __init__(self, plan: Plan, values: Mapping[str, Fraction]):
        self.plan, self.values = plan, values
        self.row = plan.row(self)

    @cached_property
    def exact(self) -> Mapping[Any, Fraction]:
        """Every quantity and symbol."""
        return true_values(self.plan.netlist.with_values(self.values), self.plan.lesson.laws.defining)

    @cached_property
    def cancelled(self) -> frozenset[int]:
        """Slots of the zeros that come from terms which cancel, and not from a law: they are judged with some room."""
        found: set[int] = set()
        for step in self.plan.rounded:
            if is_zero(self.row[step.slot]) and (
                any(not is_zero(term(self.row)) for _, terms in step.sums for term in terms)
                or any(slot in found for slot in step.tails)
            ):
                found.add(step.slot)
        return frozenset(found)

    def room(self, slot: int, share: float, zero_share: float) -> float:
        """How far from the right value a share of it reaches; at a zero, a share of the largest of its kind."""
        right = self.row[slot]
        if not is_zero(right):
            return share * abs(right)
        if slot not in self.cancelled:
            return 0.0
        slots = self.plan.currents if slot in self.plan.currents else self.plan.voltages
        return zero_share * max(abs(self.row[other]) for other in slots)


class Plan:
    """How draws of one pattern of zeros are judged. Raises NoSolution, NoNegativeFeedback and NoWalk when made."""

    def __init__(self, definition: Definition, values: Mapping[str, Fraction]):
        self.netlist = definition.netlist.with_values(values)
        self.lesson = replace(Lesson.of(self.netlist).teaching(definition.targets), recalled=definition.recalled)
        self.walk = self.lesson.laws.walk(definition.targets)
        by_nodes = tuple(_settling(self.lesson, definition.targets, NODES))
        self.chain = self._chain(definition, by_nodes)
        self.slots = self._slots(definition)
        self.steps = tuple(self._step(law) for law in self.chain or ())
        self.rounded = tuple(self._step(law) for law in _settling(self.lesson, definition.targets))
        self.by_nodes = tuple(self._step(law) for law in by_nodes if not law.given)
        self.rules: tuple[tuple[str, Rule, Test], ...] = tuple(
            (text, rule, rule.test(self.slots)) for text, rule in definition.rules.items()
        )
        self.workings = tuple(further_workings(Lesson.of(self.netlist), definition.targets, {LAWS, NODES}, self.slots))
        self.questions = tuple(self._question(ask) for ask in definition.asks)
        self.voltages = tuple(slot for key, slot in self.slots.items() if isinstance(key, Quantity) and key.kind == "V")
        self.currents = tuple(slot for key, slot in self.slots.items() if isinstance(key, Quantity) and key.kind == "I")

    def _chain(self, definition: Definition, by_nodes: tuple[Law, ...]) -> tuple[Law, ...] | None:
        """Laws that give every quantity any formula here speaks of; None where one law at a time does not."""
        spoken: dict[Hashable, None] = dict.fromkeys((*definition.targets, *(law.head for law in by_nodes)))
        for rule in definition.rules.values():
            spoken.update(dict.fromkeys(sorted(rule.names(), key=str)))
        for target in definition.targets:
            for misuse in self.lesson.misuses(target):
                spoken.update(dict.fromkeys(sorted(keys(misuse.relation), key=str)))
        givens = tuple(law for law in self.lesson.laws.laws if law.given)
        known = {law.head for law in givens} | {voltage(GROUND)}
        wanted = tuple(key for key in spoken if isinstance(key, Quantity) and key not in known)
        laws = self.lesson.laws.walk(wanted)
        return None if laws is None or self.walk is None else (*givens, *laws)

    def _slots(self, definition: Definition) -> Mapping[Hashable, int]:
        """The row: every symbol, then every quantity."""
        heads: Iterable[Hashable] = (law.head for law in self.chain or ())
        if self.chain is None:
            heads = (*(key for key in self.lesson.values if isinstance(key, Quantity)), *definition.targets)
        names = dict.fromkeys((*self.netlist.units, voltage(GROUND), *heads))
        return {name: slot for slot, name in enumerate(names)}

    def _step(self, law: Law) -> _Step:
        sums = tuple(
            (closure(node, self.slots), tuple(closure(term, self.slots) for term in node.terms))
            for node in nodes(law.relation)
            if isinstance(node, Sum)
        )
        tails = tuple(self.slots[tail] for tail in law.tails)
        return _Step(self.slots[law.head], closure(law.relation, self.slots), law, sums, tails)

    def _question(self, ask: Ask) -> _Question:
        relations: dict[Expression, _Move] = {}
        for misuse in self.lesson.misuses(ask.quantity):
            # the formula of another circuit acts in general, if not with these zeros
            acts = misuse.key == KEY or self._acts(misuse.relation, ask.quantity)
            if keys(misuse.relation) <= self.slots.keys() and acts:
                relations.setdefault(misuse.relation, self._move(misuse, ask.quantity))
        label = self.netlist.names.write(ask.quantity)
        return _Question(ask, label, self.slots[ask.quantity], tuple(relations.values()))

    def _move(self, misuse: Misuse, quantity: Quantity) -> _Move:
        sizes = [node.argument for node in nodes(misuse.relation) if isinstance(node, Call) and node.function == "abs"]
        if sizes and self._acts(_signed(misuse.relation), quantity):
            sizes = []
        formulas = tuple(closure(size, self.slots) for size in sizes)
        return _Move(misuse.key, closure(misuse.relation, self.slots), misuse.relation, formulas)

    def _acts(self, relation: Expression, quantity: Quantity) -> bool:
        """Whether a wrong move can give another value than the right one in any variant of this pattern."""
        for values in self.others:
            try:
                if relation.at(values) != values[quantity]:
                    return True
            except (ZeroDivisionError, KeyError):
                continue
        return not self.others

    @cached_property
    def others(self) -> tuple[Mapping[Any, Fraction], ...]:
        """The circuit solved for other values with the same zeros, sources of either sign among them."""
        found = []
        for number in range(4):
            try:
                found.append(
                    true_values(self.netlist.with_values(_other(self.netlist, number)), self.lesson.laws.defining)
                )
            except NoSolution:
                continue
        return tuple(found)

    def row(self, draw: Draw) -> list[float]:
        """All values of a draw as floats."""
        row = [0.0] * len(self.slots)
        if self.chain is None:
            for name, slot in self.slots.items():
                row[slot] = float(draw.exact[name])
            return row
        values = {**self.netlist.values, **draw.values}
        for slot, name in enumerate(self.netlist.units):
            row[slot] = float(values[name])
        for step in self.steps:
            row[step.slot] = step.formula(row)
        return row

    def judge(self, values: Mapping[str, Fraction]) -> Refusal | None:
        """Why a draw is not fit to be asked; None where it is."""
        try:
            draw = Draw(self, values)
        except (ZeroDivisionError, ValueError, KeyError):
            return Refusal("unsolved")
        return (
            self._broken_rule(draw)
            or self._cancelled(draw)
            or self._lost(draw, self.rounded)
            or self._lost(draw, self.by_nodes)
            or self._lost_elsewhere(draw)
            or self._near_miss(draw)
        )

    def _broken_rule(self, draw: Draw) -> Refusal | None:
        broken = (text for text, rule, test in self.rules if not _holds(rule, test, draw))
        return next((Refusal("rule", text) for text in broken), None)

    def _near_miss(self, draw: Draw) -> Refusal | None:
        """A wrong value too close to the right one; one equal to it cannot act in this variant and is no miss.

        The formula of another circuit must act in every variant: a twin that it fits would teach the wrong thing.
        """
        for question in self.questions:
            right = draw.row[question.slot]
            reach = max(draw.room(question.slot, _APART, _CANCELLED) * (1 - 1e-9), _RESIDUE)
            for move in question.moves:
                try:
                    near = abs(move.formula(draw.row) - right) <= reach
                except (ZeroDivisionError, ValueError, OverflowError):
                    continue
                if near and (move.key == KEY or not _same(move, question, draw)):
                    return Refusal("near", question.label, move.key)
            if question.ask.apart and self._merged(question, draw):
                return Refusal("apart", question.label)
        return None

    def _merged(self, question: _Question, draw: Draw) -> bool:
        """Whether two of the moves that the family wants told apart give one value."""
        right = draw.row[question.slot]
        values = [
            (move.key, wrong)
            for move in question.moves
            if move.key in question.ask.apart
            and (wrong := _value(move.formula, draw.row)) is not None
            and not close(wrong, right)
        ]
        return any(
            key != other and abs(a - b) < _APART * max(abs(a), abs(b))
            for place, (key, a) in enumerate(values)
            for other, b in values[:place]
        )

    def _cancelled(self, draw: Draw) -> Refusal | None:
        """A sum that nearly cancels: its value rests on figures that no one writes down."""
        for step in self.rounded:
            for total, terms in step.sums:
                size = abs(total(draw.row))
                largest = max(abs(term(draw.row)) for term in terms)
                if 1e-9 * largest < size < _CANCELLED * largest:
                    return Refusal("cancelled", self.netlist.names.write(step.law.head))
        return None

    def _lost(self, draw: Draw, working: tuple[_Step, ...]) -> Refusal | None:
        """Whether working rounded to three figures at every step leaves the tolerance at one that is asked.

        working: the steps of the walk by laws, or of that by node equations: a student may go either way.

        Halves are rounded both ways: away from zero as the program prints them, and towards it as some people do. What
        a step gives before it is rounded must be right too: some type the sum and not its result. So must what it gives
        from the true values, each rounded by itself, for so the program prints its numbers.
        """
        asked = {question.slot: question.label for question in self.questions}
        for nudge in NUDGES:
            row = list(draw.row)
            printed = [_three_figures(nudge, value) for value in row]
            for step in working:
                raw = step.formula(row)
                row[step.slot] = _three_figures(nudge, raw)
                room = max(draw.room(step.slot, _SHARE, _ZERO_SHARE) * (1 - 1e-9), _RESIDUE)
                off = max(abs(value - draw.row[step.slot]) for value in (raw, row[step.slot], step.formula(printed)))
                if step.slot in asked and off > room:
                    return Refusal("rounding", asked[step.slot])
        return None

    def _lost_elsewhere(self, draw: Draw) -> Refusal | None:
        """The same of working by each further method."""
        asked = {question.slot: question.label for question in self.questions}
        for working, nudge in product(self.workings, NUDGES):
            for slot, raw, written in working.rounded(draw.row, partial(_three_figures, nudge)):
                if slot in asked:
                    room = max(draw.room(slot, _SHARE, _ZERO_SHARE) * (1 - 1e-9), _RESIDUE)
                    if max(abs(value - draw.row[slot]) for value in (raw, written)) > room:
                        return Refusal("rounding", asked[slot])
        return None


NUDGES = (1 + 1e-12, 1 - 1e-12)
"""What rounds a half away from zero, and what towards it."""


def _three_figures(nudge: float, value: float) -> float:
    return float(f"{value * nudge:.3g}")


def _settling(lesson: Lesson, targets: tuple[Quantity, ...], method: str = LAWS) -> Iterator[Law]:
    """The laws of a walk's steps that end in a value, each over values found before it.

    What closes on an unknown is taken as solved: its value is rounded, whatever its equation looks like.
    """
    known = {voltage(GROUND), *(law.head for law in lesson.laws.laws if law.given)}
    for step in lesson.walk(targets, method):
        if isinstance(step.exact, Affine):
            continue
        is_formula = step.is_headed and step.role != "close" and known.issuperset(step.rule.tails)
        yield step.rule if is_formula else replace(step.rule, head=step.target, relation=Name(step.target))
        known.add(step.target)


def _other(netlist: Netlist, number: int) -> dict[str, Fraction]:
    """Values unlike each other and unlike the circuit's own; what is 0, and a setting at its end, stays so."""
    found: dict[str, Fraction] = {}
    for place, (name, value) in enumerate(netlist.values.items()):
        prime = _PRIMES[(place + 5 * number) % len(_PRIMES)]
        sign = -1 if number >> (place % 2) & 1 and netlist.units[name] in ("V", "A") else 1
        if netlist.units[name] == "":
            found[name] = value if value in (0, 1) else Fraction(prime, 71)
        else:
            found[name] = sign * value * Fraction(prime, 31)
    return found


def _holds(rule: Rule, test: Test, draw: Draw) -> bool:
    """Whether a draw meets a rule: by floats, and exactly where those are too close to say."""
    held = test(draw.row)
    if held is not None:
        return held
    try:
        return rule.holds(draw.exact)
    except ZeroDivisionError:
        return False


def _same(move: _Move, question: _Question, draw: Draw) -> bool:
    """Whether the move gives exactly the right value, so that it cannot act here."""
    if not close(draw.row[question.slot], move.formula(draw.row)):
        return False
    if move.sizes and all(size(draw.row) > _RESIDUE for size in move.sizes):
        return True
    if move.relation == ZERO:
        return draw.exact[question.ask.quantity] == 0
    try:
        return bool(move.relation.at(draw.exact) == draw.exact[question.ask.quantity])
    except (ZeroDivisionError, KeyError):
        return False


def _signed(expression: Expression) -> Expression:
    """The formula with every abs(…) left off."""
    if isinstance(expression, Call) and expression.function == "abs":
        return _signed(expression.argument)
    if not expression.children:
        return expression
    return expression.with_children(tuple(_signed(child) for child in expression.children))


def _value(formula: Formula, row: list[float]) -> float | None:
    try:
        return formula(row)
    except (ZeroDivisionError, ValueError, OverflowError):
        return None


def is_zero(value: float) -> bool:
    """Whether a float is what is left of an exact zero; the smallest currents asked are far larger."""
    return abs(value) < _RESIDUE
