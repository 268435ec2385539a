"""Fixed stand-ins for values that are only names, for questions that a number has to settle."""

from __future__ import annotations

from fractions import Fraction

from problems.circuits.netlist import Netlist
from problems.quantities import LAPLACE

_SPREAD = (7, 11, 5, 13, 3, 17, 9, 19, 6, 23)
"""Eighths; no two of the first ten alike, so that unequal names get unequal values."""


def sample(netlist: Netlist, number: int, free_s: bool = False) -> dict[str, Fraction]:
    """Positive values for every symbol without one, beside the known ones.

    number: 0 gives all parts of a unit one value and every setting one half; others spread them, settings staying
    between 0 and 1. free_s: Laplace's s is sampled though it has a value.
    """
    values = dict(netlist.values)
    if free_s:
        values.pop(LAPLACE, None)
    typical = {unit: abs(values[name]) for name, unit in reversed(tuple(netlist.units.items())) if values.get(name)}
    for index, (name, unit) in enumerate([*netlist.units.items(), (LAPLACE, "1/s")]):
        if name not in values:
            eighths = _SPREAD[(index + 3 * number) % len(_SPREAD)] if number else 8
            share = Fraction(eighths, 24) if number else Fraction(1, 2)
            values[name] = share if unit == "" else typical.get(unit, Fraction(1)) * Fraction(eighths, 8)
    return values
