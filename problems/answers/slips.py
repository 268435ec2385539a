"""Slips that can hit any step: the sign, a power of ten, too few figures."""

from __future__ import annotations

from fractions import Fraction

from problems.answers.tolerance import close, same_direction
from problems.formulas.phasor import Degrees, Phasor, phase_of
from problems.formulas.printers import exponent_of, rounded
from problems.formulas.ratio import Ratio

MOST_TENS = 15
"""The largest power of ten that is still a slip."""


def slip(value: Fraction, wanted: Fraction) -> str | None:
    """``sign``, ``power-of-ten`` or ``rounding`` where one of them makes ``value`` of the right one; else None."""
    if not value or not wanted or isinstance(value, Ratio) or isinstance(wanted, Degrees):
        return None
    if close(-value, wanted):
        return "sign"
    if isinstance(value, Phasor) or isinstance(wanted, Phasor):
        along = same_direction(phase_of(value), phase_of(wanted))
        return "power-of-ten" if along and _off_by_tens(abs(value), abs(wanted)) else None
    if _off_by_tens(value, wanted):
        return "power-of-ten"
    if any(value == rounded(wanted, figures) for figures in (1, 2)):
        return "rounding"
    return None


def _off_by_tens(value: Fraction, wanted: Fraction) -> bool:
    """Whether a power of ten turns the value into the right one; the ratio tells which two powers it can be."""
    if (value < 0) != (wanted < 0):
        return False
    leading = exponent_of(wanted / value)
    powers = (power for power in (leading, leading + 1) if power and abs(power) <= MOST_TENS)
    return any(close(value * Fraction(10) ** power, wanted) for power in powers)
