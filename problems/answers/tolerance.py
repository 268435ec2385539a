"""When a value counts as the right one.

Within 1 % of the right value, limits included, compared exactly. A zero that a law gives is 0 only; a zero that comes
from cancellation has room of 0.5 % of the largest node voltage (or part current) of the circuit.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.formulas.ratio import Ratio
from problems.quantities import Quantity

SHARE = Fraction(1, 100)
NAMING_SHARE = Fraction(6, 1000)
"""Within which a value is that of a wrong move: rounded to three figures on the way, but not merely near.

95 % of three-figure workings of one to three steps end within 0.55 % (measured for the marking rules)."""
ZERO_SHARE = Fraction(1, 200)


def close(value: Any, wanted: Any) -> bool:
    """Within 1 % of ``wanted``, limits included; 0 only where that is 0. Formulas must be the same."""
    if isinstance(value, Ratio) or isinstance(wanted, Ratio):
        return bool(value == wanted)
    return bool(abs(value - wanted) <= SHARE * abs(wanted))


def names(value: Fraction, wrong: Fraction) -> bool:
    """Near enough to the value of a wrong move to be put down to it."""
    return abs(value - wrong) <= NAMING_SHARE * abs(wrong)


def near_zero(value: Fraction, quantity: Quantity, values: Mapping[Any, Any]) -> bool:
    """Small beside the largest node voltage, or the largest current, of the solution."""
    kind = "I" if quantity.kind == "I" else "V"
    sizes = (abs(known) for key, known in values.items() if isinstance(key, Quantity) and key.kind == kind)
    return abs(value) <= ZERO_SHARE * max(sizes, default=Fraction(0))
