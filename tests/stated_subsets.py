"""Attempts in which any set of true quantities and equations has been stated, in any order."""

from __future__ import annotations

import random
from collections.abc import Iterator

from problems import Attempt, Problem
from problems.quantities import Quantity, canonical


def standings(problem: Problem, count: int, dice: random.Random) -> Iterator[Attempt]:
    """So many attempts on a problem, in each of which some of what is true was stated; the asks stay open."""
    lesson = problem.lesson
    quantities = [
        key
        for key in lesson.values
        if isinstance(key, Quantity) and not lesson.is_given(key) and key not in problem.asked
    ]
    laws = [law for law in lesson.laws.laws if not law.given and not law.never_walked]
    names = problem.circuit.names
    for _ in range(count):
        attempt = problem.begin()
        for quantity in dice.sample(quantities, dice.randint(0, len(quantities) // 2)):
            text = f"{canonical(quantity)} = {float(lesson.values[quantity])!r} {quantity.unit}"
            attempt, _ = attempt.state(text)
        for law in dice.sample(laws, min(len(laws), dice.choice((0, 0, 1, 2)))):
            left = names.write(law.head)
            right = str(lesson.step(law).relation.written(ascii=True)).partition(" = ")[2]
            attempt, _ = attempt.state(f"{left} = {right}")
        yield attempt
