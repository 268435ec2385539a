"""How large the exact value of a typed formula may become."""

from __future__ import annotations

from fractions import Fraction

from problems.formulas.expression import Call, Expression, Name, Number, Power, nodes

MAX_POWER = 12
MAX_WEIGHT = 20_000
"""Bits that the exact value of a formula may come to, roughly."""
NAME_WEIGHT = 200


def constant(expression: Expression) -> Fraction | None:
    """The value of a formula without names; None where it has names or no exact value."""
    if any(isinstance(node, Name | Call) for node in nodes(expression)):
        return None
    try:
        value = expression.at({})
    except (ArithmeticError, ValueError):
        return None
    return value if isinstance(value, Fraction) else None


def weight(expression: Expression) -> int:
    """Roughly the bits of a formula's exact value."""
    if isinstance(expression, Number):
        return expression.value.numerator.bit_length() + expression.value.denominator.bit_length()
    if isinstance(expression, Name):
        return NAME_WEIGHT
    below = sum(weight(child) for child in expression.children)
    if isinstance(expression, Power):
        value = constant(expression.exponent)
        return below * max(1, abs(int(value))) if value is not None else below
    return 64 if isinstance(expression, Call) else below
