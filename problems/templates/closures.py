"""Formulas turned into fast functions of a row of floats.

A variant is drawn by evaluating a few hundred formulas; ``Expression.at`` over fractions would take milliseconds. Only
the four operations and whole powers are used, which IEEE 754 rounds the same way on every machine.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from fractions import Fraction
from functools import singledispatch

from problems.formulas.expression import (
    FUNCTIONS,
    Call,
    Expression,
    Name,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
)

Row = Sequence[float]
Formula = Callable[[Row], float]


def closure(expression: Expression, slots: Mapping[Hashable, int]) -> Formula:
    """The formula as a function of a row; ``slots`` says where in the row each name stands. Raises KeyError.

    The function raises ZeroDivisionError where the formula divides by zero.
    """
    return _closure(expression, slots)


@singledispatch
def _closure(expression: Expression, slots: Mapping[Hashable, int]) -> Formula:
    raise TypeError(f"no function for {type(expression).__name__}")


@_closure.register
def _(expression: Number, slots: Mapping[Hashable, int]) -> Formula:
    value = float(expression.value)
    return lambda row: value


@_closure.register
def _(expression: Name, slots: Mapping[Hashable, int]) -> Formula:
    slot = slots[expression.key]
    return lambda row: row[slot]


@_closure.register
def _(expression: Negative, slots: Mapping[Hashable, int]) -> Formula:
    operand = closure(expression.operand, slots)
    return lambda row: -operand(row)


@_closure.register
def _(expression: Sum, slots: Mapping[Hashable, int]) -> Formula:
    first, *rest = (closure(term, slots) for term in expression.terms)
    if len(rest) == 1:
        second = rest[0]
        return lambda row: first(row) + second(row)

    def total(row: Row) -> float:
        value = first(row)
        for term in rest:
            value += term(row)
        return value

    return total


@_closure.register
def _(expression: Product, slots: Mapping[Hashable, int]) -> Formula:
    first, *rest = (closure(factor, slots) for factor in expression.factors)
    if len(rest) == 1:
        second = rest[0]
        return lambda row: first(row) * second(row)

    def product(row: Row) -> float:
        value = first(row)
        for factor in rest:
            value *= factor(row)
        return value

    return product


@_closure.register
def _(expression: Quotient, slots: Mapping[Hashable, int]) -> Formula:
    top, bottom = closure(expression.top, slots), closure(expression.bottom, slots)
    return lambda row: top(row) / bottom(row)


@_closure.register
def _(expression: Power, slots: Mapping[Hashable, int]) -> Formula:
    base = closure(expression.base, slots)
    exponent = expression.exponent.at({}) if not expression.exponent.children else None
    if isinstance(exponent, Fraction) and exponent.denominator == 1 and 0 <= exponent <= 64:
        times = int(exponent)
        return lambda row: _whole_power(base(row), times)
    other = closure(expression.exponent, slots)
    return lambda row: float(base(row) ** other(row))


@_closure.register
def _(expression: Parallel, slots: Mapping[Hashable, int]) -> Formula:
    operands = [closure(operand, slots) for operand in expression.operands]

    def together(row: Row) -> float:
        total = operands[0](row)
        for operand in operands[1:]:
            value = operand(row)
            total = total * value / (total + value) if total or value else total
        return total

    return together


@_closure.register
def _(expression: Call, slots: Mapping[Hashable, int]) -> Formula:
    function, argument = FUNCTIONS[expression.function], closure(expression.argument, slots)
    return lambda row: float(function(argument(row)))


def _whole_power(base: float, times: int) -> float:
    value = 1.0
    for _ in range(times):
        value *= base
    return value
