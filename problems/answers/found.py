"""What a learner has found so far, and so what a name stands for in the next statement.

Names stand for the learner's own values: true ones exact, wrong ones as they are. In an attempt a quantity that was not
found stands for nothing, so that no formula can have the program work out what is asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.answers.read import Readings
from problems.answers.tolerance import close
from problems.answers.values import Values
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, keys
from problems.quantities import GROUND, Quantity, voltage


def right_of(lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> dict[Quantity, Fraction]:
    """What is stated rightly, in order of statement."""
    true = lesson.values
    return {key: value for key, value in stated.items() if key in true and is_right(value, true[key])}


def wrong_of(lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> dict[Quantity, Fraction]:
    """What is stated and is not right, in order of statement."""
    true = lesson.values
    return {key: value for key, value in stated.items() if key in true and not is_right(value, true[key])}


def is_right(value: Any, true: Any) -> bool:
    """Whether a stated value is the true one, within the tolerance; a formula is where it is the very same."""
    return value is true or close(value, true)


def settled(lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> frozenset[Quantity]:
    """What is stated rightly, and what needs no statement: givens and ground."""
    return frozenset({*right_of(lesson, stated), *lesson.givens, voltage(GROUND)})


def what_names_mean(lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> Values:
    """Every name with its value: the true one, but the learner's own where that was stated and is wrong."""
    return Values({**lesson.values, **wrong_of(lesson, stated)})


def slips_in(expression: Expression, lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> tuple[Quantity, ...]:
    """The learner's own wrong values that a formula rests on, in order of statement."""
    named = _quantities(expression)
    return tuple(key for key in wrong_of(lesson, stated) if key in named)


def unfound_in(side: Readings, lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> tuple[Quantity, ...]:
    """Quantities that a side rests on in every reading of it, and that the learner has not found yet."""
    known = {*stated, *settled(lesson, stated)}
    missing = [_quantities(reading.expression) - known for reading in side]
    return tuple(sorted(missing[0])) if missing and all(missing) else ()


def _quantities(expression: Expression) -> set[Quantity]:
    """The quantities that an expression names; a voltage between two nodes rests on both."""
    found: set[Quantity] = set()
    for key in keys(expression):
        if isinstance(key, Quantity):
            found |= {voltage(key.of).by(key.source), voltage(key.to).by(key.source)} if key.kind == "B" else {key}
    return found
