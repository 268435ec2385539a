"""Formulas in Laplace's s alone, as they are read, ``−4.68 V/(1 + 0.00022·s)``, and compared with typed figures."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from problems.formulas.printers import MINUS, decimal, engineering
from problems.formulas.ratio import Ratio
from problems.quantities import LAPLACE


class Transfer(NamedTuple):
    """``scale · top / bottom``; each polynomial by power of s, its lowest coefficient 1."""

    scale: Fraction
    top: Mapping[int, Fraction]
    bottom: Mapping[int, Fraction]


def transfer(value: Ratio) -> Transfer | None:
    """A formula in s and numbers; None where another name is in it, or it is 0."""
    top, bottom = _polynomial(value, value.top), _polynomial(value, value.bottom)
    if not top or not bottom:
        return None
    first, second = top[min(top)], bottom[min(bottom)]
    return Transfer(
        first / second,
        {power: entry / first for power, entry in top.items()},
        {power: entry / second for power, entry in bottom.items()},
    )


def _polynomial(value: Ratio, polynomial: Any) -> dict[int, Fraction] | None:
    """Coefficients by power of s; None where another name is in it."""
    names = value.field.names
    place = names.index(LAPLACE) if LAPLACE in names else -1
    found: dict[int, Fraction] = {}
    for powers, coefficient in polynomial.to_dict().items():
        if any(power for index, power in enumerate(powers) if index != place):
            return None
        found[int(powers[place]) if place >= 0 else 0] = Fraction(int(coefficient))
    return found


def in_s(value: Ratio, unit: str, ascii: bool = False) -> str:
    """The formula to three figures; empty where another name than s is in it."""
    found = transfer(value)
    if found is None:
        return ""
    scale = engineering(found.scale, unit, ascii=ascii)
    top, bottom = _written(found.top, ascii), _written(found.bottom, ascii)
    times = "*" if ascii else "·"
    above = scale if top == "1" else f"{scale}{times}{_whole(top)}"
    return above if bottom == "1" else f"{above}/{_whole(bottom, times)}"


def _whole(text: str, times: str = "") -> str:
    return f"({text})" if " " in text or (times and times in text) else text


def _written(polynomial: Mapping[int, Fraction], ascii: bool) -> str:
    times, minus = ("*", "-") if ascii else ("·", MINUS)
    pieces: list[str] = []
    for power in sorted(polynomial):
        entry = polynomial[power]
        figure, letter = plain_figure(abs(entry)), "" if not power else "s" if power == 1 else f"s^{power}"
        term = figure if not letter else letter if figure == "1" else f"{figure}{times}{letter}"
        sign = (f" {minus} " if entry < 0 else " + ") if pieces else minus if entry < 0 else ""
        pieces.append(sign + term)
    return "".join(pieces)


def plain_figure(value: Fraction) -> str:
    """Three figures without a prefix; with a power of ten where that is shorter to read."""
    if not value or Fraction(1, 1000) <= value < 10**6:
        return decimal(value, 3)
    mantissa, _, exponent = f"{float(value):.2e}".partition("e")
    return f"{mantissa.rstrip('0').rstrip('.')}e{int(exponent)}"


def alike(value: Ratio | Fraction, wanted: Ratio | Fraction, share: Fraction) -> bool:
    """Whether two formulas in s agree, every coefficient within a share of the one wanted, limits included."""
    if not isinstance(wanted, Ratio) or not isinstance(value, Ratio):
        one, two = (number.constant if isinstance(number, Ratio) else number for number in (value, wanted))
        return one is not None and two is not None and abs(one - two) <= share * abs(two)
    mine, theirs = transfer(value), transfer(wanted)
    if mine is None or theirs is None:
        return bool(value == wanted)
    return _near(mine.scale, theirs.scale, share) and all(
        one.keys() == two.keys() and all(_near(one[power], two[power], share) for power in two)
        for one, two in ((mine.top, theirs.top), (mine.bottom, theirs.bottom))
    )


def _near(value: Fraction, wanted: Fraction, share: Fraction) -> bool:
    return abs(value - wanted) <= share * abs(wanted)
