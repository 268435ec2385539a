"""Values with an unknown in them obey the same arithmetic as the numbers they become."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.derivation.affine import Affine, NotAffine, unknown

numbers = st.fractions(min_value=-50, max_value=50, max_denominator=20)


def at(value: object, x: Fraction) -> Fraction:
    if isinstance(value, Affine):
        return Fraction(value.constant + sum(slope * x for slope in value.slopes.values()))
    assert isinstance(value, Fraction)
    return value


@given(numbers, numbers, numbers, numbers)
def test_sums_differences_and_multiples_agree_with_numbers_put_in(
    a: Fraction, b: Fraction, c: Fraction, x: Fraction
) -> None:
    u = unknown("x", Fraction(1))
    first, second = a * u + b, c * u - a
    assert at(first + second, x) == at(first, x) + at(second, x)
    assert at(first - second, x) == at(first, x) - at(second, x)
    assert at(b - first, x) == b - at(first, x)
    assert at(first * c, x) == at(first, x) * c
    if c:
        assert at(first / c, x) == at(first, x) / c


def test_an_unknown_that_cancels_leaves_a_plain_number() -> None:
    u = unknown("x", Fraction(1))
    assert (u + 3) - u == Fraction(3)
    assert not isinstance((u + 3) - u, Affine)


def test_products_and_quotients_of_unknowns_are_refused() -> None:
    u = unknown("x", Fraction(1))
    with pytest.raises(NotAffine):
        u * u
    with pytest.raises(NotAffine):
        1 / u
