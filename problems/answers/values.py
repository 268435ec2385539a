"""Evaluating what a learner typed: true values, the learner's own values, other values of the parts."""

from __future__ import annotations

import hashlib
from collections.abc import Hashable, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from problems.circuits.equations import unvalued
from problems.circuits.netlist import Netlist
from problems.derivation.contribution import contribution_values
from problems.derivation.lawset import LawSet
from problems.derivation.lesson import Lesson
from problems.derivation.reductions import true_values
from problems.formulas.expression import Call, Expression, Number, Power, Sum, keys, nodes
from problems.formulas.phasor import PI, ROOM, Phasor
from problems.formulas.ratio import Ratio
from problems.formulas.units import Measure
from problems.quantities import LAPLACE, Quantity, voltage


class NoValue(ValueError):
    """An expression without a value. key: the sentence ``unreadable.<key>``. name: the name without a value, if any."""

    def __init__(self, key: str, name: Hashable = ""):
        self.key, self.name = key, name
        super().__init__(key)


class Values(dict[Any, Any]):
    """An environment that also knows the voltage between any two nodes."""

    def __missing__(self, key: Any) -> Any:
        if isinstance(key, Quantity) and key.kind == "B":
            return self[voltage(key.of).by(key.source)] - self[voltage(key.to).by(key.source)]
        if key == "j":
            return Phasor(0, 1)
        raise KeyError(key)


def value_of(expression: Expression, env: Mapping[Any, Any]) -> Any:
    """The value, exact unless a root or a logarithm is in it: a Fraction, or a Ratio where values are only names.

    Raises NoValue, and never anything else.
    """
    try:
        value = expression.at(env)
    except KeyError as missing:
        raise NoValue("no-value", missing.args[0]) from None
    except ZeroDivisionError:
        raise NoValue("divides-by-zero") from None
    except (ArithmeticError, ValueError, TypeError):
        raise NoValue("no-number") from None
    if isinstance(value, Phasor) and "pi" not in env:  # only a circuit with capacitors or inductors has phasors
        if value.imag:
            raise NoValue("not-real")
        value = value.real
    try:
        return value if isinstance(value, Fraction | Ratio | Phasor) else Fraction(value)
    except (ArithmeticError, ValueError, TypeError):
        raise NoValue("no-number") from None


def number_of(expression: Expression, env: Mapping[Any, Any]) -> Any:
    """The value where a number is wanted: a Fraction or a Phasor. Raises NoValue, for a formula in s too."""
    value = value_of(expression, env)
    number = value.constant if isinstance(value, Ratio) else value
    if number is None:
        raise NoValue("no-number")
    return number


def in_degrees(value: Any, expression: Expression, quantity: Quantity) -> Any:
    """The value of a phase in degrees, where it was written in radians."""
    radians = any(isinstance(node, Measure) and node.unit == "rad" for node in nodes(expression))
    return value * 180 / PI if radians and quantity.unit == "deg" and isinstance(value, Fraction) else value


def only_names(expression: Expression) -> bool:
    """Whether a formula is in names alone; the 1 of ``1 + Rf/Ri`` is part of a formula."""
    return not any(
        isinstance(node, Number) and (isinstance(node, Measure) or node.value not in (0, 1))
        for node in nodes(expression)
    )


def holds_generally(residual: Expression, netlist: Netlist) -> bool:
    """Whether a formula that is 0 here stays 0 on two further sets of values: exactly, but for roots and logarithms.

    False where the circuit has no solution at any further values: nothing then speaks for it.
    """
    witnesses = further_values(netlist, speaks_of_sources(residual))
    try:
        return bool(witnesses) and all(_vanishes(residual, others) for others in witnesses)
    except NoValue:
        return False


def _vanishes(residual: Expression, values: Mapping[Any, Any]) -> bool:
    terms = residual.terms if isinstance(residual, Sum) else (residual,)
    room = ROOM * max(abs(value_of(term, values)) for term in terms) if _is_rounded(residual) else 0
    return bool(abs(value_of(residual, values)) <= room)


def _is_rounded(expression: Expression) -> bool:
    """Whether it is worked out in floating point."""
    return any(isinstance(node, Call | Power) for node in nodes(expression))


