"""The two rules, Ohm and Kirchhoff, one law at a time: the cheapest walk, with a carried unknown where it must be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from problems.derivation.law import LAWS
from problems.derivation.step import Step
from problems.quantities import Quantity

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson

KEY = LAWS
ORDER = 1


def walk(lesson: Lesson, targets: tuple[Quantity, ...]) -> tuple[Step, ...]:
    """The steps to each target in turn. Raises NoWalk where the circuit does not determine one."""
    laws = lesson.laws.walk(targets)
    return lesson.stepped(laws) if laws is not None else lesson.written(targets, KEY)
