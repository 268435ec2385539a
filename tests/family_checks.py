"""What must hold of every problem of every family, one check a function.

The suite looks at a few seeds of each family, ``tests/bench/bench_family_checks.py`` at two hundred.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from functools import cache
from typing import Any, NamedTuple

from problems import family
from problems.answers.judge import judge
from problems.answers.tolerance import SHARE, ZERO_SHARE, near_zero
from problems.circuits.feedback import feedback
from problems.circuits.solution import exact_values
from problems.derivation.affine import Affine
from problems.derivation.step import Step
from problems.formulas.printers import decimal, engineering, rounded
from problems.problem import Problem
from problems.quantities import GROUND, Quantity
from problems.templates.maker import FamilyMaker, maker_of

TWELVE = {
    "adjustable-polarity",
    "adjustable-polarity-gain",
    "cascade",
    "current-to-voltage",
    "difference",
    "divider-follower",
    "inverting",
    "inverting-reference",
    "inverting-summing",
    "non-inverting",
    "non-inverting-summing",
    "t-network",
}
"""The families that each have a disguised twin."""


class Case(NamedTuple):
    """One problem of a family."""

    name: str
    seed: int
    problem: Problem

    @property
    def settled(self) -> tuple[Step, ...]:
        """The steps that end in a value: not those that still carry an unknown."""
        return tuple(step for step in self.problem.steps if not isinstance(step.exact, Affine))

    @property
    def headed(self) -> tuple[Step, ...]:
        """The settled steps that state what they give as a formula."""
        return tuple(step for step in self.settled if step.is_headed)


Check = Callable[[Case], Iterator[str]]
"""Says what is wrong with a case, a line each; nothing where it is right."""


@cache
def cases(name: str, seeds: int) -> tuple[Case, ...]:
    """The first problems of a family."""
    known = family(name)
    return tuple(Case(name, seed, known.problem(seed=seed)) for seed in range(seeds))


def complaints(check: Check, name: str, seeds: int) -> list[str]:
    """What a check says to the first problems of a family, each line with its seed."""
    return [f"{name} seed {case.seed}: {line}" for case in cases(name, seeds) for line in check(case)]


def is_walked_to_its_asks_with_true_steps(case: Case) -> Iterator[str]:
    problem = case.problem
    truth = exact_values(problem.circuit)
    reached = [step.target for step in case.settled if step.target in problem.asked]
    if list(dict.fromkeys(reached)) != list(problem.asked) or problem.steps[-1].target != problem.targets[-1]:
        yield f"reaches {reached}"
    made = problem.lesson.values  # what the engine has made, such as a Thevenin voltage, no solution lists
    for step in case.settled:
        if step.exact != (made if "*" in step.target.of else truth)[step.target]:
            yield f"{step.quantity} is {step.exact}"
    for ask in problem.asked:
        last = problem.circuit.lesson.walk((ask,))[-1]
        if (last.target, last.exact) != (ask, truth[ask]):
            yield f"the walk to {ask} ends in {last.quantity} = {last.exact}"


def is_held_by_negative_feedback(case: Case) -> Iterator[str]:
    signs = feedback(case.problem.circuit)
    yield from (f"{amp} has {sign} feedback" for amp, sign in signs.items() if sign != "negative")


@cache
def keep_rules(name: str) -> Mapping[str, Any]:
    """The rules of a family's file, read."""
    known = family(name)
    maker = maker_of(known.text, name, known.file)
    assert isinstance(maker, FamilyMaker)
    return maker.definition.rules


def meets_its_keep_rules_exactly(case: Case) -> Iterator[str]:
    truth = exact_values(case.problem.circuit)
    rules = keep_rules(case.name)
    if not rules:
        yield "has no rules"
    yield from (f"breaks {text}" for text, rule in rules.items() if not rule.holds(truth))


def keeps_known_wrong_values_apart_from_the_right_one(case: Case) -> Iterator[str]:
    lesson = case.problem.lesson
    for ask in case.problem.asked:
        right = lesson.values[ask]
        for misuse in lesson.misuses(ask):
            try:
                wrong = Fraction(misuse.relation.at(lesson.values))
            except (ZeroDivisionError, KeyError):
                continue
            if wrong != right and abs(wrong - right) < 2 * SHARE * abs(right) * (1 - Fraction(1, 10**8)):
                yield f"{misuse.key} gives {float(wrong):g} for {ask}, which is {float(right):g}"


def working(case: Case) -> dict[Any, Fraction]:
    """The values of working that is rounded to three figures at every step."""
    lesson = case.problem.circuit.lesson
    known = {**lesson.symbols, **lesson.given_values}
    for step in case.settled:
        is_formula = step.is_headed and step.role != "close" and all(tail in known for tail in step.rule.tails)
        value = step.rule.relation.at(known) if is_formula else step.exact
        known[step.target] = rounded(Fraction(value), 3)
    return known


