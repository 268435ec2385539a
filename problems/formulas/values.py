"""Reading one value with its unit, as authors and program code write it: ``10k``, ``4k7``, ``1 V``, ``k``."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction
from numbers import Rational

from problems.formulas.spelling import inert, plain
from problems.formulas.units import PREFIXES, SPELLINGS, UNITS, Unit, prefix_scale

Value = str | int | Fraction | object | None
"""What a part accepts: text, an exact number, a sympy number or symbol, or nothing."""

MAX_DIGITS = 40
"""Digits that a number may be written with; a measured value has at most a dozen."""
MAX_EXPONENT = 40
"""Largest power of ten that may be written."""
MAX_BITS = 4096
"""Size of an exact number handed over by a program."""

_LETTERS = "".join(sorted({*PREFIXES, "R"}))
_NUMBER = re.compile(r"([+-]?)\s*(\d+\.?\d*|\.\d+)(?:[eE]([+-]?\d+))?\s*(\S*)\Z", re.ASCII)
_RKM = re.compile(rf"([+-]?)(\d+)([{_LETTERS}VAFH])(\d+)(?:\s*(\S+))?\Z", re.ASCII)
_RATIO = re.compile(r"([+-]?\s*\d+)\s*/\s*(\d+)\s*(\S*)\Z", re.ASCII)
_SYMBOL = re.compile(r"[A-Za-z_]\w*\Z")
_NOT_A_NUMBER = {"inf", "infinity", "nan"}


class BadValue(ValueError):
    """A value that cannot be read.

    text: what was written, safe to print. reason: why not. remedy: what would do.
    """

    def __init__(self, text: str, reason: str, remedy: str):
        self.text, self.reason, self.remedy = text, reason, remedy
        super().__init__(f"value {text!r}: {reason}; {remedy}")


def read_value(value: Value, unit: str) -> Fraction | str | None:
    """The exact value in SI units, the name of a symbol, or None where nothing is given.

    unit: the unit it is meant in (``"ohm"``, ``"V"``, ``""`` for a pure number); text may carry it or leave it out.
    Raises BadValue for text that is no value, another unit, more than 40 digits or a power of ten beyond 40.
    """
    if value is None:
        return None
    if isinstance(value, str):
        return _read_text(value, unit)
    if getattr(value, "is_Symbol", False):
        return str(value)
    return _exact(value)


def decimal_value(digits: str, exponent: str | None = None) -> Fraction:
    """The number written by these digits (with a point, perhaps) and this power of ten.

    Raises OverflowError where it is longer or larger than a value can be.
    """
    power = exponent or "0"
    if len(digits) > MAX_DIGITS + 1 or len(power) > 6 or abs(int(power)) > MAX_EXPONENT:
        raise OverflowError
    whole, _, part = digits.partition(".")
    return Fraction(int(whole + part or "0")) * Fraction(10) ** (int(power) - len(part))


def _exact(value: object) -> Fraction:
    if type(value) is Fraction and max(value.numerator.bit_length(), value.denominator.bit_length()) <= MAX_BITS:
        return value  # the common case, without making the text that an error would show
    shown = (
        inert(repr(value)) if not isinstance(value, int) or value.bit_length() < MAX_BITS else "a number of many digits"
    )
    if isinstance(value, bool):
        raise BadValue(shown, "is a yes or no", "give a number")
    if isinstance(value, float | Decimal):
        if not math.isfinite(value):
            raise BadValue(shown, "is not a finite number", "give a number such as 4700")
        value = Fraction(str(value))
    top, bottom = _ratio(value, shown)
    if max(top.bit_length(), bottom.bit_length()) > MAX_BITS:
        raise BadValue(shown, "has too many digits", f"{MAX_DIGITS} digits are enough")
    return Fraction(top, bottom)


def _ratio(value: object, shown: str) -> tuple[int, int]:
    """Numerator and denominator; sympy and flint call them p and q."""
    if isinstance(value, Rational):
        return int(value.numerator), int(value.denominator)
    top, bottom = getattr(value, "p", None), getattr(value, "q", None)
    if top is not None and bottom is not None and not callable(top) and int(bottom):
        return int(top), int(bottom)
    if getattr(value, "is_Float", False):
        return Fraction(str(value)).as_integer_ratio()
    raise BadValue(shown, "is no number", "give text such as '4.7k', a whole number, a fraction or a sympy number")


def _read_text(text: str, unit: str) -> Fraction | str:
    shown = inert(text)
    if len(text) > 4 * MAX_DIGITS:
        raise BadValue(shown, "is too long", f"{MAX_DIGITS} digits are enough")
    written = plain(text)[0].strip()
    if _SYMBOL.match(written) and written.lower() not in _NOT_A_NUMBER:
        return written
    if re.search(r"\d,\d", written):
        raise BadValue(shown, "has a comma", "write a point, as in 4.7")
    try:
        found = _rkm(written, unit, shown) or _ratio_text(written, unit, shown) or _number(written, unit, shown)
    except OverflowError:
        remedy = f"at most {MAX_DIGITS} digits and powers of ten up to {MAX_EXPONENT}"
        raise BadValue(shown, "is too long or too large", remedy) from None
    if found is None:
        raise BadValue(shown, "is no value", f"write it like {_example(unit)}")
    return found[0]


def _number(written: str, unit: str, shown: str) -> tuple[Fraction] | None:
    match = _NUMBER.match(written)
    if match is None:
        return None
    sign, digits, exponent, suffix = match.groups()
    size = decimal_value(digits, exponent) * _scale(suffix, unit, shown)
    return (-size if sign == "-" else size,)


def _ratio_text(written: str, unit: str, shown: str) -> tuple[Fraction] | None:
    match = _RATIO.match(written)
    if match is None:
        return None
    top, bottom, suffix = match.groups()
    sign, digits = ("-", top[1:].strip()) if top.startswith("-") else ("", top.lstrip("+").strip())
    below = decimal_value(bottom)
    if not below:
        raise BadValue(shown, "divides by zero", f"write it like {_example(unit)}")
    size = decimal_value(digits) / below * _scale(suffix, unit, shown)
    return (-size if sign else size,)


def _rkm(written: str, unit: str, shown: str) -> tuple[Fraction] | None:
    """A letter in the place of the point: 4k7, 2R2, 3V3 (IEC 60062; the unit letters are common practice)."""
    match = _RKM.match(written)
    if match is None:
        return None
    sign, whole, letter, part, suffix = match.groups()
    size = decimal_value(f"{whole}.{part}") * _scale(letter + (suffix or ""), unit, shown)
    return (-size if sign == "-" else size,)


def _scale(suffix: str, unit: str, shown: str) -> Fraction:
    """What the letters behind a number multiply it by; raises BadValue where they are another unit."""
    prefix = Fraction(1) if not suffix else prefix_scale(suffix)
    if prefix is not None:
        return prefix
    found: Unit | None = UNITS.get(suffix)
    if found is None:
        raise BadValue(shown, f"has no unit {inert(suffix, 12)!r}", f"write it like {_example(unit)}")
    if found.name != unit and not (unit == "" and found.name in {"%", "rad"}):
        wanted = f"it is given in {unit}" if unit else "it is a pure number"
        raise BadValue(shown, f"is in {found.name}", f"{wanted}: write it like {_example(unit)}")
    return found.scale


def _example(unit: str) -> str:
    spelled = SPELLINGS.get(unit, ("",))[0]
    return {"ohm": "4.7k", "A": "2.5mA", "F": "10nF", "H": "10mH"}.get(unit) or f"0.6 {spelled}".strip()
