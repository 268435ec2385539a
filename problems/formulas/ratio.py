"""Formulas as reduced fractions of polynomials with whole coefficients, exact and fast; flint does the polynomials.

Over the integers a common divisor carries its numeric factor along. Over the rationals it would be monic, and the
coefficients of a long elimination would grow to thousands of digits.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from problems.formulas.phasor import Phasor


class Field:
    """All fractions of polynomials in the given names. ``Ratio`` values of two fields do not mix."""

    def __init__(self, names: Iterable[str]):
        from flint import Ordering, fmpz_mpoly_ctx

        self.names = tuple(dict.fromkeys(names))
        self._ring = fmpz_mpoly_ctx.get([f"x{i}" for i in range(max(1, len(self.names)))], Ordering.deglex)
        self.unit = self._ring.constant(1)
        self.one = Ratio(self, self.unit, self.unit)
        self.zero = Ratio(self, self._ring.constant(0), self.unit)
        generators = zip(self.names, self._ring.gens(), strict=False)
        self.generators: Mapping[str, Ratio] = {name: Ratio(self, gen, self.unit) for name, gen in generators}

    def number(self, value: Fraction | int) -> Ratio:
        """A constant of the field."""
        if isinstance(value, Fraction):
            return Ratio(self, self._ring.constant(value.numerator), self._ring.constant(value.denominator))
        return Ratio(self, self._ring.constant(value), self.unit)

    def environment(self, values: Mapping[str, Fraction]) -> dict[str, Ratio]:
        """Every name as itself, and the known ones as their numbers."""
        return dict(self.generators) | {name: self.number(value) for name, value in values.items()}


class Ratio:
    """A reduced fraction of polynomials; mixes with Fraction and int. Make it through a ``Field``."""

    __slots__ = ("bottom", "field", "top")

    def __init__(self, field: Field, top: Any, bottom: Any):
        self.field, self.top, self.bottom = field, top, bottom

    def _of(self, other: object) -> Ratio | None:
        if isinstance(other, Ratio):
            return other
        return self.field.number(other) if isinstance(other, Fraction | int) else None

    def _reduced(self, top: Any, bottom: Any) -> Ratio:
        """The fraction with common divisors taken out and a denominator that leads with a positive number."""
        if not top:
            return self.field.zero
        if bottom.leading_coefficient() < 0:
            top, bottom = -top, -bottom
        if bottom == self.field.unit:
            return Ratio(self.field, top, bottom)
        divisor = top.gcd(bottom)
        if divisor == self.field.unit:
            return Ratio(self.field, top, bottom)
        return Ratio(self.field, top / divisor, bottom / divisor)

    def __add__(self, other: object) -> Ratio:
        right = self._of(other)
        if right is None:
            return NotImplemented
        if self.bottom == right.bottom:
            return self._reduced(self.top + right.top, self.bottom)
        divisor = self.bottom.gcd(right.bottom)
        mine, theirs = right.bottom / divisor, self.bottom / divisor
        top = self.top * mine + right.top * theirs
        if not top:
            return self.field.zero
        # Only the shared part of the two denominators can still divide the new numerator.
        rest = top.gcd(divisor)
        return Ratio(self.field, top / rest, theirs * (right.bottom / rest))

    __radd__ = __add__

    def __neg__(self) -> Ratio:
        return Ratio(self.field, -self.top, self.bottom)

    def __sub__(self, other: object) -> Ratio:
        right = self._of(other)
        return NotImplemented if right is None else self + -right

    def __rsub__(self, other: object) -> Ratio:
        return -self + other

    def __mul__(self, other: object) -> Ratio:
        right = self._of(other)
        if right is None:
            return NotImplemented
        if not self.top or not right.top:
            return self.field.zero
        one, two = self.top.gcd(right.bottom), right.top.gcd(self.bottom)
        return Ratio(self.field, (self.top / one) * (right.top / two), (self.bottom / two) * (right.bottom / one))

    __rmul__ = __mul__

    def __truediv__(self, other: object) -> Ratio:
        right = self._of(other)
        return NotImplemented if right is None else self * right._inverse()

    def __rtruediv__(self, other: object) -> Ratio:
        return self._inverse() * other

    def _inverse(self) -> Ratio:
        if not self.top:
            raise ZeroDivisionError("a formula that is 0 has no inverse")
        if self.top.leading_coefficient() < 0:
            return Ratio(self.field, -self.bottom, -self.top)
        return Ratio(self.field, self.bottom, self.top)

    def __pow__(self, exponent: int) -> Ratio:
        if exponent < 0:
            return self._inverse() ** -exponent
        return Ratio(self.field, self.top**exponent, self.bottom**exponent)

    def __bool__(self) -> bool:
        return bool(self.top)

    def __eq__(self, other: object) -> bool:
        right = self._of(other)
        return NotImplemented if right is None else self.top == right.top and self.bottom == right.bottom

    def __hash__(self) -> int:
        constant = self.constant
        return hash((str(self.top), str(self.bottom))) if constant is None else hash(constant)

    def __repr__(self) -> str:
        return f"({self.top})/({self.bottom})"

    @property
    def weight(self) -> int:
        """How long it is, in terms; 1 for a number that is ±1, so that elimination divides by those first."""
        if self.bottom == self.field.unit and self.top in (self.field.unit, -self.field.unit):
            return 1
        return len(self.top) + len(self.bottom)

    @property
    def constant(self) -> Fraction | None:
        """The number that it is, or None where a name is left in it."""
        if not (self.top.is_constant() and self.bottom.is_constant()):
            return None
        top = int(self.top.leading_coefficient()) if self.top else 0
        return Fraction(top, int(self.bottom.leading_coefficient()))

    def with_zero(self, name: str) -> Ratio | None:
        """The limit as a name goes to 0; None where that grows without bound."""
        if name not in self.field.generators:
            return self
        variable = self.field.names.index(name)
        bottom = self.bottom.subs({variable: 0})
        # A reduced fraction cannot vanish above and below: the name would divide both.
        return self._reduced(self.top.subs({variable: 0}), bottom) if bottom else None


def to_sympy(value: Ratio | Phasor | Fraction | int) -> Any:
    """The value as sympy has it: exact Rationals, complex where a phasor is, or a fraction of expanded polynomials in
    plain Symbols."""
    import sympy

    if isinstance(value, Phasor):
        return to_sympy(value.real) + sympy.I * to_sympy(value.imag)

    if not isinstance(value, Ratio):
        fraction = Fraction(value)
        return sympy.Rational(fraction.numerator, fraction.denominator)
    symbols = [sympy.Symbol(name) for name in value.field.names]
    return _polynomial(value.top, symbols) / _polynomial(value.bottom, symbols)


def _polynomial(polynomial: Any, symbols: list[Any]) -> Any:
    """A polynomial with the factor that all its terms share taken out: ``Vin*(2*k - 1)``."""
    import sympy

    if not polynomial:
        return sympy.Integer(0)
    shared = polynomial.term_content()
    return _sum(shared, symbols) * _sum(polynomial / shared, symbols)


def _sum(polynomial: Any, symbols: list[Any]) -> Any:
    import sympy

    terms = []
    for powers, coefficient in polynomial.to_dict().items():
        factors = [symbol**power for symbol, power in zip(symbols, powers, strict=False) if power]
        terms.append(sympy.Mul(sympy.Integer(int(coefficient)), *factors))
    return sympy.Add(*terms)