def room(quantity: Quantity, problem: Problem) -> Fraction:
    """How far from the right value the stated rule reaches, worked out here a second time."""
    values = problem.circuit.lesson.values
    right = Fraction(values[quantity])
    kind = "I" if quantity.kind == "I" else "V"
    largest = max(abs(v) for key, v in values.items() if isinstance(key, Quantity) and key.kind == kind)
    return SHARE * abs(right) if right else ZERO_SHARE * largest


def is_right_when_worked_to_three_figures(case: Case) -> Iterator[str]:
    known = working(case)
    for ask in case.problem.asked:
        if abs(known[ask] - case.problem.circuit.lesson.values[ask]) > room(ask, case.problem):
            yield f"{ask} comes out as {float(known[ask]):g}"


def is_right_by_the_judge_when_worked_to_three_figures(case: Case) -> Iterator[str]:
    known, last = working(case), case.problem.steps[-1]
    text = engineering(known[last.target], last.unit)
    kind = case.problem.check(last.quantity, text).kind
    if kind != "right":
        yield f"{last.quantity} = {text} is {kind}"


def written_forms(step: Step, problem: Problem) -> dict[str, str]:
    """A right answer to a step, written as students write it, each with a unit or in names."""
    value, unit = rounded(step.exact, 3), step.unit
    quantity = step.quantity
    si = decimal(value, 3)
    milli = decimal(value * 1000, 3)
    forms = {
        "prefix": engineering(value, unit, ascii=True),
        "true minus and micro": f"{quantity} = {engineering(value, unit)}",
        "exponent": f"{float(value):.2e} {unit}",
        "other scale": f"{milli} m{unit}",
        "rkm code": rkm(value, unit),
        "names": re.sub(r"\*(?=[\w(])", " * ", step.relation.right(ascii=True)),
        "equation": step.relation.written(ascii=True),
        "whole fraction": f"({value.numerator}/{value.denominator}) {unit}",
        "plain unit": f"{quantity}={si}{unit}",
    }
    if step.role == "law":
        forms["numbers with units"] = step.numbers(ascii=True)
    if step.target.kind == "I" and not step.target.of.startswith("U") and "*" not in step.target.of:
        forms["direction named"] = directed(step, problem)
    return forms


def rkm(value: Fraction, unit: str) -> str:
    """The letter in the place of the point, as on a resistor: ``29u3 A``."""
    text = engineering(value, unit, ascii=True)
    number, _, tail = text.partition(" ")
    prefix = tail.removesuffix(unit)
    return f"{number.replace('.', prefix)} {unit}" if prefix and "." in number else text


def directed(step: Step, problem: Problem) -> str:
    """The size, and the way the current runs."""
    view = problem.circuit.lesson.laws.view
    halves = [b for b in view.branches if step.target.of in (b.name, b.part)]
    ends = [view.node_label(halves[0].start or GROUND), view.node_label(halves[-1].end or GROUND)]
    if step.exact < 0:
        ends.reverse()
    return f"{engineering(abs(rounded(step.exact, 3)), 'A', ascii=True)} from {ends[0]} to {ends[1]}"


def takes_a_right_answer_in_every_written_form(case: Case) -> Iterator[str]:
    for step in case.headed:
        for form, text in written_forms(step, case.problem).items():
            verdict = case.problem.check(step.quantity, text)
            if verdict.kind != "right":
                yield f"{step.quantity}, {form}: {text} is {verdict.kind}: {verdict.message}"


def within(value: Fraction, step: Step, problem: Problem) -> bool:
    """Whether a value counts as right by the stated rule, worked out here a second time."""
    right = step.exact
    if right:
        return bool(abs(value - right) <= abs(right) / 100)
    return near_zero(value, step.target, problem.circuit.lesson.values)


def names_or_asks_about_a_known_wrong_value(case: Case) -> Iterator[str]:
    lesson = case.problem.lesson
    for step in case.headed:
        for move in lesson.wrong_moves(step.target):
            if within(move.exact, step, case.problem):
                continue
            text = f"{float(move.exact)!r} {step.unit}"
            kind = judge(lesson, text, step.target, {}, earlier=None).kind
            if kind not in {"wrong-move", "unclear"}:
                yield f"{step.quantity} = {text}, {move.key}, is {kind}"


def takes_nothing_outside_the_tolerance(case: Case) -> Iterator[str]:
    for step in case.headed:
        for factor in (Fraction(10101, 10000), Fraction(9899, 10000), Fraction(21, 20), Fraction(-1)):
            if step.exact:
                text = f"{float(step.exact * factor)!r} {step.unit}"
                verdict = case.problem.check(step.quantity, text)
                if verdict.right:
                    yield f"{step.quantity} = {text} is {verdict.kind}"


OF_TEMPLATES: tuple[Check, ...] = (
    is_walked_to_its_asks_with_true_steps,
    is_held_by_negative_feedback,
    meets_its_keep_rules_exactly,
    keeps_known_wrong_values_apart_from_the_right_one,
    is_right_when_worked_to_three_figures,
)
OF_ANSWERS: tuple[Check, ...] = (
    takes_a_right_answer_in_every_written_form,
    names_or_asks_about_a_known_wrong_value,
    takes_nothing_outside_the_tolerance,
    is_right_by_the_judge_when_worked_to_three_figures,
)
