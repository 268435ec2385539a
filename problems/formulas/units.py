"""Units and prefixes, and what unit a formula has.

The volt, the ampere and the second are enough for circuits: every other unit is a product of their powers
(SI Brochure, 9th edition, table 4: 1 Ω = 1 V/A, 1 F = 1 A·s/V, 1 H = 1 V·s/A, 1 W = 1 V·A).
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import singledispatch
from typing import NamedTuple

from problems.formulas.expression import (
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


class Dimension(NamedTuple):
    """Powers of the volt, the ampere and the second."""

    volt: int = 0
    ampere: int = 0
    second: int = 0

    def times(self, other: Dimension) -> Dimension:
        return Dimension(*(a + b for a, b in zip(self, other, strict=True)))

    def power(self, exponent: int) -> Dimension:
        return Dimension(*(a * exponent for a in self))


PURE = Dimension()
"""A number without a unit."""

DIMENSIONS: Mapping[str, Dimension] = {
    "": PURE,
    "%": PURE,
    "rad": PURE,
    "deg": PURE,
    "V/s": Dimension(1, 0, -1),
    "V": Dimension(1, 0, 0),
    "A": Dimension(0, 1, 0),
    "ohm": Dimension(1, -1, 0),
    "S": Dimension(-1, 1, 0),
    "W": Dimension(1, 1, 0),
    "s": Dimension(0, 0, 1),
    "Hz": Dimension(0, 0, -1),
    "F": Dimension(-1, 1, 1),
    "H": Dimension(1, -1, 1),
    "C": Dimension(0, 1, 1),
    "J": Dimension(1, 1, 1),
}
"""The units the program knows, by the name it uses inside."""

PREFIXES: Mapping[str, int] = {"f": -15, "p": -12, "n": -9, "u": -6, "m": -3, "k": 3, "K": 3, "M": 6, "G": 9, "T": 12}
"""Prefix to power of ten; the capital K is how IEC 60062 writes kilo. µ is read as u before it comes here."""

PREFIX_WORDS: Mapping[str, int] = {"pico": -12, "nano": -9, "micro": -6, "milli": -3, "kilo": 3, "mega": 6, "giga": 9}
"""Prefixes as a word, before a unit that is one: ``microamps``."""


def _words(*words: str) -> tuple[str, ...]:
    """Names of a unit, each with a small and a capital letter, one and several."""
    forms = (form for word in words for form in (word, f"{word}s"))
    return tuple(spelling for form in forms for spelling in (form, form.capitalize()))


SPELLINGS: Mapping[str, tuple[str, ...]] = {
    "V": ("V", "v", *_words("volt")),
    "A": ("A", "a", *_words("amp", "ampere")),
    "ohm": (*_words("ohm"), "Ω", "R"),
    "S": ("S", "siemens", "Siemens"),
    "W": ("W", *_words("watt")),
    "s": ("s", "sec", *_words("second")),
    "Hz": ("Hz", "hz", "hertz", "Hertz"),
    "F": ("F", *_words("farad")),
    "H": ("H", *_words("henry"), "henries"),
    "C": ("C",),
    "J": ("J",),
    "V/s": ("V/s",),
}


class Unit(NamedTuple):
    """A unit with its prefix: ``mA`` is (1/1000, "A")."""

    scale: Fraction
    name: str

    @property
    def dimension(self) -> Dimension:
        return DIMENSIONS[self.name]


def _units() -> dict[str, Unit]:
    found = {"%": Unit(Fraction(1, 100), "%"), "rad": Unit(Fraction(1), "rad"), "V/ms": Unit(Fraction(1000), "V/s")}
    found |= dict.fromkeys(("deg", "degree", "degrees"), Unit(Fraction(1), "deg"))
    for name, spellings in SPELLINGS.items():
        for spelling in spellings:
            found.setdefault(spelling, Unit(Fraction(1), name))
            for prefix, power in PREFIXES.items():
                found.setdefault(prefix + spelling, Unit(Fraction(10) ** power, name))
            for word, power in PREFIX_WORDS.items() if spelling[1:].islower() and len(spelling) > 2 else ():
                found.setdefault(word + spelling.lower(), Unit(Fraction(10) ** power, name))
    found["kilohm"] = found["kilohms"] = found["kiloohm"]
    return found


UNITS: Mapping[str, Unit] = _units()
"""Every unit a person may write, with and without prefix."""


def prefix_scale(word: str) -> Fraction | None:
    """What a prefix alone multiplies by; None where the word is no prefix."""
    return Fraction(10) ** PREFIXES[word] if word in PREFIXES else None


@dataclass(frozen=True, slots=True)
class Measure(Number):
    """A number with its unit, kept in SI: ``2.5 mA`` has the value 1/400 and the unit ``A``."""

    unit: str = ""


@dataclass(frozen=True, slots=True)
class UnitWord(Measure):
    """A unit with no number before it, as in ``(0.8 - 0.56) V``."""


class UnitClash(ValueError):
    """Two terms that cannot be added. first, second: their dimensions."""

    def __init__(self, first: Dimension, second: Dimension):
        self.first, self.second = first, second
        super().__init__(f"{unit_name(first)} and {unit_name(second)} cannot be added")


def unit_name(dimension: Dimension) -> str:
    """The name of the unit of that dimension; a product of powers where it has no name of its own."""
    for name, known in DIMENSIONS.items():
        if known == dimension and name not in {"%", "rad", "deg"}:
            return name
    letters = zip(("V", "A", "s"), dimension, strict=True)
    return "·".join(letter if power == 1 else f"{letter}^{power}" for letter, power in letters if power)


@singledispatch
def dimension_of(expression: Expression, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    """Dimension of a formula; None where bare numbers leave it open: they may stand for any quantity.

    dims: dimension of each name; a name that is missing leaves it open. Raises UnitClash for a sum of unlike terms.
    """
    raise TypeError(f"no dimension rule for {type(expression).__name__}")


@dimension_of.register
def _(expression: Number, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    return DIMENSIONS[expression.unit] if isinstance(expression, Measure) else None


@dimension_of.register
def _(expression: Name, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    return dims.get(expression.key)


@dimension_of.register(Sum)
@dimension_of.register(Parallel)
def _(expression: Sum | Parallel, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    known: Dimension | None = None
    for child in expression.children:
        found = dimension_of(child, dims)
        if found is not None and known is not None and found != known:
            raise UnitClash(known, found)
        known = known if found is None else found
    return known


@dimension_of.register
def _(expression: Negative, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    return dimension_of(expression.operand, dims)


@dimension_of.register
def _(expression: Product, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    found = [dimension_of(factor, dims) for factor in expression.factors]
    if any(isinstance(factor, UnitWord) for factor in expression.factors):
        found = [PURE if dimension is None else dimension for dimension in found]
    total = PURE
    for dimension in found:
        if dimension is None:
            return None
        total = total.times(dimension)
    return total


@dimension_of.register
def _(expression: Quotient, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    top, bottom = dimension_of(expression.top, dims), dimension_of(expression.bottom, dims)
    if isinstance(expression.bottom, UnitWord) and top is None:
        top = PURE
    return None if top is None or bottom is None else top.times(bottom.power(-1))


@dimension_of.register
def _(expression: Power, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    base = dimension_of(expression.base, dims)
    dimension_of(expression.exponent, dims)
    exponent = expression.exponent
    if isinstance(exponent, Negative) and isinstance(exponent.operand, Number):
        exponent = Number(-exponent.operand.value)
    if base is None or base == PURE:
        return base
    return base.power(int(exponent.value)) if isinstance(exponent, Number) and exponent.value.denominator == 1 else None


@dimension_of.register
def _(expression: Call, dims: Mapping[Hashable, Dimension]) -> Dimension | None:
    argument = dimension_of(expression.argument, dims)
    if expression.function == "abs":
        return argument
    if expression.function == "sqrt" and argument is not None:
        return Dimension(*(power // 2 for power in argument)) if not any(p % 2 for p in argument) else None
    return None
