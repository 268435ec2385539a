"""All that one circuit has to teach: its exact values, its laws, its walks and its wrong moves."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from contextlib import suppress
from copy import copy
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Any

from problems.circuits.equations import unvalued
from problems.circuits.feedback import NEGATIVE, NONE, feedback
from problems.circuits.netlist import Netlist
from problems.circuits.off import alone
from problems.circuits.situations import situation
from problems.circuits.solution import ramp_of
from problems.derivation.affine import one_like
from problems.derivation.cases import Case
from problems.derivation.contribution import (
    Contributions,
    NotSuperposable,
    NotSuperposableInTime,
    SuperposedLaws,
    superposed_laws,
    tagged_law,
)
from problems.derivation.faults import MethodNotBuilt, NoNegativeFeedback, NoWalk
from problems.derivation.law import LAWS, Law, Misuse
from problems.derivation.lawset import LawSet, law_set
from problems.derivation.methods.registry import methods
from problems.derivation.reactive import walks as reactive
from problems.derivation.reactive.joint import (
    is_elsewhere,
    is_joint,
    joint_law,
    law_in_state,
    misuse_in_state,
)
from problems.derivation.reactive.misuses import joint_misuses, likeliest_first, with_phasor_misuses
from problems.derivation.search import reach, teaching_order
from problems.derivation.step import Step, WrongMove, different
from problems.derivation.truth import Truth
from problems.derivation.view import zero_branches
from problems.derivation.writer import Writer
from problems.formulas.expression import Expression
from problems.formulas.ratio import Field
from problems.quantities import GROUND, LAPLACE, Quantity, UnknownQuantity, canonical, is_made, voltage

SUPERPOSITION = "superposition"


@dataclass(frozen=True)
class Lesson:
    """One circuit with its values. Build with ``Lesson.of(netlist)``."""

    netlist: Netlist
    laws: LawSet
    feedback: Mapping[str, str]
    taught: Mapping[Quantity, Law] = field(default_factory=dict)
    """Laws by which a problem's own walk finds its quantities, where it has asked for some."""
    method: str = LAWS
    """The method by which its quantities are taught."""
    known: Mapping[Any, Any] | None = None
    """Values of the symbols as the whole circuit has them, where some are only names and this is one source alone."""
    recalled: Mapping[Quantity, tuple[Misuse, ...]] = field(default_factory=dict)
    """Wrong moves that no law here has, such as the formula of a circuit that looks like this one."""
    ring: Field | None = None
    """What the formulas are made of, where that is settled by the lesson of which this one is a state."""
    shared: Truth | None = field(default=None, repr=False, compare=False)
    """What is true of the circuit, where another lesson of it has that worked out."""

    @classmethod
    def of(cls, netlist: Netlist, ring: Field | None = None) -> Lesson:
        """The lesson of a circuit; raises NoSolution where it contradicts itself."""
        if netlist.regime == "dc":
            netlist = situation(netlist, "f=0")
        elif netlist.regime == "ramp":
            netlist = ramp_of(netlist)
        signs = feedback(netlist)
        return cls(netlist, law_set(netlist, signs, zero_branches(netlist)), signs, ring=ring)

    @cached_property
    def truth(self) -> Truth:
        """What is true of the circuit whichever laws it is taught by."""
        return self.shared or Truth(self)

    def in_state(self, state: str) -> Lesson:
        """The lesson of the circuit in one state, such as ``f=0``. Raises NoSolution where it has none."""
        return self.truth.in_state(state)

    @property
    def joint_relations(self) -> Mapping[Quantity, Expression]:
        """Formulas of what follows from the states of the circuit, such as its corner frequency."""
        return self.truth.joint_relations

    @cached_property
    def is_numeric(self) -> bool:
        """Whether every value is known."""
        return self.known is None and not unvalued(self.netlist)

    @property
    def is_in_s(self) -> bool:
        """Whether every value is known, and formulas are in Laplace's s alone."""
        return self.known is None and unvalued(self.netlist) == (LAPLACE,)

    @property
    def symbols(self) -> Mapping[Any, Any]:
        """Every part symbol with its value: a Fraction, or an element of a field where some are only names."""
        return self.truth.symbols

    @cached_property
    def values(self) -> Mapping[Any, Any]:
        """Every quantity and symbol with its true value; contributions where this lesson speaks of them."""
        contributions = self.contributions
        if contributions is None:
            return self.truth.values
        found = copy(self.truth.values)
        found.update(contributions.values)
        return found

    @property
    def givens(self) -> frozenset[Quantity]:
        """What is known without a step: what sources state."""
        return self.laws.givens

    def is_given(self, quantity: Quantity) -> bool:
        """Whether it needs no statement: what a source states, and the voltage of ground."""
        if quantity.when:
            return self.in_state(quantity.when).is_given(quantity._replace(when=""))
        return quantity in self.givens or quantity == voltage(GROUND)

    @property
    def given_values(self) -> Mapping[Quantity, Any]:
        """Values of the givens, ground among them."""
        return self.truth.givens

    def quantity(self, name: str) -> Quantity:
        """The quantity of that name. Raises UnknownQuantity, also for what only other circuits are made to have."""
        found = self.netlist.names.read(name)
        if is_made(found) and not self.makes(found):
            raise UnknownQuantity(name, tuple(canonical(law.head) for law in self.laws.defining))
        return found

    def makes(self, quantity: Quantity) -> bool:
        """Whether an engine-made quantity is one of this circuit, or of the circuit with its one source on."""
        laws = self.laws
        if quantity.source:
            own = self.superposed.laws
            parts = own.parts if isinstance(own, SuperposedLaws) else {}
            if quantity.source not in parts:
                return False
            laws = parts[quantity.source]
        return any(law.head == quantity.by("") for law in laws.defining)

    def laws_for(self, quantity: Quantity) -> tuple[Law, ...]:
        """Every law that gives a quantity."""
        if is_joint(quantity, self):
            law = joint_law(quantity, self)
            return () if law is None else (law,)
        if quantity.when:
            inner = self.in_state(quantity.when).laws_for(quantity._replace(when=""))
            return tuple(law_in_state(law, quantity.when) for law in inner)
        return self.laws.headed_by(quantity)

    def walk(self, targets: Iterable[Quantity], method: str = LAWS) -> tuple[Step, ...]:
        """The steps to each target in turn, every one once.

        Raises NoNegativeFeedback where the rules do not hold, NoSolution, NoWalk, MethodNotBuilt, NotSuperposable.
        """
        self.check_rules_hold()
        self.check_consistent()
        if method not in methods():
            raise MethodNotBuilt(method)
        if method == SUPERPOSITION:
            self.check_superposable()
        asked = tuple(targets)
        if any(is_elsewhere(target, self) for target in asked):
            return reactive.walk(self, asked, method)
        # a contribution is found in the circuit of its source, whichever method the rest goes by
        return methods()[SUPERPOSITION if any(target.source for target in asked) else method](self, asked)

    @cached_property
    def superposed(self) -> Lesson:
        """The same lesson, which speaks of what each source contributes as well. Raises NotSuperposable."""
        if self.contributions is not None:
            return self
        self.check_superposable()
        lesson = replace(self, laws=superposed_laws(self.laws), shared=None)
        if self.is_numeric:
            _contributions(self.netlist, lesson.laws).check()
        return lesson

    def check_superposable(self) -> None:
        """Raises NotSuperposableInTime where quantities run in time."""
        if self.netlist.regime == "t":
            raise NotSuperposableInTime

    @property
    def contributions(self) -> Contributions | None:
        """What each source does alone, in a lesson that speaks of it."""
        return _contributions(self.netlist, self.laws) if isinstance(self.laws, SuperposedLaws) else None

    def holding(self, quantities: Iterable[Quantity | None]) -> Lesson:
        """The lesson that speaks of these: of contributions only where one is among them."""
        if any(quantity is not None and quantity.source for quantity in quantities):
            with suppress(NotSuperposable):
                return self.superposed
        return self

    def adding(self, quantity: Quantity | None, named: Iterable[Quantity]) -> Lesson:
        """The lesson for a quantity of which contributions are named: it is taught as their sum."""
        if quantity is None or quantity.source or not any(key.source and key.by("") == quantity for key in named):
            return self
        lesson = self.holding(named)
        law = lesson.laws.sum_for(quantity) if isinstance(lesson.laws, SuperposedLaws) else None
        return lesson if law is None else replace(lesson, taught={**lesson.taught, quantity: law})

    def cases(self, target: Quantity) -> tuple[Case, ...]:
        """The circuits in which superposition finds what the sources give to a quantity, in order."""
        tags = dict.fromkeys(step.target.source for step in self.walk((target,), SUPERPOSITION))
        return tuple(self.case(tag) for tag in tags if tag)

    def case(self, source: str) -> Case:
        """The circuit with one source on, by the source's name or that of its copy."""
        return Case(source, alone(self.netlist, source), self.netlist)

    def check_rules_hold(self) -> None:
        """Raises NoNegativeFeedback where an op-amp's loop is not negative."""
        wrong = tuple(name for name, sign in self.feedback.items() if sign != NEGATIVE)
        if wrong:
            raise NoNegativeFeedback(wrong, stuck=all(self.feedback[name] == NONE for name in wrong))

    def check_consistent(self) -> None:
        """Raises NoSolution where the circuit contradicts itself: laws would then lead to several values at once."""
        if self.is_numeric and self.netlist.regime:
            _ = self.truth.values
        elif self.is_numeric:
            _ = self.truth.solved

    def next_law(
        self, known: Collection[Quantity], target: Quantity, own: Sequence[Law] = (), method: str = LAWS
    ) -> Law | None:
        """The first law of the cheapest way to ``target`` from what is known; None where no one law leads on.

        own: laws that the student has stated, beside those of the circuit and the method.
        """
        if is_elsewhere(target, self):
            return reactive.next_law(self, known, target, own, method)
        ways = reach((*own, *self.laws.laws_with(target, method)), known, target)
        if target not in ways:
            return None
        laws = [law for law in teaching_order(target, ways, known) if not law.given or law.head == target]
        return laws[0] if laws else None

    def step(self, law: Law) -> Step:
        """One law as a step, on the true values."""
        value = self.values.get(law.head)
        return self._made(law, law.relation.at(self.values) if value is None else value, self.values)

    def step_for(self, quantity: Quantity) -> Step | None:
        """The step by which the walk reaches a quantity; None for one that no law gives."""
        law = self.own_law(quantity)
        return None if law is None else self.step(law)

    def own_law(self, quantity: Quantity) -> Law | None:
        """The law that a quantity is taught by: the problem's own, else that of the walk to it alone."""
        if is_elsewhere(quantity, self):
            return self.taught.get(quantity) or self._law_elsewhere(quantity)
        if quantity.source and quantity not in self.taught:
            return self._law_alone(quantity)
        law = self.taught.get(quantity) or self.laws.walked_law(quantity, self.method)
        if law is None and quantity in self.values and self.laws.headed_by(quantity):
            law = self._carried_law(quantity) or self.laws.own_law(quantity)
        return law

    def _law_elsewhere(self, quantity: Quantity) -> Law | None:
        """The law of a quantity in one state, or of what follows from states."""
        if is_joint(quantity, self):
            return joint_law(quantity, self)
        law = self.in_state(quantity.when).own_law(quantity._replace(when=""))
        return None if law is None else law_in_state(law, quantity.when)

    def _law_alone(self, quantity: Quantity) -> Law | None:
        """The law that a contribution is taught by, in the circuit of its source."""
        law, source, contributions = self.laws.walked_law(quantity), quantity.source, self.contributions
        if law is None and contributions is not None and source in contributions.lessons:
            found = contributions.lessons[source].own_law(contributions.laws.within(quantity, source))
            return None if found is None else tagged_law(found, source)
        return law

    def _carried_law(self, quantity: Quantity) -> Law | None:
        """The law that gives a quantity in a walk with unknowns; none for an unknown itself, which a law closes on."""
        try:
            last = self.written((quantity,), self.method)[-1]
        except NoWalk:
            return None
        return last.rule if last.is_headed else None

    def with_taught(self, taught: Mapping[Quantity, Law], method: str) -> Lesson:
        """The same lesson by other laws, with all that it has worked out: its values do not depend on them."""
        return replace(self, taught=taught, method=method, shared=self.truth)

    def teaching(self, targets: Iterable[Quantity], method: str = LAWS) -> Lesson:
        """The same lesson for a problem that asks these: its replies speak of the laws of the problem's own walk."""
        steps = self.walk(targets, method)
        lesson = self.superposed if any(step.target.source for step in steps) else self
        return lesson.with_taught({step.target: step.rule for step in steps if step.is_headed}, method)

    def with_step(self, step: Step) -> Lesson:
        """The lesson in which a quantity is taught by the step at hand, where that goes another way than the walk."""
        if not step.is_headed or self.taught.get(step.target) == step.rule:
            return self
        return self.with_taught({**self.taught, step.target: step.rule}, self.method)

    def stepped(self, laws: tuple[Law, ...]) -> tuple[Step, ...]:
        """Laws in teaching order as steps."""
        env: dict[Any, Any] = {**self.symbols, **self.given_values}
        steps = []
        for law in laws:
            env[law.head] = law.relation.at(env)
            steps.append(self._made(law, env[law.head], env))
        return tuple(steps)

    def written(self, targets: tuple[Quantity, ...], method: str, known: Iterable[Quantity] = ()) -> tuple[Step, ...]:
        """A walk by the laws of a method in which some law had to close on an unknown.

        known: what stands on the page before it.
        """
        one = one_like(next(iter(self.symbols.values()), Fraction(1)))
        page = {quantity: self.values[quantity] for quantity in sorted(known) if quantity in self.values}
        writer = Writer(self.laws, {**self.symbols, **self.given_values, **page}, one, self._stated, method)
        writer.done.update(dict.fromkeys(page))
        for target in targets:
            writer.add(target)
        return tuple(writer.steps)

    def stated(self, law: Law, value: Any, env: Mapping[Any, Any]) -> Step:
        """One law as a step of a walk, on the values that the walk has found."""
        return self._made(law, value, env)

    def _stated(self, law: Law, quantity: Quantity, value: Any, env: dict[Any, Any], role: str) -> Step:
        return self._made(law, value, env, role, quantity)

    def _made(
        self, law: Law, value: Any, env: Mapping[Any, Any], role: str = "law", target: Quantity | None = None
    ) -> Step:
        target = target or law.head
        names = self.netlist.names
        contributions = self.contributions if target.source else None
        if contributions is not None and target.source in contributions.lessons:
            names = contributions.lessons[target.source].netlist.names
        return Step(target, law, value, env, names, self.netlist.units, self.wrong_moves, role)

    def misuses(self, quantity: Quantity) -> tuple[Misuse, ...]:
        """Wrong moves of the step that gives a quantity, as formulas; likeliest first."""
        if is_joint(quantity, self):
            return joint_misuses(quantity, self)
        if quantity.when:
            inner = self.in_state(quantity.when).misuses(quantity._replace(when=""))
            state = quantity.when
            return self.laws.reactive.of(state, (inner,), lambda: [misuse_in_state(misuse, state) for misuse in inner])
        found = self.laws.misuses(quantity, self.own_law(quantity))
        found = with_phasor_misuses(found, quantity, self) if self.netlist.regime in ("s", "f") else found
        recalled = self.recalled.get(quantity)
        if not recalled:
            return found
        return self.laws.reactive.of("recalled", (recalled, found), lambda: likeliest_first((*recalled, *found)))

    def wrong_moves(self, quantity: Quantity) -> tuple[WrongMove, ...]:
        """The same with their values here: those that differ from the right one, one for each cause and value."""
        return different(self.misuses(quantity), quantity, self.values)


@lru_cache(maxsize=64)
def _contributions(netlist: Netlist, laws: SuperposedLaws) -> Contributions:
    """What each source does alone; made once for the lessons of one circuit."""
    whole = Lesson(netlist, laws.whole, laws.view.feedback)
    known = None if whole.is_numeric else whole.symbols
    lessons = {tag: Lesson(alone(netlist, tag), laws.parts[tag], laws.view.feedback, known=known) for tag in laws.tags}
    return Contributions(netlist, laws, lessons)
