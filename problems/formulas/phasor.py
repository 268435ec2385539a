"""Exact complex numbers, for circuits at one frequency: a phasor has a size and a phase against the sources.

Real and imaginary part are exact fractions, so that two ways to a value agree to the last digit; π, which no fraction
equals, is taken to 40 digits. A size and a phase are roots and angles: they are worked out from the exact parts.
"""

from __future__ import annotations

import cmath
import math
from fractions import Fraction
from functools import cached_property
from typing import Any

PI = Fraction(3141592653589793238462643383279502884197, 10**39)
"""π to 40 digits, from memory (OEIS A000796 has them); ``tests/formulas/test_phasor.py`` works them out anew."""
_ROOT_BITS = 160


class Degrees(Fraction):
    """An angle in degrees. It is judged by distance on the circle, never as a share of itself."""

    @classmethod
    def around(cls, degrees: float) -> Degrees:
        """The same direction, above -180 and up to 180 degrees."""
        turned = math.remainder(degrees, 360.0)
        return cls(turned + 360.0 if turned <= -180.0 else turned)


class Phasor:
    """``(real + j·imag)``, exact. Mixes with Fraction, int and Python's complex numbers."""

    __slots__ = ("__dict__", "_bottom", "_imag", "_real")

    def __init__(self, real: Fraction | int, imag: Fraction | int = 0):
        one, two = Fraction(real), Fraction(imag)
        self._set(one.numerator * two.denominator, two.numerator * one.denominator, one.denominator * two.denominator)

    def _set(self, real: int, imag: int, bottom: int) -> None:
        shared = math.gcd(real, imag, bottom)
        if bottom < 0:
            shared = -shared
        self._real, self._imag, self._bottom = real // shared, imag // shared, bottom // shared

    @classmethod
    def _made(cls, real: int, imag: int, bottom: int) -> Phasor:
        found = cls.__new__(cls)
        found._set(real, imag, bottom)
        return found

    @classmethod
    def polar(cls, size: Fraction, degrees: Fraction | float) -> Phasor:
        """The phasor of a size and a phase in degrees, as exact as floating point turns it."""
        turned = cmath.rect(1.0, math.radians(math.remainder(float(degrees), 360.0)))
        return cls(Fraction(turned.real), Fraction(turned.imag)) * size

    @property
    def real(self) -> Fraction:
        return Fraction(self._real, self._bottom)

    @property
    def imag(self) -> Fraction:
        return Fraction(self._imag, self._bottom)

    @cached_property
    def square(self) -> Fraction:
        """Square of the size, exact."""
        return Fraction(self._real**2 + self._imag**2, self._bottom**2)

    @property
    def phase(self) -> Degrees:
        """The phase, above -180 and up to 180 degrees; 0 of a phasor that is 0."""
        largest = max(abs(self._real), abs(self._imag)) or 1
        real, imag = float(Fraction(self._real, largest)), float(Fraction(self._imag, largest))
        return Degrees.around(math.degrees(math.atan2(imag, real)))

    def conjugate(self) -> Phasor:
        return Phasor._made(self._real, -self._imag, self._bottom)

    def __abs__(self) -> Fraction:
        """The size; exact where the root is, else to some 45 digits."""
        square = self._real**2 + self._imag**2
        root = math.isqrt(square)
        if root * root == square:
            return Fraction(root, self._bottom)
        raised = max(0, _ROOT_BITS - square.bit_length() // 2)
        return Fraction(math.isqrt(square << (2 * raised)), self._bottom << raised)

    def __add__(self, other: object) -> Phasor:
        right = _lifted(other)
        if right is None:
            return NotImplemented
        one, two = self._bottom, right._bottom
        return Phasor._made(self._real * two + right._real * one, self._imag * two + right._imag * one, one * two)

    __radd__ = __add__

    def __neg__(self) -> Phasor:
        return Phasor._made(-self._real, -self._imag, self._bottom)

    def __sub__(self, other: object) -> Phasor:
        right = _lifted(other)
        return NotImplemented if right is None else self + -right

    def __rsub__(self, other: object) -> Phasor:
        return -self + other

    def __mul__(self, other: object) -> Phasor:
        right = _lifted(other)
        if right is None:
            return NotImplemented
        real = self._real * right._real - self._imag * right._imag
        imag = self._real * right._imag + self._imag * right._real
        return Phasor._made(real, imag, self._bottom * right._bottom)

    __rmul__ = __mul__

    def __truediv__(self, other: object) -> Phasor:
        right = _lifted(other)
        return NotImplemented if right is None else self * right._inverse()

    def __rtruediv__(self, other: object) -> Phasor:
        return self._inverse() * other

    def _inverse(self) -> Phasor:
        square = self._real**2 + self._imag**2
        if not square:
            raise ZeroDivisionError("a phasor that is 0 has no inverse")
        return Phasor._made(self._real * self._bottom, -self._imag * self._bottom, square)

    def __pow__(self, exponent: int) -> Phasor:
        if not isinstance(exponent, int):
            raise TypeError("a phasor has whole powers only")
        base, found = (self, Phasor(1)) if exponent >= 0 else (self._inverse(), Phasor(1))
        for _ in range(abs(exponent)):
            found = found * base
        return found

    def __bool__(self) -> bool:
        return bool(self._real or self._imag)

    def __eq__(self, other: object) -> bool:
        right = _lifted(other)
        if right is None:
            return NotImplemented
        return (self._real, self._imag, self._bottom) == (right._real, right._imag, right._bottom)

    def __hash__(self) -> int:
        return hash(self.real) if not self._imag else hash((self._real, self._imag, self._bottom))

    def __complex__(self) -> complex:
        return complex(float(self.real), float(self.imag))

    def __repr__(self) -> str:
        return f"Phasor({self.real}, {self.imag})"


def _lifted(other: object) -> Phasor | None:
    if isinstance(other, Phasor):
        return other
    if isinstance(other, Fraction | int):
        return Phasor(other)
    if isinstance(other, complex) and cmath.isfinite(other):
        return Phasor(Fraction(other.real), Fraction(other.imag))
    return None


def laplace_at(frequency: Fraction) -> Phasor:
    """``s = j·2π·f`` at a frequency in hertz."""
    return Phasor(0, 2 * PI * frequency)


def phase_of(value: Any) -> Degrees:
    """Phase of a number: 0 or 180 degrees of a real one."""
    if isinstance(value, Phasor):
        return value.phase
    found = complex(value)
    return Degrees.around(math.degrees(cmath.phase(found)))


def real_of(value: Any) -> Any:
    """The real part of a number. Raises TypeError for a formula, which has none."""
    return _number(value).real


def imag_of(value: Any) -> Any:
    """The imaginary part of a number. Raises TypeError for a formula, which has none."""
    return _number(value).imag


def turn(degrees: Any) -> Phasor:
    """The phasor of size 1 with this phase."""
    return Phasor.polar(Fraction(1), degrees)


def conjugate_of(value: Any) -> Any:
    """The number with its phase turned round; a real one is its own. Raises TypeError for a formula."""
    return _number(value).conjugate()


def _number(value: Any) -> Any:
    if not isinstance(value, Phasor | Fraction | int | float | complex):
        raise TypeError(f"a number is wanted here, not a {type(value).__name__}")
    return value


ROOM = Fraction(1, 10**9)
"""Share of a value by which floating point, in roots, logarithms and angles, may be off."""


def are_one(value: Any, other: Any) -> bool:
    """Whether two values are the same but for floating point: numbers within ``ROOM``, all else if equal."""
    if isinstance(value, Fraction | Phasor) and isinstance(other, Fraction | Phasor):
        return bool(abs(value - other) <= ROOM * max(abs(value), abs(other)))
    return bool(value == other)
