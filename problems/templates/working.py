"""Working by another method than the first, rounded at every step: a variant must come out right by each of them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterator, Mapping, Sequence
from contextlib import suppress
from typing import NamedTuple

from problems.derivation.affine import Affine
from problems.derivation.contribution import NotSuperposable
from problems.derivation.faults import NoWalk
from problems.derivation.law import Law
from problems.derivation.lesson import Lesson
from problems.derivation.methods.registry import methods
from problems.quantities import GROUND, Quantity, voltage
from problems.templates.closures import Formula, closure


class Rounded(NamedTuple):
    """One step of such working. slot: where it stands in the row. before: what the step gives unrounded."""

    slot: int
    before: float
    after: float


class Working:
    """The steps of one method in one pattern of zeros, as formulas of a row that goes on where the plan's ends."""

    def __init__(self, given: Collection[Law], laws: Sequence[Law], slots: Mapping[Hashable, int]):
        names = dict.fromkeys((*slots, *(law.head for law in given), *(law.head for law in laws)))
        place = {name: slot for slot, name in enumerate(names)}
        self.size = len(place)
        self.given = self._formulas(given, place)
        self.steps = self._formulas(laws, place)

    def _formulas(self, laws: Collection[Law], place: Mapping[Hashable, int]) -> tuple[tuple[int, Formula], ...]:
        return tuple((place[law.head], closure(law.relation, place)) for law in laws)

    def rounded(self, row: Sequence[float], rounding: Callable[[float], float]) -> Iterator[Rounded]:
        """Every step on what the steps before came to. row: the symbols' values where the plan has them."""
        own = [*row, *([0.0] * (self.size - len(row)))]
        for slot, formula in self.given:
            own[slot] = formula(own)
        for slot, formula in self.steps:
            before = formula(own)
            own[slot] = rounding(before)
            yield Rounded(slot, before, own[slot])


def further_workings(
    lesson: Lesson, targets: tuple[Quantity, ...], judged: Collection[str], slots: Mapping[Hashable, int]
) -> Iterator[Working]:
    """The working by every further method that goes one law after another here; with unknowns no figures are carried.

    judged: the methods whose rounding is judged already.
    """
    for method in methods():
        if method in judged:
            continue
        with suppress(NoWalk, NotSuperposable):
            steps = lesson.walk(targets, method)
            if all(step.role == "law" and not isinstance(step.exact, Affine) for step in steps):
                speaking = lesson.holding(step.target for step in steps)
                given = [law for law in speaking.laws.given_laws if law.head != voltage(GROUND)]
                yield Working(given, [step.rule for step in steps], slots)
