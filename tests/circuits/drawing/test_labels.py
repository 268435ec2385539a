"""Values on a drawing stand where they are not taken for another quantity's, whatever is known already."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

import pytest

from problems import Problem, families, family
from problems.circuits.drawing import Marks, plain, render
from problems.derivation.step import Step
from problems.formulas.phasor import Phasor
from problems.formulas.printers import engineering

NAMES = [found.name for found in families()]
CURRENT = re.compile(r"−?[\d.]+\u2009[mµn]?A")


def drawn(problem: Problem, known: tuple[Step, ...]) -> list[str]:
    """The drawing with an arrow for every current of the walk, and the values of some steps."""
    currents = {step.target.of: "" for step in problem.steps if step.target.kind == "I"}
    found = [step for step in known if isinstance(step.exact, Fraction | Phasor)]
    texts = {step.target: engineering(step.exact, step.unit) for step in found}
    currents |= {quantity.of: text for quantity, text in texts.items() if quantity.kind == "I"}
    voltages = {quantity.of: text for quantity, text in texts.items() if quantity.kind == "V"}
    assert problem.circuit.drawing is not None
    marks = Marks(currents=currents, voltages=voltages)
    return plain(render(problem.circuit.drawing, problem.circuit, marks, values="none"))


def states(name: str) -> Iterator[list[str]]:
    """The drawing after each step of three problems of a family."""
    for seed in (1, 7, 9):
        problem = family(name).problem(seed=seed)
        for count in range(1, len(problem.steps) + 1):
            yield drawn(problem, problem.steps[:count])


@pytest.mark.parametrize("name", NAMES)
def test_no_voltage_stands_right_behind_the_name_of_a_current(name: str) -> None:
    for rows in states(name):
        for row in rows:
            assert not re.search("I_[A-Za-z0-9.]+ [→←↓↑] {1,8}−?[\\d.]+\u2009[mµ]?V", row), "\n".join(rows)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_values_of_currents_stand_one_above_the_other(name: str) -> None:
    for rows in states(name):
        spans = [[found.span() for found in CURRENT.finditer(row)] for row in rows]
        for upper, lower in pairwise(spans):
            assert not any(a < d and c < b for a, b in upper for c, d in lower), "\n".join(rows)


@pytest.mark.parametrize("name", NAMES)
def test_a_voltage_keeps_a_blank_from_every_wire(name: str) -> None:
    for rows in states(name):
        assert not re.search("[│┤├]−?[\\d.]+\u2009[mµ]?V|\u2009[mµ]?V[│┤├]", "\n".join(rows)), "\n".join(rows)


def test_the_value_of_a_current_stands_at_its_own_arrow() -> None:
    problem = family("cascade").problem(seed=7)
    rows = drawn(problem, problem.steps)
    arrow = next(index for index, row in enumerate(rows) if "I_U1 →" in row)
    column, below = rows[arrow].index("I_U1"), rows[arrow + 1]
    assert "−188\u2009µA" in below[column : column + 8]
    summing = family("inverting-summing").problem(seed=7)
    assert any("25\u2009µA I_Rb →" in row for row in drawn(summing, summing.steps)), "not before the arrow of Rc"
