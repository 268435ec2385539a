"""Superposition: one source on at a time; what each contributes is found as in any circuit, then added."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from problems.circuits.first_order import tagged
from problems.derivation.affine import Affine
from problems.derivation.contribution import tagged_steps
from problems.derivation.faults import NoWalk
from problems.derivation.law import Law
from problems.derivation.methods import laws as one_by_one
from problems.derivation.reactive.joint import is_elsewhere, is_joint, step_in_state
from problems.derivation.step import Step
from problems.quantities import GROUND, Quantity, canonical, voltage

if TYPE_CHECKING:
    from problems.derivation.contribution import SuperposedLaws
    from problems.derivation.lesson import Lesson

KEY = "superposition"
ORDER = 2


def walk(lesson: Lesson, targets: tuple[Quantity, ...]) -> tuple[Step, ...]:
    """The steps to all contributions that are needed, one source after another, then the sums, target by target.

    Raises NoWalk where the circuit does not determine one, NotSuperposable.
    """
    page = _Page(lesson.superposed)
    needed = list(dict.fromkeys(tail for target in targets for tail in page.needed(target)))
    for source in page.laws.tags:
        page.add_alone(source, [contribution for contribution in needed if contribution.source == source])
    for target in targets:
        page.add(target)
    return tuple(page.steps)


def next_step(lesson: Lesson, known: Collection[Quantity], target: Quantity) -> Step | None:
    """The first step of the cheapest way by this method from what is known."""
    if is_elsewhere(target, lesson):
        return _next_elsewhere(lesson, known, target)
    page = _Page(lesson.superposed)
    for tail in page.parts_of(target):
        if tail not in known:
            return page.next_alone(tail, known) if tail.source else next_step(lesson, known, tail)
    page.add(target)
    return page.steps[-1]


def _next_elsewhere(lesson: Lesson, known: Collection[Quantity], target: Quantity) -> Step | None:
    """The same for what follows from states of the circuit, or stands in one."""
    if not is_joint(target, lesson):
        inner = [tagged(key, "") for key in known if key.when == target.when]
        step = next_step(lesson.in_state(target.when), inner, tagged(target, ""))
        return None if step is None else step_in_state(step, target.when, lesson)
    law = lesson.own_law(target)
    if law is None:
        raise NoWalk(canonical(target))
    missing = next((tail for tail in law.tails if tail not in known and not lesson.is_given(tail)), None)
    return lesson.step(law) if missing is None else next_step(lesson, known, missing)


class _Page:
    """A walk as it grows.

    asked: what was asked of each source alone so far, in order. written: the lines on it. found: what is a number.
    """

    def __init__(self, lesson: Lesson):
        assert lesson.contributions is not None
        self.lesson = lesson
        self.contributions = lesson.contributions
        self.laws: SuperposedLaws = lesson.contributions.laws
        self.asked: dict[str, list[Quantity]] = {}
        self.written: set[tuple[Quantity, str]] = set()
        self.found: set[Quantity] = set()
        self.env: dict[Any, Any] = {**lesson.symbols, **lesson.given_values}
        self.steps: list[Step] = []
        self._open: set[Quantity] = set()

    def add(self, target: Quantity) -> None:
        """Goes on to a further target."""
        if target in self.found:
            return
        if target.source:
            self.add_alone(target.source, [target])
            return
        self._open.add(target)
        for tail in self.parts_of(target):
            self.add(tail)
        self._open.discard(target)
        self._state(self.law_of(target))

    def law_of(self, target: Quantity) -> Law:
        """The sum that gives a target; for what sources set or carry, a law of the whole circuit."""
        law = self.laws.sum_for(target)
        if law is None:
            law = self.laws.whole.own_law(target)
        if law is None or self._open & set(law.tails):
            raise NoWalk(canonical(target))
        return law

    def needed(self, target: Quantity, above: tuple[Quantity, ...] = ()) -> Iterator[Quantity]:
        """The contributions that a target comes down to."""
        if target.source:
            yield target
        elif target not in above:
            for tail in self.parts_of(target):
                yield from self.needed(tail, (*above, target))

    def parts_of(self, target: Quantity) -> tuple[Quantity, ...]:
        """What is needed before a target: contributions, for a sum."""
        return tuple(tail for tail in self.law_of(target).tails if not self.lesson.is_given(tail))

    def _state(self, law: Law) -> None:
        self.env[law.head] = law.relation.at(self.env)
        self._put([self.lesson.stated(law, self.env[law.head], dict(self.env))])

    def _put(self, steps: Iterable[Step]) -> None:
        for step in steps:
            if (step.target, step.role) not in self.written:
                self.written.add((step.target, step.role))
                self.steps.append(step)
                self.env[step.target] = step.exact
                if not isinstance(step.exact, Affine):
                    self.found.add(step.target)

    def add_alone(self, source: str, targets: Sequence[Quantity]) -> None:
        """Goes on to contributions of one source, found in its circuit after what was asked there before."""
        asked = self.asked.setdefault(source, [])
        asked += [target for target in targets if target not in self.found]
        inner = {self.laws.within(target, source): target for target in asked}
        inner.pop(voltage(GROUND), None)
        steps = one_by_one.walk(self.contributions.lessons[source], tuple(inner)) if inner else ()
        for step in tagged_steps(steps, source, self.lesson):
            pair = inner.get(step.target.by("")) if step.target.kind == "B" else None
            self._put([step if pair is None else replace(step, target=pair, rule=replace(step.rule, head=pair))])
        for target in targets:
            law = self.laws.joint(target)
            if law is not None and target not in self.found:
                self._state(law)

    def next_alone(self, target: Quantity, known: Collection[Quantity]) -> Step | None:
        """The first step to a contribution from what is known in the circuit of its source."""
        source = target.source
        inner = self.laws.within(target, source)
        if self.laws.joint(target) is None:
            here = tuple(key.by("") for key in known if key.source == source)
            alone = self.contributions.lessons[source]
            law = alone.next_law(here, inner)
            if law is not None:
                return next(tagged_steps((alone.step(law),), source, self.lesson))
        self.add(target)
        return next((step for step in self.steps if step.role != "assume" and step.target not in known), None)
