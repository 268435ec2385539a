"""Slopes of formulas, against derivatives worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.formulas.dual import Dual
from problems.formulas.expression import Expression, Name, Number, Parallel, Power

x, y = Name("x"), Name("y")
TWO = Number(Fraction(2))

BY_HAND = [
    pytest.param(x * y + TWO * x, {"x": Fraction(7), "y": Fraction(3)}, id="product and sum at x 3, y 5"),
    pytest.param(x / y, {"x": Fraction(1, 5), "y": Fraction(-3, 25)}, id="quotient"),
    pytest.param(Power(x, TWO) - y, {"x": Fraction(6), "y": Fraction(-1)}, id="square"),
    pytest.param(Parallel((x, y)), {"x": Fraction(25, 64), "y": Fraction(9, 64)}, id="parallel"),
    pytest.param(x - x, {}, id="nothing left"),
]


@pytest.mark.parametrize(("formula", "wanted"), BY_HAND)
def test_a_slope_is_the_derivative(formula: Expression, wanted: dict[str, Fraction]) -> None:
    found = formula.at({"x": Dual.of("x", Fraction(3)), "y": Dual.of("y", Fraction(5))})
    assert found.value == formula.at({"x": Fraction(3), "y": Fraction(5)})
    assert found.slopes == wanted


@given(st.fractions(min_value=1, max_value=9), st.fractions(min_value=1, max_value=9))
def test_a_linear_formula_moves_by_its_slope(a: Fraction, b: Fraction) -> None:
    formula = (TWO * x - y) / TWO
    here = formula.at({"x": Dual.of("x", a), "y": b})
    assert formula.at({"x": a + 1, "y": b}) == here.value + here.slopes["x"]
