"""A value that one thought explains twice, at a step and in the one before it, has one cause."""

from __future__ import annotations

import pytest

from problems import family
from problems.answers.judge import judge
from problems.answers.values import Values, value_of


@pytest.mark.parametrize(
    ("name", "quantity", "key"),
    [("t-network", "V_out", "leg-left-out"), ("divider-follower", "I_Ra", "end-taken-as-ground")],
)
@pytest.mark.parametrize("seed", [1, 4])
def test_the_same_thing_is_not_told_twice(name: str, quantity: str, key: str, seed: int) -> None:
    lesson = family(name).problem(seed=seed).lesson
    asked = lesson.netlist.names.read(quantity)
    move = next(move for move in lesson.misuses(asked) if move.key == key)
    value = float(value_of(move.relation, Values(lesson.values)))
    verdict = judge(lesson, f"{quantity} = {value:.9g} {asked.unit}", asked, {})
    assert verdict.wrong_move == key
    assert "more than one way" not in verdict.message