def in_numbers(lesson: Lesson) -> Lesson:
    """The same lesson with a value for everything that is only a name: for ranks, and to try what is said of names.

    Raises NoValue where the circuit has no solution then.
    """
    if lesson.is_numeric:
        return lesson
    found = _in_numbers(lesson.netlist, lesson.laws, tuple(lesson.feedback.items()))
    if found is None:
        raise NoValue("no-number")
    return found


@lru_cache(maxsize=32)
def _in_numbers(netlist: Netlist, laws: LawSet, feedback: tuple[tuple[str, str], ...]) -> Lesson | None:
    drawn = {symbol: _drawn(symbol, netlist.units.get(symbol, "")) for symbol in unvalued(netlist)}
    try:
        lesson = Lesson(netlist.with_values(drawn), laws, dict(feedback))
        return lesson if lesson.values else None
    except ValueError:
        return None


_SIZES: Mapping[str, Fraction] = {
    "ohm": Fraction(10_000),
    "F": Fraction(1, 10**7),
    "H": Fraction(1, 100),
    "A": Fraction(1, 1000),
}
"""About how large a value that is only a name is drawn."""


def _drawn(symbol: str, unit: str) -> Fraction:
    share = _other(symbol, Fraction(1, 2), 3, "")
    return share if not unit and symbol != LAPLACE else (share + Fraction(1, 3)) * _SIZES.get(unit, Fraction(1))


def speaks_of_sources(expression: Expression) -> bool:
    """Whether it names what a source contributes."""
    return any(isinstance(key, Quantity) and key.source for key in keys(expression))


@lru_cache(maxsize=128)
def further_values(netlist: Netlist, sources_apart: bool = False) -> tuple[Values, ...]:
    """The circuit solved for two other sets of part values: drawn by name, so always the same; a 0 and a setting at its
    end stay as they are, since other laws would hold without them.

    Sources stay as they are where the circuit contradicts itself otherwise: two that hold one node must agree.
    sources_apart: with what each source contributes.
    """
    sources = frozenset(p.symbol for part in netlist.parts if part.independent for p in part.parameters)
    found = [
        _solved(netlist, number, frozenset(), sources_apart) or _solved(netlist, number, sources, sources_apart)
        for number in (1, 2)
    ]
    return tuple(values for values in found if values is not None)


def _solved(netlist: Netlist, number: int, kept: frozenset[str], sources_apart: bool) -> Values | None:
    """One further set of values, all but the kept ones changed; None where it contradicts itself."""
    others = {
        symbol: value if symbol in kept else _other(symbol, value, number, netlist.units.get(symbol, ""))
        for symbol, value in netlist.values.items()
    }
    if unvalued(netlist) == (LAPLACE,):
        others[LAPLACE] = _drawn(LAPLACE, "") + number
    try:
        changed, laws = netlist.with_values(others), Lesson.of(netlist).laws
        return Values(
            {**true_values(changed, laws.defining), **(contribution_values(changed, laws) if sources_apart else {})}
        )
    except ValueError:
        return None


def _other(symbol: str, value: Fraction, number: int, unit: str) -> Fraction:
    share = Fraction(int.from_bytes(hashlib.sha256(f"{symbol} {number}".encode()).digest()[:2], "big") + 1, 65537)
    if not value or (not unit and value == 1):
        return value
    return share if not unit else value * (Fraction(1, 2) + share * 2)


def zero_is_exact(quantity: Quantity, lesson: Lesson, seen: frozenset[Quantity] = frozenset()) -> bool:
    """Whether a zero comes from a law (a virtual ground, an input pin), not from terms that cancel."""
    law = lesson.own_law(quantity)
    if law is None or law.given or quantity in seen:
        return True
    values = Values(lesson.values)
    for node in nodes(law.relation):
        parts = [child for child in node.children if _nonzero(child, values)]
        if parts and isinstance(node, Sum) and not _nonzero(node, values):
            return False
    zeros = (tail for tail in law.tails if not values.get(tail, 1))
    return all(zero_is_exact(tail, lesson, seen | {quantity}) for tail in zeros)


def _nonzero(expression: Expression, values: Mapping[Any, Any]) -> bool:
    try:
        return bool(value_of(expression, values))
    except NoValue:
        return False
