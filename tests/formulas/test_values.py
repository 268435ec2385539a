"""Values with their units, as authors and programs hand them over."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from problems.formulas.values import BadValue, read_value

READ = [
    pytest.param("10k", "ohm", Fraction(10_000), id="a prefix alone"),
    pytest.param("4k7", "ohm", Fraction(4700), id="RKM code, IEC 60062"),
    pytest.param("4K7", "ohm", Fraction(4700), id="RKM code with the standard's capital K"),
    pytest.param("2R2", "ohm", Fraction(11, 5), id="RKM code below a kilohm"),
    pytest.param("100R", "ohm", Fraction(100), id="R for ohm"),
    pytest.param("4n7", "F", Fraction(47, 10**10), id="RKM code of a capacitor"),
    pytest.param("-3V3", "V", Fraction(-33, 10), id="a unit in the place of the point"),
    pytest.param("1 V", "V", Fraction(1), id="a unit behind a space"),
    pytest.param("10 k\u2126", "ohm", Fraction(10_000), id="the ohm sign"),
    pytest.param("10 k\u03a9", "ohm", Fraction(10_000), id="the Greek capital omega"),
    pytest.param("5 \u00b5A", "A", Fraction(1, 200_000), id="the micro sign"),
    pytest.param("5 \u03bcA", "A", Fraction(1, 200_000), id="the Greek mu"),
    pytest.param("\u22122\u202fV", "V", Fraction(-2), id="true minus and thin space"),
    pytest.param("2.5mA", "A", Fraction(1, 400), id="prefix and unit joined"),
    pytest.param("1e-3", "", Fraction(1, 1000), id="power of ten"),
    pytest.param("3/5", "", Fraction(3, 5), id="a fraction"),
    pytest.param("-3/5 V", "V", Fraction(-3, 5), id="a fraction with sign and unit"),
    pytest.param("60 %", "", Fraction(3, 5), id="per cent of a pure number"),
    pytest.param(0, "V", Fraction(0), id="the number zero"),
    pytest.param(Decimal("0.6"), "V", Fraction(3, 5), id="a decimal"),
    pytest.param(0.6, "V", Fraction(3, 5), id="a float, as it prints"),
    pytest.param(sympy.Rational(3, 5), "", Fraction(3, 5), id="a sympy rational"),
    pytest.param(sympy.Symbol("R"), "ohm", "R", id="a sympy symbol"),
    pytest.param("k", "", "k", id="a name"),
    pytest.param("R2", "ohm", "R2", id="a name with a digit"),
    pytest.param(None, "V", None, id="nothing"),
]

REFUSED = [
    pytest.param("1 V", "ohm", "ohm", id="another unit names the right one"),
    pytest.param("1,5", "V", "1,5", id="a decimal comma"),
    pytest.param("1e400", "V", "large", id="a power beyond any value"),
    pytest.param("9" * 5000, "V", "long", id="five thousand digits"),
    pytest.param("nan", "V", "no value", id="not a number"),
    pytest.param("3/0", "V", "zero", id="a division by zero"),
    pytest.param("", "V", "no value", id="empty text"),
    pytest.param(True, "V", "yes or no", id="a truth value"),
    pytest.param(float("inf"), "V", "finite", id="infinity"),
    pytest.param(object(), "V", "no number", id="something else"),
    pytest.param(10**5000, "V", "digits", id="an int of five thousand digits"),
]


@pytest.mark.parametrize(("value", "unit", "wanted"), READ)
def test_a_value_is_read(value: object, unit: str, wanted: object) -> None:
    assert read_value(value, unit) == wanted


@pytest.mark.parametrize(("value", "unit", "said"), REFUSED)
def test_what_is_no_value_is_refused_with_a_remedy(value: object, unit: str, said: str) -> None:
    with pytest.raises(BadValue) as failed:
        read_value(value, unit)
    assert said in str(failed.value)
    assert failed.value.remedy


def test_an_escape_sequence_is_not_repeated() -> None:
    with pytest.raises(BadValue) as failed:
        read_value("\x1b[31m5 \u202eV", "V")
    assert "\x1b" not in str(failed.value)
    assert "\u202e" not in str(failed.value)


@given(st.text(max_size=200))
def test_any_text_is_a_value_a_name_or_refused(text: str) -> None:
    try:
        found = read_value(text, "ohm")
    except BadValue:
        return
    assert isinstance(found, Fraction | str)


@given(st.fractions())
def test_an_exact_number_comes_back_as_it_is(value: Fraction) -> None:
    assert read_value(value, "V") == value
