"""Exact complex numbers: judged by Python's own complex numbers, and π by a series of its own."""

from __future__ import annotations

import cmath
import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.formulas.phasor import PI, Degrees, Phasor, laplace_at
from problems.formulas.printers import engineering, rectangular

SMALL = st.fractions(min_value=-50, max_value=50, max_denominator=60)
PHASORS = st.builds(Phasor, SMALL, SMALL)


def arctangent(inverse: int) -> Fraction:
    """arctan(1/inverse) to some 45 digits, by its series."""
    terms = (Fraction((-1) ** k, (2 * k + 1) * inverse ** (2 * k + 1)) for k in range(70))
    return sum(terms, Fraction(0))


def test_pi_is_right_to_40_digits() -> None:
    """Machin's formula of 1706: π/4 = 4·arctan(1/5) - arctan(1/239) (common knowledge of mathematics)."""
    assert abs(PI - 4 * (4 * arctangent(5) - arctangent(239))) < Fraction(1, 10**39)


@given(PHASORS, PHASORS)
def test_sums_and_products_are_those_of_complex_numbers(one: Phasor, two: Phasor) -> None:
    assert complex(one + two) == pytest.approx(complex(one) + complex(two))
    assert complex(one - two) == pytest.approx(complex(one) - complex(two))
    assert complex(one * two) == pytest.approx(complex(one) * complex(two))


@given(PHASORS, PHASORS.filter(bool))
def test_a_quotient_times_its_divisor_is_exact(one: Phasor, two: Phasor) -> None:
    assert one / two * two == one
    assert hash(one / two * two) == hash(one)


@given(PHASORS.filter(bool))
def test_size_and_phase_are_those_of_complex_numbers(phasor: Phasor) -> None:
    assert float(abs(phasor)) == pytest.approx(abs(complex(phasor)))
    off = math.remainder(float(phasor.phase) - math.degrees(cmath.phase(complex(phasor))), 360)
    assert off == pytest.approx(0, abs=1e-9)
    assert -180 < phasor.phase <= 180


def test_it_mixes_with_plain_numbers() -> None:
    assert Phasor(3) == Fraction(3)
    assert 2 - Phasor(1, 1) == Phasor(1, -1)
    assert 1 / Phasor(0, 2) == Phasor(0, Fraction(-1, 2))
    assert Phasor(0, 1) ** 2 == -1
    with pytest.raises(ZeroDivisionError):
        _ = 1 / Phasor(0)


def test_s_at_a_frequency_is_two_pi_f_times_j() -> None:
    assert laplace_at(Fraction(50)) == Phasor(0, 100 * PI)


@pytest.mark.parametrize(
    ("value", "polar", "parts"),
    [
        (Phasor(Fraction(5, 2), Fraction(-5, 2)), "3.54\u2009V at −45°", "2.5\u2009V − j·2.5\u2009V"),
        (Phasor(0, 2), "2\u2009V at 90°", "j·2\u2009V"),
        (Phasor(-3), "3\u2009V at 180°", "−3\u2009V + j·0\u2009V"),
        (Phasor(3), "3\u2009V", "3\u2009V + j·0\u2009V"),
    ],
    ids=["both parts", "imaginary", "negative", "positive"],
)
def test_a_phasor_prints_as_size_and_phase_or_in_parts(value: Phasor, polar: str, parts: str) -> None:
    assert engineering(value, "V") == polar
    assert rectangular(value, "V") == parts


def test_a_phase_is_told_on_the_circle() -> None:
    assert Degrees.around(270.0) == -90
    assert Degrees.around(-180.0) == 180
    assert engineering(Degrees(Fraction(-4528, 100)), "deg") == "−45.3°"
