"""Values that are still linear in unknowns: ``p + q·x``, over any exact number type."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from problems.formulas.phasor import Phasor


class NotAffine(ArithmeticError):
    """Two values that both hold an unknown were multiplied, or one was divided by."""


@dataclass(frozen=True, slots=True)
class Affine:
    """``constant + Σ slopes[x]·x``; slopes that are 0 are left out, so a value without any is a plain number."""

    constant: Any
    slopes: Mapping[str, Any]

    def __add__(self, other: Any) -> Any:
        if not isinstance(other, Affine):
            return Affine(self.constant + other, self.slopes)
        names = dict.fromkeys((*self.slopes, *other.slopes))
        slopes = {name: self.slopes.get(name, 0) + other.slopes.get(name, 0) for name in names}
        return simplest(self.constant + other.constant, slopes)

    __radd__ = __add__

    def __neg__(self) -> Affine:
        return Affine(-self.constant, {name: -slope for name, slope in self.slopes.items()})

    def __sub__(self, other: Any) -> Any:
        return self + -other

    def __rsub__(self, other: Any) -> Any:
        return -self + other

    def __mul__(self, other: Any) -> Any:
        if isinstance(other, Affine):
            raise NotAffine
        return simplest(self.constant * other, {name: slope * other for name, slope in self.slopes.items()})

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Any:
        if isinstance(other, Affine):
            raise NotAffine
        return Affine(self.constant / other, {name: slope / other for name, slope in self.slopes.items()})

    def __rtruediv__(self, other: Any) -> Any:
        raise NotAffine

    def __pow__(self, exponent: int) -> Any:
        if exponent != 1:
            raise NotAffine
        return self

    def __bool__(self) -> bool:
        return True


def simplest(constant: Any, slopes: Mapping[str, Any]) -> Any:
    """The value without zero slopes; a plain number where none is left."""
    kept = {name: slope for name, slope in slopes.items() if slope}
    return Affine(constant, kept) if kept else constant


def unknown(name: str, one: Any) -> Affine:
    """The unknown itself; ``one`` is the 1 of the number type in use."""
    return Affine(one - one, {name: one})


def one_like(value: Any) -> Any:
    """The 1 of the number type of a value."""
    if isinstance(value, Phasor):
        return Phasor(1)
    return value.field.one if hasattr(value, "field") else Fraction(1)
