"""Follow-through: what a step gives from the student's own earlier values."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from problems.answers.tolerance import close
from problems.answers.values import NoValue, Values, value_of
from problems.derivation.law import Law
from problems.derivation.lesson import Lesson
from problems.formulas.dual import Dual
from problems.quantities import Quantity


class Carried(NamedTuple):
    """A value that a law gives from what was stated before. rests_on: the stated quantities that are not exact."""

    value: Fraction
    law: Law
    rests_on: tuple[Quantity, ...]


def own_values(lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> tuple[Values, ...]:
    """True values overlaid with the student's: accepted steps exact first, then as the student rounded them."""
    true = lesson.values
    wrong = {key: value for key, value in stated.items() if key in true and not close(value, true[key])}
    rounded = {key: value for key, value in stated.items() if key in true and value != true[key]}
    return tuple(
        Values({**true, **own}) for own in ([wrong] if wrong else []) + ([rounded] if rounded != wrong else [])
    )


def carried(lesson: Lesson, quantity: Quantity, stated: Mapping[Quantity, Fraction]) -> Iterator[Carried]:
    """Every value that one law, headed by the quantity, gives from stated and given values alone.

    Withheld where an earlier slip makes the step easier: where it made a value 0, or took a term away.
    """
    reached = {*stated, *lesson.givens}
    for own in own_values(lesson, stated):
        for law in lesson.laws_for(quantity):
            off = tuple(tail for tail in law.tails if own.get(tail) != lesson.values.get(tail))
            if law.given or not off or not reached.issuperset(law.tails):
                continue
            try:
                value = value_of(law.relation, own)
                if _keeps_its_terms(law, value, off, lesson.values, own):
                    yield Carried(value, law, off)
            except NoValue:
                continue


def _keeps_its_terms(
    law: Law, value: Fraction, off: tuple[Quantity, ...], true: Mapping[Any, Any], own: Values
) -> bool:
    """Whether the step asks as much from the student's values as from the true ones."""
    if (not value and true.get(law.head)) or any(not own[tail] and true[tail] for tail in off):
        return False
    return _depends(law, own) >= _depends(law, Values(true))


def _depends(law: Law, env: Values) -> set[Hashable]:
    """The tails that the relation still depends on, by its slopes."""
    lifted = Values({**env, **{tail: Dual.of(tail, env[tail]) for tail in law.tails}})
    try:
        found = law.relation.at(lifted)
    except ArithmeticError:
        return set()
    return set(found.slopes) if isinstance(found, Dual) else set()
