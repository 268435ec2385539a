"""One expression tree for every formula in the program.

A relation of a law, a typed answer and a keep-rule are all trees of these nine frozen nodes. ``at`` is the one
evaluator: it uses plain operators only, so the same tree runs over fractions, polynomials, affine values and floats.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from problems.formulas.phasor import conjugate_of, imag_of, phase_of, real_of, turn

Environment = Mapping[Hashable, Any]
"""What each name stands for: any number type that knows + - * / and whole powers."""


class Expression:
    """A node of the tree; combine nodes with the usual operators."""

    __slots__ = ()

    def at(self, env: Environment) -> Any:
        """Value under ``env``. Raises KeyError for an unknown name, ZeroDivisionError where it divides by zero."""
        raise NotImplementedError

    @property
    def children(self) -> tuple[Expression, ...]:
        """The nodes directly below, in reading order."""
        return ()

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        """The same kind of node over other children."""
        return self

    def __add__(self, other: Expression) -> Expression:
        left = self.terms if isinstance(self, Sum) else (self,)
        return Sum((*left, other))

    def __sub__(self, other: Expression) -> Expression:
        return self + Negative(other)

    def __mul__(self, other: Expression) -> Expression:
        left = self.factors if isinstance(self, Product) else (self,)
        right = other.factors if isinstance(other, Product) else (other,)
        return Product((*left, *right))

    def __truediv__(self, other: Expression) -> Expression:
        return Quotient(self, other)

    def __pow__(self, other: Expression) -> Expression:
        return Power(self, other)

    def __neg__(self) -> Expression:
        return Negative(self)


@dataclass(frozen=True, slots=True)
class Number(Expression):
    """An exact constant. ``text`` is how it was written, for echoing a learner's own figures."""

    value: Fraction
    text: str = ""

    def at(self, env: Environment) -> Any:
        return self.value


@dataclass(frozen=True, slots=True)
class Name(Expression):
    """A value with a name: the parameter of a part (a string such as ``"R1"``) or a ``Quantity``."""

    key: Hashable

    def at(self, env: Environment) -> Any:
        return env[self.key]


@dataclass(frozen=True, slots=True)
class Sum(Expression):
    terms: tuple[Expression, ...]

    def at(self, env: Environment) -> Any:
        total = self.terms[0].at(env)
        for term in self.terms[1:]:
            total = total - term.operand.at(env) if isinstance(term, Negative) else total + term.at(env)
        return total

    @property
    def children(self) -> tuple[Expression, ...]:
        return self.terms

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        return Sum(children)


@dataclass(frozen=True, slots=True)
class Product(Expression):
    factors: tuple[Expression, ...]

    def at(self, env: Environment) -> Any:
        total = self.factors[0].at(env)
        for factor in self.factors[1:]:
            total = total * factor.at(env)
        return total

    @property
    def children(self) -> tuple[Expression, ...]:
        return self.factors

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        return Product(children)


@dataclass(frozen=True, slots=True)
class Negative(Expression):
    operand: Expression

    def at(self, env: Environment) -> Any:
        return -self.operand.at(env)

    @property
    def children(self) -> tuple[Expression, ...]:
        return (self.operand,)

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        return Negative(*children)


@dataclass(frozen=True, slots=True)
class Quotient(Expression):
    top: Expression
    bottom: Expression

    def at(self, env: Environment) -> Any:
        return self.top.at(env) / self.bottom.at(env)

    @property
    def children(self) -> tuple[Expression, ...]:
        return (self.top, self.bottom)

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        return Quotient(*children)


@dataclass(frozen=True, slots=True)
class Power(Expression):
    """A power; whole exponents stay exact, others fall to floating point."""

    base: Expression
    exponent: Expression

    def at(self, env: Environment) -> Any:
        exponent = self.exponent.at(env)
        if isinstance(exponent, Fraction) and exponent.denominator == 1:
            return self.base.at(env) ** int(exponent)
        return self.base.at(env) ** exponent

    @property
    def children(self) -> tuple[Expression, ...]:
        return (self.base, self.exponent)

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        return Power(*children)


@dataclass(frozen=True, slots=True)
class Parallel(Expression):
    """Resistances side by side, written ``R1 || R2``; 0 when one of them is 0."""

    operands: tuple[Expression, ...]

    def at(self, env: Environment) -> Any:
        total = self.operands[0].at(env)
        for operand in self.operands[1:]:
            value = operand.at(env)
            if not total and not value:
                return total
            total = total * value / (total + value)
        return total

    @property
    def children(self) -> tuple[Expression, ...]:
        return self.operands

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        return Parallel(children)


FUNCTIONS: Mapping[str, Callable[[Any], Any]] = {
    "sqrt": math.sqrt,
    "exp": math.exp,
    "ln": math.log,
    "log10": math.log10,
    "abs": abs,
    "phase": phase_of,
    "conj": conjugate_of,
    "real": real_of,
    "imag": imag_of,
    "turn": turn,
    "radians": math.radians,
    "sin": math.sin,
    "cos": math.cos,
    "atan": math.atan,
}
"""The functions a formula may call; all but ``abs`` and ``conj`` answer in floating point."""


@dataclass(frozen=True, slots=True)
class Call(Expression):
    function: str
    argument: Expression

    def at(self, env: Environment) -> Any:
        return FUNCTIONS[self.function](self.argument.at(env))

    @property
    def children(self) -> tuple[Expression, ...]:
        return (self.argument,)

    def with_children(self, children: tuple[Expression, ...]) -> Expression:
        return Call(self.function, *children)


ZERO = Number(Fraction(0))
ONE = Number(Fraction(1))


def nodes(expression: Expression) -> Iterator[Expression]:
    """Every node of the tree, parents first, left to right."""
    stack = [expression]
    while stack:
        node = stack.pop()
        yield node
        stack.extend(reversed(node.children))


def keys(expression: Expression) -> frozenset[Hashable]:
    """The names that the expression depends on."""
    return frozenset(node.key for node in nodes(expression) if isinstance(node, Name))


def substitute(expression: Expression, replacements: Mapping[Hashable, Expression]) -> Expression:
    """The expression with names replaced by whole expressions."""
    if isinstance(expression, Name):
        return replacements.get(expression.key, expression)
    if not expression.children:
        return expression
    return expression.with_children(tuple(substitute(child, replacements) for child in expression.children))


def total(terms: tuple[Expression, ...]) -> Expression:
    """The sum of any number of terms: none is 0, one is itself."""
    return terms[0] if len(terms) == 1 else Sum(terms) if terms else ZERO
