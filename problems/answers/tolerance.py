"""When a value counts as the right one.

Within 1 % of the right value, limits included, compared exactly. A zero that a law gives is 0 only; a zero that comes
from cancellation has room of 0.5 % of the largest node voltage (or part current) of the circuit.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.formulas.phasor import Degrees, Phasor, phase_of
from problems.formulas.ratio import Ratio
from problems.quantities import Quantity

SHARE = Fraction(1, 100)
NAMING_SHARE = Fraction(6, 1000)
"""Within which a value is that of a wrong move: rounded to three figures on the way, but not merely near.

95 % of three-figure workings of one to three steps end within 0.55 % (measured for the marking rules)."""
ZERO_SHARE = Fraction(1, 200)
DEGREES = Fraction(1, 2)
"""How far a phase may be off: 0.5 degrees move a phasor by 0.9 % of its size, as 1 % of the size does."""


def close(value: Any, wanted: Any) -> bool:
    """Within 1 % of ``wanted``, limits included; 0 only where that is 0.

    A phasor is close where its size is and its phase is; a phase in degrees within half a degree, modulo 360; a formula
    where it is the same.
    """
    if type(value) is Fraction and type(wanted) is Fraction:
        return abs(value - wanted) <= SHARE * abs(wanted)
    if isinstance(value, Ratio) or isinstance(wanted, Ratio):
        return bool(value == wanted)
    if isinstance(wanted, Degrees):
        return not isinstance(value, Phasor) and same_direction(value, wanted)
    if isinstance(value, Phasor) or isinstance(wanted, Phasor):
        return same_size(value, wanted) and (not wanted or same_direction(phase_of(value), phase_of(wanted)))
    return bool(abs(value - wanted) <= SHARE * abs(wanted))


def names(value: Any, wrong: Any) -> bool:
    """Near enough to the value of a wrong move to be put down to it."""
    if type(value) is Fraction and type(wrong) is Fraction:
        return abs(value - wrong) <= NAMING_SHARE * abs(wrong)
    if isinstance(value, Phasor | Ratio) or isinstance(wrong, Phasor | Ratio | Degrees):
        return close(value, wrong)
    return bool(abs(value - wrong) <= NAMING_SHARE * abs(wrong))


def same_size(value: Any, wanted: Any) -> bool:
    """Whether the size of a phasor is within 1 %, compared exactly by the squares."""
    one, two = ((number.square if isinstance(number, Phasor) else number**2) for number in (value, wanted))
    return bool((1 - SHARE) ** 2 * two <= one <= (1 + SHARE) ** 2 * two)


def same_direction(degrees: Fraction, wanted: Fraction) -> bool:
    """Whether two angles in degrees are within half a degree on the circle."""
    off = (Fraction(degrees) - Fraction(wanted)) % 360
    return min(off, 360 - off) <= DEGREES


def near_zero(value: Fraction, quantity: Quantity, values: Mapping[Any, Any]) -> bool:
    """Small beside the largest node voltage, or the largest current, of the solution."""
    kind = "I" if quantity.kind == "I" else "V"
    sizes = (
        abs(v) for k, v in values.items() if isinstance(k, Quantity) and k.kind == kind and not isinstance(v, Ratio)
    )
    return abs(value) <= ZERO_SHARE * max(sizes, default=Fraction(0))
