"""Numbers and formulas as people read them: three figures, engineering prefixes, a true minus sign."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from fractions import Fraction
from functools import singledispatch
from math import floor, log10
from typing import Any

from problems.formulas.expression import (
    Call,
    Expression,
    Name,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
)
from problems.formulas.phasor import Phasor
from problems.formulas.units import PREFIXES, UNITS

MINUS, THIN_SPACE = "\u2212", "\u2009"
GLYPHS = {"ohm": "Ω", "deg": "°"}
_PREFIX = {-15: "f", -12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G", 12: "T"}
_UNSCALED = {"", "%", "rad", "deg"}


def engineering(value: Fraction | float | Phasor, unit: str, figures: int = 3, ascii: bool = False) -> str:
    """The value to so many figures with an engineering prefix: ``29.3 µA``, ``0.56 V``, ``−4.02``.

    Halves round away from zero; zeros at the end are left out. ascii: plain signs only, for a terminal without more.
    A phasor prints as its size and its phase in tenths of a degree: ``3.54 V at −45°``.
    """
    if isinstance(value, Phasor):
        size = engineering(abs(value), unit, figures, ascii)
        return (
            size if not value.imag and value.real >= 0 else f"{size} at {engineering(value.phase, 'deg', ascii=ascii)}"
        )
    if unit == "deg":
        value = Fraction(round(Fraction(value) * 10), 10)
        figures = 4
    exact = Fraction(value)
    power = _power(exact, unit, figures)
    if power in _PREFIX:
        number, mark = decimal(exact / Fraction(10) ** power, figures), _PREFIX[power]
    else:
        number, mark = f"{decimal(exact / Fraction(10) ** power, figures)}e{power}", ""
    glyph = unit if ascii else GLYPHS.get(unit, unit)
    space = "" if not (mark + glyph) or unit == "%" or glyph == "°" else " " if ascii else THIN_SPACE
    shown = f"{number}{space}{mark}{glyph}"
    return shown.replace("µ", "u") if ascii else shown.replace("-", MINUS)


def rectangular(value: Phasor, unit: str, figures: int = 3, ascii: bool = False) -> str:
    """The same as real and imaginary part: ``2.5 V − j·2.5 V``."""
    minus, times = ("-", "*") if ascii else (MINUS, "·")
    imag = f"j{times}{engineering(abs(value.imag), unit, figures, ascii)}"
    if not value.real:
        return f"{minus if value.imag < 0 else ''}{imag}"
    return f"{engineering(value.real, unit, figures, ascii)} {minus if value.imag < 0 else '+'} {imag}"


def decimal(value: Fraction, figures: int) -> str:
    """The value to so many significant figures, no trailing zeros, halves away from zero."""
    if not value:
        return "0"
    places = figures - 1 - exponent_of(value)
    scaled = abs(value) * Fraction(10) ** places
    whole = floor(scaled + Fraction(1, 2))
    digits = str(whole * 10 ** max(-places, 0))
    if places > 0:
        digits = digits.rjust(places + 1, "0")
        digits = f"{digits[:-places]}.{digits[-places:]}".rstrip("0").rstrip(".")
    return f"-{digits}" if value < 0 else digits


def exponent_of(value: Fraction) -> int:
    """The power of ten of the leading digit, exactly; value is not zero."""
    size = abs(value)
    guess = floor((size.numerator.bit_length() - size.denominator.bit_length()) * log10(2))
    while Fraction(10) ** guess > size:
        guess -= 1
    while Fraction(10) ** (guess + 1) <= size:
        guess += 1
    return guess


def rounded(value: Fraction, figures: int) -> Fraction:
    """The value rounded to so many significant figures, halves away from zero."""
    return Fraction(decimal(value, figures)) if value else value


def _power(value: Fraction, unit: str, figures: int) -> int:
    """Which power of ten the prefix stands for; tenths of a volt stay volts, as people say them."""
    leading = exponent_of(rounded(value, figures)) if value else 0
    if unit in _UNSCALED:
        return 0 if -6 <= leading < 9 else leading
    if unit == "V" and leading == -1:
        return 0
    return 3 * (leading // 3)


_STAR = "\ue000"
"""Stands for the star of a name while the sign of multiplication is still a star."""
Label = Callable[[Any], str]
_LOOSE, _SUM, _PRODUCT, _MEASURE, _POWER, _ATOM = range(6)
"""How tightly a piece holds together. A parallel group is loose: brackets show what it takes in."""


def text(expression: Expression, label: Callable[[Hashable], str] = str, ascii: bool = False) -> str:
    """The formula on one line, as few brackets as are needed to read it back: ``(Vin − V_2)/Ri``.

    label: how a name is printed. ascii: ``-`` and ``*`` for the minus sign and the raised dot.
    """
    shown = _shown(expression, label)[0]
    if ascii:
        # so that the star of a name is not read as a power with the sign behind it
        return shown.replace(f"{_STAR}*", f"{_STAR} * ").replace(_STAR, "*")
    return shown.replace("*", "·").replace(_STAR, "*").replace(" - ", f" {MINUS} ").replace("-", MINUS)


@singledispatch
def _shown(expression: Expression, label: Label) -> tuple[str, int]:
    """The text and how tightly it holds together."""
    raise TypeError(f"no way to print {type(expression).__name__}")


def _within(expression: Expression, label: Label, least: int) -> str:
    shown, strength = _shown(expression, label)
    return shown if strength >= least else f"({shown})"


@_shown.register
def _(expression: Number, label: Label) -> tuple[str, int]:
    if expression.text:
        return expression.text, _MEASURE if " " in expression.text else _ATOM
    value = expression.value
    short = decimal(value, 12)
    if Fraction(short) != value:
        return str(value), _SUM if value < 0 else _PRODUCT
    return short, _SUM if value < 0 else _ATOM


@_shown.register
def _(expression: Name, label: Label) -> tuple[str, int]:
    return label(expression.key).replace("*", _STAR), _ATOM


@_shown.register
def _(expression: Sum, label: Label) -> tuple[str, int]:
    shown = _within(expression.terms[0], label, _SUM)
    for term in expression.terms[1:]:
        if isinstance(term, Negative):
            shown += " - " + _within(term.operand, label, _PRODUCT)
        else:
            piece, strength = _shown(term, label)
            shown += " + " + (piece if strength >= _PRODUCT and not piece.startswith("-") else f"({piece})")
    return shown, _SUM


@_shown.register
def _(expression: Product, label: Label) -> tuple[str, int]:
    first, *others = expression.factors
    pieces = [_within(first, label, _PRODUCT)] + [_guarded(factor, label, _PRODUCT) for factor in others]
    return "*".join(pieces).replace("*∠", "∠"), _PRODUCT


def _guarded(expression: Expression, label: Label, least: int) -> str:
    """A factor that is not the first: in brackets also where it starts with a sign."""
    piece = _within(expression, label, least)
    return f"({piece})" if piece.startswith("-") else piece


@_shown.register
def _(expression: Quotient, label: Label) -> tuple[str, int]:
    return f"{_within(expression.top, label, _PRODUCT)}/{_guarded(expression.bottom, label, _POWER)}", _PRODUCT


@_shown.register
def _(expression: Parallel, label: Label) -> tuple[str, int]:
    return " || ".join(_within(operand, label, _POWER) for operand in expression.operands), _LOOSE


@_shown.register
def _(expression: Negative, label: Label) -> tuple[str, int]:
    return "-" + _guarded(expression.operand, label, _PRODUCT), _PRODUCT


@_shown.register
def _(expression: Power, label: Label) -> tuple[str, int]:
    return f"{_within(expression.base, label, _ATOM)}^{_within(expression.exponent, label, _ATOM)}", _POWER


@_shown.register
def _(expression: Call, label: Label) -> tuple[str, int]:
    if expression.function == "turn":
        return f"∠{_shown(expression.argument, label)[0]}°", _ATOM
    return f"{expression.function}({_shown(expression.argument, label)[0]})", _ATOM


def unit_label(word: str) -> str:
    """A unit as printed: ``uA`` is ``µA``, ``kohm`` is ``kΩ``."""
    unit = UNITS[word]
    if unit.name == "%":
        return "%"
    power = {
        10**exponent if exponent > 0 else Fraction(1, 10**-exponent): prefix
        for prefix, exponent in PREFIXES.items()
        if prefix != "K"
    }
    return power.get(unit.scale, "").replace("u", "µ") + GLYPHS.get(unit.name, unit.name)
