"""Every family, many variants: the right is right however it is written, the wrong is named or asked about."""

from __future__ import annotations

from fractions import Fraction

import pytest

from problems import Problem, families, family
from problems.answers.judge import judge
from problems.answers.tolerance import near_zero
from problems.derivation.step import Step
from problems.formulas.printers import decimal, engineering, rounded
from problems.quantities import GROUND

NAMES = [f.name for f in families()]
SEEDS = range(200)
"""The variants judged."""


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
        "names": step.relation.right(ascii=True).replace("*", " * "),
        "equation": step.relation.written(ascii=True),
        "numbers with units": step.numbers(ascii=True),
        "whole fraction": f"({value.numerator}/{value.denominator}) {unit}",
        "plain unit": f"{quantity}={si}{unit}",
    }
    if step.target.kind == "I" and not step.target.of.startswith("U"):
        forms["direction named"] = directed(step, problem)
    return forms


def rkm(value: Fraction, unit: str) -> str:
    """The letter in the place of the point, as on a resistor: ``29u3 A``."""
    text = engineering(value, unit, ascii=True)
    number, _, tail = text.partition(" ")
    prefix = tail[:-1]
    return f"{number.replace('.', prefix)} {unit}" if prefix and "." in number else text


def directed(step: Step, problem: Problem) -> str:
    """The size, and the way the current runs."""
    view = problem.circuit.lesson.laws.view
    branch = next(b for b in view.branches if b.name == step.target.of)
    ends = [view.node_label(branch.start or GROUND), view.node_label(branch.end or GROUND)]
    if step.exact < 0:
        ends.reverse()
    return f"{engineering(abs(rounded(step.exact, 3)), 'A', ascii=True)} from {ends[0]} to {ends[1]}"


@pytest.mark.parametrize("name", NAMES)
def test_a_right_answer_is_right_in_every_written_form(name: str) -> None:
    for seed in SEEDS:
        problem = family(name).problem(seed=seed)
        for step in problem.steps:
            for form, text in written_forms(step, problem).items():
                verdict = problem.check(step.quantity, text)
                assert verdict.kind == "right", (name, seed, form, text, verdict.message)


@pytest.mark.parametrize("name", NAMES)
def test_a_known_wrong_value_is_named_or_asked_about(name: str) -> None:
    for seed in SEEDS:
        problem = family(name).problem(seed=seed)
        lesson = problem.circuit.lesson
        for step in problem.steps:
            for move in lesson.wrong_moves(step.target):
                text = f"{float(move.exact)!r} {step.unit}"
                kind = judge(lesson, text, step.target, {}, earlier=None).kind
                if within(move.exact, step, problem):
                    continue
                assert kind in {"wrong-move", "unclear"}, (name, seed, step.quantity, move.key, text, kind)


def within(value: Fraction, step: Step, problem: Problem) -> bool:
    """Whether a value counts as right by the stated rule, worked out here a second time."""
    right = step.exact
    if right:
        return bool(abs(value - right) <= abs(right) / 100)
    return near_zero(value, step.target, problem.circuit.lesson.values)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_outside_the_tolerance_is_right(name: str) -> None:
    for seed in SEEDS:
        problem = family(name).problem(seed=seed)
        for step in problem.steps:
            if not step.exact:
                continue
            for factor in (Fraction(10101, 10000), Fraction(9899, 10000), Fraction(21, 20), Fraction(-1)):
                text = f"{float(step.exact * factor)!r} {step.unit}"
                verdict = problem.check(step.quantity, text)
                assert not verdict.right, (name, seed, step.quantity, text, verdict.kind)


@pytest.mark.parametrize("name", NAMES)
def test_working_rounded_to_three_figures_at_every_step_ends_right(name: str) -> None:
    for seed in SEEDS:
        problem = family(name).problem(seed=seed)
        env = {**problem.circuit.lesson.symbols, **problem.circuit.lesson.given_values}
        for step in problem.steps:
            env[step.target] = rounded(Fraction(step.rule.relation.at(env)), 3)
        last = problem.steps[-1]
        text = engineering(env[last.target], last.unit)
        assert problem.check(last.quantity, text).kind == "right", (name, seed, text)


HALF_TURNED = {"Vin": "1 V", "Ri": "10k", "Rf": "20k", "Rp": "10k", "k": "0.6"}


@pytest.mark.parametrize(
    ("quantity", "text", "stated", "kind"),
    [
        pytest.param("I_Rf", "50 uA", {"I_Ri": "50 uA"}, "right-carried", id="one law from what was stated"),
        pytest.param("V_out", "-0.4 V", {"I_Rf": "50 uA"}, "right-carried", id="the other quantity not stated at all"),
        pytest.param("V_out", "-0.5 V", {"V_3": "0.5 V"}, "right-carried", id="several steps on, none of them stated"),
        pytest.param("V_out", "-2 V", {"V_2": "0 V"}, "wrong-move", id="a slip of 0 that takes a term away"),
        pytest.param("V_out", "-0.2 V", {"I_Rf": "50 uA"}, "right", id="right goes before carried"),
    ],
)
def test_a_value_that_follows_from_an_earlier_slip_is_recognised(
    quantity: str, text: str, stated: dict[str, str], kind: str
) -> None:
    problem = family("adjustable-polarity").problem(values=HALF_TURNED)
    assert problem.check(quantity, text, stated=stated).kind == kind


@pytest.mark.parametrize(
    ("equation", "law"),
    [
        ("(Vin - V_2)/Ri = (V_2 - V_out)/Rf", "same-current"),
        ("V_2 - V_out = I_Rf*Rf", "hop"),
    ],
)
def test_the_law_that_an_equation_states_is_named_back(equation: str, law: str) -> None:
    verdict = family("adjustable-polarity").problem(values=HALF_TURNED).check("V_out", equation)
    assert (verdict.kind, verdict.law) == ("right", law)


def test_earlier_values_may_be_numbers_as_an_attempt_has_them() -> None:
    problem = family("adjustable-polarity").problem(values=HALF_TURNED)
    attempt, _ = problem.begin().state("I_Ri = 40 uA")
    assert problem.check("I_Rf", "40 uA", stated=attempt.stated).kind == "right"
    assert problem.check("I_Rf", "50 uA", stated={"I_Ri": Fraction(1, 20000)}).kind == "right-carried"
    assert problem.check("I_Rf", "40 uA", stated={"I_Ri": None, "V_9": "1 V", "V_2": "?"}).kind == "right"
