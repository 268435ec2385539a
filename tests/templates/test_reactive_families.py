"""The families with capacitors: their variants are walked truly, and asked so that the right is right."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from complex_judge import phasors
from resistive_families import reactive_families

from problems.answers.moves import evaluated
from problems.answers.tolerance import close
from problems.answers.values import Values
from problems.derivation.step import shown
from problems.formulas.phasor import Phasor
from problems.formulas.ratio import Ratio
from problems.problem import Problem
from problems.quantities import canonical
from problems.templates.maker import FamilyMaker
from problems.templates.reactive_plan import values_of

FAMILIES = {found.name: found for found in reactive_families()}
EVERY = pytest.mark.parametrize("name", FAMILIES)
SEEDS = range(3)


def problems_of(name: str) -> list[Problem]:
    return [FAMILIES[name].problem(seed=seed) for seed in SEEDS]


def test_the_kinds_of_filter_and_of_time_are_there() -> None:
    wanted = {"integrator", "differentiator", "low-pass-inverting", "low-pass-follower", "low-pass-non-inverting"}
    wanted |= {"high-pass-inverting", "high-pass-non-inverting", "all-pass", "lead-lag", "second-order-low-pass"}
    assert FAMILIES.keys() >= wanted


@EVERY
def test_it_warns_of_what_a_capacitor_keeps(name: str) -> None:
    assert "discharge" in FAMILIES[name].problem(seed=1).caution


@EVERY
def test_a_seed_gives_one_problem_and_others_differ(name: str) -> None:
    first, again = FAMILIES[name].problem(seed=1), FAMILIES[name].problem(seed=1)
    assert first.circuit.values == again.circuit.values
    assert len({str(sorted(problem.circuit.values.items(), key=str)) for problem in problems_of(name)}) > 1


@EVERY
def test_what_is_asked_has_the_value_where_its_walk_ends(name: str) -> None:
    for problem in problems_of(name):
        ends = {step.target: step.exact for step in problem.steps}
        for quantity in problem.asked:
            assert ends[quantity] == problem.lesson.values[quantity]


@EVERY
def test_voltages_at_a_frequency_are_those_of_the_judge(name: str) -> None:
    for problem in problems_of(name):
        circuit = problem.circuit
        if circuit.regime != "f":
            continue
        truth = phasors(circuit, float(circuit.values["f"]))
        for node, volts in truth.items():
            value = problem.lesson.values[circuit.names.read(f"V_{node}")]
            assert complex(value) == pytest.approx(volts, rel=1e-9, abs=1e-12)


def written(value: Any, unit: str) -> str:
    """A value as a learner writes it down: three figures, a formula in s with its coefficients to three."""
    return shown(value, unit)


@EVERY
def test_the_value_to_three_figures_is_right_and_ends_the_problem(name: str) -> None:
    for problem in problems_of(name):
        attempt = problem.begin()
        for quantity in problem.asked:
            text = f"{canonical(quantity)} = {written(problem.lesson.values[quantity], quantity.unit)}"
            attempt, verdict = attempt.state(text)
            assert (text, verdict.kind) in {(text, "right"), (text, "known")}
        assert attempt.done


@EVERY
def test_a_known_wrong_value_is_never_right(name: str) -> None:
    problem = FAMILIES[name].problem(seed=2)
    for quantity in problem.asked:
        right = problem.lesson.values[quantity]
        for fit in evaluated(problem.lesson, quantity, Values(problem.lesson.values))[:12]:
            if isinstance(fit.value, Ratio) or close(fit.value, right) or not isinstance(fit.value, Fraction | Phasor):
                continue
            verdict = problem.check(canonical(quantity), written(fit.value, quantity.unit))
            assert not verdict.right, (canonical(quantity), written(fit.value, quantity.unit))


@EVERY
def test_the_keep_rules_hold_in_every_variant(name: str) -> None:
    maker = FAMILIES[name]._maker
    assert isinstance(maker, FamilyMaker)
    for problem in problems_of(name):
        values = values_of(problem.circuit)
        for text, rule in maker.definition.rules.items():
            assert rule.holds(values), text
