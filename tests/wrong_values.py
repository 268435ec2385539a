"""Wrong values that no one is likely to mean: how often do the wrong moves name a cause for one all the same?

Shared by the bench and by the test of the same measure.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from problems import Family, Problem
from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.values import Values
from problems.quantities import Quantity, canonical

Counts = dict[tuple[str, str], Counter[str]]
"""Family and quantity to how often each kind of verdict was given."""


def steps_of(problem: Problem) -> tuple[Quantity, ...]:
    """What the walks of a problem find, givens apart."""
    found = dict.fromkeys(step.target for step in problem.steps if step.role != "assume")
    return tuple(quantity for quantity in found if quantity in problem.lesson.values)


def size_of(problem: Problem, quantity: Quantity) -> Fraction:
    """The size that a value of this step has; where the right one is 0, half the largest of its kind."""
    values = Values(problem.lesson.values)
    right = abs(Fraction(values[quantity]))
    alike = [abs(Fraction(v)) for q, v in values.items() if isinstance(q, Quantity) and q.unit == quantity.unit]
    return right or max(alike, default=Fraction(1)) / 2


def unrelated(size: Fraction, dice: random.Random) -> str:
    """A value within half a decade of ``size`` either side, of either sign, in three figures."""
    return f"{dice.choice((-1, 1)) * float(size) * 10 ** dice.uniform(-0.5, 0.5):.2e}"


def judged(family: Family, seeds: range, each: int, dice: random.Random) -> Iterator[tuple[str, str]]:
    """Quantity and kind of verdict for ``each`` unrelated wrong values a step."""
    for seed in seeds:
        yield from judged_problem(family.problem(seed=seed), each, dice)


def judged_problem(problem: Problem, each: int, dice: random.Random) -> Iterator[tuple[str, str]]:
    """The same for one problem."""
    for quantity in steps_of(problem):
        size = size_of(problem, quantity)
        for _ in range(each if size else 0):
            text = f"{unrelated(size, dice)} {quantity.unit}"
            kind = judge(problem.lesson, text, quantity, {}, OUTSIDE_ATTEMPT).kind
            if kind != "right":
                yield canonical(quantity), kind


def counted(families: tuple[Family, ...], seeds: range, each: int, seed: int) -> Counts:
    """How often each kind of verdict was given, for every step of every family."""
    dice = random.Random(seed)
    found: Counts = {}
    for family in families:
        for quantity, kind in judged(family, seeds, each, dice):
            found.setdefault((family.name, quantity), Counter())[kind] += 1
    return found


def shares(counts: Counter[str]) -> tuple[float, float]:
    """Share of ``wrong-move`` and of ``unclear``."""
    total = sum(counts.values())
    return counts["wrong-move"] / total, counts["unclear"] / total
