"""After the work: each named wrong move with its line as it was gone, beside the line that holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from problems.answers.tolerance import names
from problems.answers.values import NoValue, Values, value_of
from problems.answers.verdict import Verdict
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step, worded
from problems.quantities import Quantity, canonical


class Pair(NamedTuple):
    """quantity: its name. cause: the wrong move in words. wrong, right: the two lines, each with its numbers."""

    quantity: str
    cause: str
    wrong: str
    right: str


def pair(verdict: Verdict, lesson: Lesson, own: Mapping[Quantity, Fraction]) -> Pair | None:
    """The two lines for a named wrong move; None for any other verdict.

    own: what the learner held the quantities to be, for a move that worked on those.
    """
    if verdict.move is None or verdict.quantity is None or verdict.value is None:
        return None
    step = lesson.step_for(verdict.quantity)
    if step is None:
        return None
    name = worded(verdict.move, verdict.value, verdict.quantity).name
    return Pair(canonical(verdict.quantity), name, _wrong_line(step, verdict, lesson, own), step.written())


def _wrong_line(step: Step, verdict: Verdict, lesson: Lesson, own: Mapping[Quantity, Fraction]) -> str:
    """The relation that was used instead, with the numbers that give the learner's value."""
    assert verdict.move is not None
    assert verdict.value is not None
    rule = replace(step.rule, relation=verdict.move.relation, spoken=None)
    true = Values(lesson.values)
    for env in (true, Values({**true, **own})):
        try:
            value = value_of(rule.relation, env)
        except NoValue:
            continue
        if names(verdict.value, value):
            return replace(step, rule=rule, exact=value, env=env).written()
    return replace(step, rule=rule, exact=verdict.value, env={}).written()
