"""Preferred values of resistors and capacitors: the E-series of IEC 60063."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache

# E3 to E24 are the two-figure values of IEC 60063, which do not follow a formula to the last figure (2.7 to 4.7).
_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)


def _three_figures(steps: int) -> tuple[int, ...]:
    """E48, E96 and E192 of IEC 60063: the powers of the step root of 10, rounded to three figures.

    The standard has one exception: 9.20 stands where the formula gives 9.19.
    """
    values = (round(100 * 10 ** (place / steps)) for place in range(steps))
    return tuple(920 if value == 919 else value for value in values)


SERIES: Mapping[str, tuple[int, ...]] = {
    "E3": _E24[::8],
    "E6": _E24[::4],
    "E12": _E24[::2],
    "E24": _E24,
    "E48": _three_figures(48),
    "E96": _three_figures(96),
    "E192": _three_figures(192),
}
"""Significant figures of one decade, by name of the series."""


@cache
def preferred(series: str, low: Fraction, high: Fraction) -> tuple[Fraction, ...]:
    """The values of a series from ``low`` to ``high``, limits included, ascending; both limits above 0."""
    figures = SERIES[series]
    decade = Fraction(1, 10**18)
    while decade * 10 * figures[0] <= low:
        decade *= 10
    found: list[Fraction] = []
    while decade * figures[0] <= high:
        found += [decade * figure for figure in figures if low <= decade * figure <= high]
        decade *= 10
    return tuple(found)
