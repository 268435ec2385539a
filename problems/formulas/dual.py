"""A value with its exact slopes: what a formula changes by when each quantity changes by one."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

Slopes = Mapping[Hashable, Any]


@dataclass(frozen=True)
class Dual:
    """value: any exact number. slopes: the derivative in each quantity, zeros left out."""

    value: Any
    slopes: Slopes = field(default_factory=dict)

    @classmethod
    def of(cls, key: Hashable, value: Any) -> Dual:
        """The quantity ``key`` itself, at that value."""
        return cls(value, {key: Fraction(1)})

    def _mix(self, own: Any, other: Any, others: Any) -> Slopes:
        """``own`` times these slopes plus ``others`` times the other's."""
        keys = {**self.slopes, **other.slopes}
        mixed = {key: own * self.slopes.get(key, 0) + others * other.slopes.get(key, 0) for key in keys}
        return {key: slope for key, slope in mixed.items() if slope}

    def __add__(self, other: Any) -> Dual:
        right = _lifted(other)
        return Dual(self.value + right.value, self._mix(1, right, 1))

    __radd__ = __add__

    def __neg__(self) -> Dual:
        return Dual(-self.value, {key: -slope for key, slope in self.slopes.items()})

    def __sub__(self, other: Any) -> Dual:
        return self + -_lifted(other)

    def __rsub__(self, other: Any) -> Dual:
        return _lifted(other) + -self

    def __mul__(self, other: Any) -> Dual:
        right = _lifted(other)
        return Dual(self.value * right.value, self._mix(right.value, right, self.value))

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Dual:
        right = _lifted(other)
        value = self.value / right.value
        return Dual(value, self._mix(1 / right.value, right, -value / right.value))

    def __rtruediv__(self, other: Any) -> Dual:
        return _lifted(other) / self

    def __pow__(self, exponent: Any) -> Dual:
        if isinstance(exponent, Dual):
            raise TypeError("the power of a formula is a plain number")
        if not exponent:
            return Dual(self.value**exponent)
        slope = exponent * self.value ** (exponent - 1)
        return Dual(self.value**exponent, {key: slope * own for key, own in self.slopes.items() if slope})

    def __abs__(self) -> Dual:
        return -self if self.value < 0 else self

    def __bool__(self) -> bool:
        return bool(self.value)


def _lifted(value: Any) -> Dual:
    return value if isinstance(value, Dual) else Dual(value)
