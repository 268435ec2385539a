"""Numbers and formulas as people read them."""

from __future__ import annotations

from collections.abc import Hashable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.formulas.expression import (
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
from problems.formulas.parser import Unreadable, parse
from problems.formulas.printers import engineering, rounded, text
from problems.formulas.values import read_value
from problems.formulas.vocabulary import Vocabulary

SHOWN = [
    pytest.param(Fraction(293, 10**7), "A", "29.3\u2009µA", "29.3 uA", id="a prefix"),
    pytest.param(Fraction(56, 100), "V", "0.56\u2009V", "0.56 V", id="tenths of a volt stay volts"),
    pytest.param(Fraction(5, 10), "A", "500\u2009mA", "500 mA", id="tenths of an ampere do not"),
    pytest.param(Fraction(8200), "ohm", "8.2\u2009kΩ", "8.2 kohm", id="ohm"),
    pytest.param(Fraction(0), "V", "0\u2009V", "0 V", id="zero"),
    pytest.param(Fraction(-402, 100), "", "\u22124.02", "-4.02", id="a pure number with a true minus"),
    pytest.param(Fraction(9996, 10_000), "V", "1\u2009V", "1 V", id="rounding up into the next power"),
    pytest.param(Fraction(99_960), "ohm", "100\u2009kΩ", "100 kohm", id="rounding up within a prefix"),
    pytest.param(Fraction(9995, 10), "ohm", "1\u2009kΩ", "1 kohm", id="rounding up into the next prefix"),
    pytest.param(Fraction(1125, 1000), "V", "1.13\u2009V", "1.13 V", id="halves round away from zero"),
]

x, y, z = Name("x"), Name("y"), Name("z")

WRITTEN = [
    pytest.param((x - y) / z, "(x − y)/z", id="brackets round a sum above"),
    pytest.param(x / (y * z), "x/(y·z)", id="brackets round a product below"),
    pytest.param(x / y / z, "x/y/z", id="divisions in a row need none"),
    pytest.param(-(x - y), "−(x − y)", id="minus a difference"),
    pytest.param(x - (y - z), "x − (y − z)", id="a difference taken away"),
    pytest.param(x * (-y), "x·(−y)", id="a negative factor"),
    pytest.param(x * Parallel((y, z)), "x·(y || z)", id="a parallel group shows what it takes in"),
    pytest.param(Power(-x, Number(Fraction(2))), "(−x)^2", id="power of a negative"),
    pytest.param(Number(Fraction(1, 3)) * x, "1/3·x", id="a third has no short decimal"),
]


@pytest.mark.parametrize(("value", "unit", "wanted", "plain"), SHOWN)
def test_a_value_is_shown_to_three_figures(value: Fraction, unit: str, wanted: str, plain: str) -> None:
    assert engineering(value, unit) == wanted
    assert engineering(value, unit, ascii=True) == plain


@pytest.mark.parametrize(("expression", "wanted"), WRITTEN)
def test_a_formula_is_written_with_the_brackets_it_needs(expression: Expression, wanted: str) -> None:
    assert text(expression) == wanted


@given(st.fractions(min_value=Fraction(1, 10**9), max_value=10**9), st.sampled_from(["V", "A", "ohm", ""]))
def test_a_shown_value_reads_back_as_the_rounded_one(value: Fraction, unit: str) -> None:
    assert read_value(engineering(value, unit), unit) == rounded(value, 3)


VALUES: dict[Hashable, Fraction] = {"x": Fraction(3), "y": Fraction(7, 2), "z": Fraction(5, 3)}


def trees() -> st.SearchStrategy[Expression]:
    leaves = st.one_of(
        st.sampled_from([x, y, z]),
        st.fractions(min_value=0, max_value=1000, max_denominator=999).map(Number),
    )

    def grown(inner: st.SearchStrategy[Expression]) -> st.SearchStrategy[Expression]:
        several = st.lists(inner, min_size=2, max_size=3).map(tuple)
        signed = st.lists(st.one_of(inner, inner.map(Negative)), min_size=2, max_size=3).map(tuple)
        return st.one_of(
            signed.map(Sum),
            several.map(Product),
            several.map(Parallel),
            st.builds(Quotient, inner, inner),
            inner.map(Negative),
            st.builds(Power, inner, st.sampled_from([2, 3]).map(lambda n: Number(Fraction(n)))),
        )

    return st.recursive(leaves, grown, max_leaves=8)


def value(expression: Expression) -> Fraction | None:
    try:
        return Fraction(expression.at(VALUES))
    except ZeroDivisionError:
        return None


@given(trees(), st.booleans())
def test_a_printed_formula_parses_back_to_its_value(tree: Expression, ascii_only: bool) -> None:
    written = text(tree, ascii=ascii_only)
    readings = parse(written, Vocabulary({name: name for name in "xyz"}))
    if isinstance(readings, Unreadable):
        assert readings.key in {"too-deep", "too-large", "too-long", "number-too-large"}, (written, readings)
        return
    assert value(readings[0].expression) == value(tree), written
