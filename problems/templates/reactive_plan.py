"""Whether a draw of a circuit with capacitors or inductors is fit to ask, judged by exact evaluation.

Phasors, formulas in s and instants in time have no rows of floats to be compiled for, so each draw is worked out as a
lesson: slower than ``plan``, some ten milliseconds a draw, with the same reasons to refuse.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.answers.moves import evaluated
from problems.answers.tolerance import SHARE, same_direction
from problems.answers.tolerance import close as accepted
from problems.answers.values import Values
from problems.circuits.netlist import Netlist
from problems.derivation.law import LAWS
from problems.derivation.lesson import Lesson
from problems.derivation.reactive.transfer import alike
from problems.derivation.step import Step
from problems.formulas.phasor import ROOM, Degrees, Phasor, are_one, phase_of
from problems.formulas.printers import rounded
from problems.formulas.ratio import Ratio
from problems.templates.definition import Definition
from problems.templates.keep import Rule
from problems.templates.plan import Refusal


def values_of(netlist: Netlist) -> Mapping[Any, Any]:
    """Every quantity of a circuit, whatever its capacitors are looked at by. Raises NoSolution."""
    return Lesson.of(netlist).values


class ReactivePlan:
    """How draws of one pattern of zeros are judged. Raises NoSolution, NoNegativeFeedback and NoWalk when made."""

    def __init__(self, definition: Definition, values: Mapping[str, Fraction]):
        self.definition = definition
        self.netlist = definition.netlist.with_values(values)
        Lesson.of(self.netlist).walk(definition.targets)

    def judge(self, values: Mapping[str, Fraction]) -> Refusal | None:
        """Why a draw is not fit to be asked; None where it is."""
        try:
            lesson = Lesson.of(self.netlist.with_values(values)).teaching(self.definition.targets, LAWS)
            known = lesson.values
            steps = lesson.walk(self.definition.targets)
        except (ValueError, ZeroDivisionError):
            return Refusal("unsolved")
        broken = (text for text, rule in self.definition.rules.items() if not _holds(rule, known))
        for text in broken:
            return Refusal("rule", text)
        return self._lost(steps, lesson) or _near_miss(steps, lesson)

    def _lost(self, steps: tuple[Step, ...], lesson: Lesson) -> Refusal | None:
        """Whether working rounded to three figures at every step leaves the tolerance at one that is asked."""
        env: dict[Any, Any] = {**lesson.values}
        asked = {ask.quantity for ask in self.definition.asks}
        for step in steps:
            if step.role != "law":
                continue
            raw = step.rule.relation.at(env)
            env[step.target] = _rounded(Fraction(raw) if isinstance(raw, float) else raw)
            if step.target in asked and not _same(env[step.target], lesson.values[step.target]):
                return Refusal("rounding", step.label)
        return None


def _near_miss(steps: tuple[Step, ...], lesson: Lesson) -> Refusal | None:
    """A wrong value of some step too close to the right one, but not the same."""
    for quantity in dict.fromkeys(step.target for step in steps):
        right = lesson.values[quantity]
        for fit in evaluated(lesson, quantity, Values(lesson.values)):
            if fit.value != right and _near(fit.value, right) and not are_one(fit.value, right):
                return Refusal("near", lesson.netlist.names.write(quantity), fit.misuse.key)
    return None


def _holds(rule: Rule, values: Mapping[Any, Any]) -> bool:
    try:
        return bool(rule.holds(values))
    except (ZeroDivisionError, TypeError, KeyError):
        return False


def _rounded(value: Any) -> Any:
    if isinstance(value, Phasor):
        return Phasor.polar(rounded(abs(value), 3), Fraction(round(value.phase * 10), 10)) if value else value
    if isinstance(value, Degrees):
        return Degrees(Fraction(round(value * 10), 10))
    return rounded(value, 3) if isinstance(value, Fraction) else value


def _same(value: Any, right: Any) -> bool:
    if isinstance(right, Ratio):
        return alike(value, right, SHARE)
    return accepted(value, right) or (not right and abs(value) < ROOM)


def _near(value: Any, right: Any) -> bool:
    """Whether a value stands within twice the tolerance of the right one."""
    if isinstance(right, Ratio) or isinstance(value, Ratio):
        return alike(value, right, 2 * SHARE)
    if isinstance(right, Degrees):
        return same_direction(value / 2, right / 2)
    if isinstance(right, Phasor) or isinstance(value, Phasor):
        off = abs(abs(value) - abs(right)) <= 2 * SHARE * abs(right)
        return off and (not right or same_direction(Fraction(phase_of(value) - phase_of(right)) / 2, Fraction(0)))
    return bool(abs(value - right) <= 2 * SHARE * abs(right))
