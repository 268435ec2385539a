"""Slips that can hit any step: the sign, a power of ten, too few figures."""

from __future__ import annotations

from fractions import Fraction

from problems.answers.tolerance import close
from problems.formulas.printers import rounded

POWERS = tuple(power for size in range(1, 16) for power in (3 * size, -3 * size)) + tuple(
    power for size in range(1, 16) if size % 3 for power in (size, -size)
)


def slip(value: Fraction, wanted: Fraction) -> str | None:
    """``sign``, ``power-of-ten`` or ``rounding`` where one of them makes ``value`` of the right one; else None."""
    if not value or not wanted:
        return None
    if close(-value, wanted):
        return "sign"
    if any(close(value * Fraction(10) ** power, wanted) for power in POWERS):
        return "power-of-ten"
    if any(value == rounded(wanted, figures) for figures in (1, 2)):
        return "rounding"
    return None
