"""Formulas as reduced fractions of polynomials."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from problems.formulas.ratio import Field, Ratio, to_sympy

FIELD = Field(["a", "b", "c"])
A, B, C = (FIELD.generators[name] for name in "abc")
a, b, c = sympy.symbols("a b c")


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ((A * A - B * B) / (A + B), a - b),
        (2 * A / (4 * B), a / (2 * b)),
        (-A / -B, a / b),
        (A / (B - C) + A / (C - B), sympy.Integer(0)),
        (1 - A, 1 - a),
        (Fraction(1, 3) / A, 1 / (3 * a)),
        (A**-2, a**-2),
        (A * B / C + A * C / B, a * (b**2 + c**2) / (b * c)),
        (FIELD.number(Fraction(-3, 4)), sympy.Rational(-3, 4)),
    ],
    ids=["divides", "numbers cancel", "signs cancel", "zero", "int minus", "fraction over", "power", "sum", "number"],
)
def test_arithmetic_is_reduced(value: Ratio, expected: sympy.Expr) -> None:
    assert to_sympy(value) == expected


def test_a_shared_factor_stands_in_front() -> None:
    assert str(to_sympy(A * (2 * B - 1))) == "a*(2*b - 1)"


def test_dividing_by_nothing_is_an_error() -> None:
    with pytest.raises(ZeroDivisionError):
        A / (B - B)


def test_limits() -> None:
    assert ((A - A * B) / (A * C)).with_zero("a") == (1 - B) / C
    assert (B / A).with_zero("a") is None
    assert (B / A).with_zero("elsewhere") == B / A


def test_numbers_are_told_from_formulas() -> None:
    assert (A / A * Fraction(2, 3)).constant == Fraction(2, 3)
    assert (A - A).constant == 0
    assert A.constant is None


leaves = st.sampled_from([(A, a), (B, b), (C, c)]) | st.integers(-3, 3).map(
    lambda n: (FIELD.number(n), sympy.Integer(n))
)


@settings(max_examples=60, deadline=None)
@given(st.recursive(leaves, lambda inner: st.tuples(st.sampled_from("+-*/"), inner, inner), max_leaves=8))
def test_any_formula_equals_what_sympy_makes_of_it(tree: object) -> None:
    try:
        ours, theirs = _evaluated(tree)
    except ZeroDivisionError:
        return
    assert sympy.cancel(to_sympy(ours) - theirs) == 0
    top, bottom = sympy.fraction(sympy.cancel(theirs))
    assert len(sympy.Poly(top, a, b, c).terms()) == max(1, len(ours.top))
    assert len(sympy.Poly(bottom, a, b, c).terms()) == len(ours.bottom), "not in lowest terms"


def _evaluated(tree: object) -> tuple[Ratio, sympy.Expr]:
    assert isinstance(tree, tuple)
    if len(tree) == 2:
        return tree
    sign, left, right = tree
    (x, u), (y, v) = _evaluated(left), _evaluated(right)
    if sign == "/" and not y:
        raise ZeroDivisionError
    return {"+": lambda: (x + y, u + v), "-": lambda: (x - y, u - v), "*": lambda: (x * y, u * v)}.get(
        sign, lambda: (x / y, u / v)
    )()
