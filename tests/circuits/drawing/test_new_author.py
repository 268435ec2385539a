"""Drawings by somebody who knew only the written grammar: read, solved and walked as worked out apart from here."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import sympy

from problems import Circuit
from problems.quantities import is_made

HERE = Path(__file__).parent / "new_author"
with (HERE / "cases.toml").open("rb") as file:
    CASES: dict[str, dict[str, Any]] = tomllib.load(file)


def circuit(name: str) -> Circuit:
    text = (HERE / f"{name}.txt").read_text(encoding="utf-8")
    return Circuit.from_drawing(text, values=CASES[name].get("values", {}))


def rational(text: str) -> sympy.Rational:
    fraction = Fraction(text)
    return sympy.Rational(fraction.numerator, fraction.denominator)


def truth(quantity: str, solved: Any) -> Any:
    """The exact value of a quantity of a walk: V_<node>, V_<op-amp>.<pin> or I_<part>."""
    kind, _, name = quantity.partition("_")
    return solved.current(name) if kind == "I" else solved.voltage(name)


def test_every_drawing_has_its_case() -> None:
    assert sorted(CASES) == sorted(path.stem for path in HERE.glob("*.txt"))


@pytest.mark.parametrize("name", CASES)
def test_a_drawing_comes_to_what_was_worked_out_apart_from_it(name: str) -> None:
    solved = circuit(name).solve()
    assert solved.voltage("out") == rational(CASES[name]["V_out"])
    for part, value in CASES[name].get("currents", {}).items():
        assert solved.current(part) == rational(value)


@pytest.mark.parametrize("name", CASES)
def test_every_step_of_its_walk_is_what_the_solution_says(name: str) -> None:
    drawn = circuit(name)
    solved = drawn.solve()
    steps = drawn.walk("V_out")
    assumed = {step.value: truth(step.quantity, solved) for step in steps if step.value.is_Symbol}
    # what is made of several parts is in no solution; reductions are judged in their own tests
    for step in (step for step in steps if not is_made(step.target)):
        assert step.value.subs(assumed) == truth(step.quantity, solved), step.quantity
    assert steps[-1].quantity == "V_out"
    assert steps[-1].value == rational(CASES[name]["V_out"])
