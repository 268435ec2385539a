"""Rows taken in one by one: what is new, and what a row says beyond the rest."""

from __future__ import annotations

from fractions import Fraction

import flint
from hypothesis import given
from hypothesis import strategies as st

from problems.circuits.span import Span

ROWS = st.lists(st.dictionaries(st.sampled_from("abcde"), st.integers(-3, 3).map(Fraction), max_size=5), max_size=8)


@given(ROWS)
def test_as_many_rows_are_new_as_the_rank_says(rows: list[dict[str, Fraction]]) -> None:
    span = Span[str]((), min)
    new = [span.add(row) for row in rows]
    entries = [[int(row.get(key, 0)) for key in "abcde"] for row in rows] or [[0] * 5]
    assert sum(new) == len(span.solved) == flint.fmpq_mat(flint.fmpz_mat(entries)).rank()
    assert all(span.rest(row) == {} for row in rows)


@given(ROWS)
def test_a_pivot_stands_in_its_own_row_only(rows: list[dict[str, Fraction]]) -> None:
    solved = Span(rows, min).solved
    assert all(row[pivot] == 1 for pivot, row in solved.items())
    assert all(set(row) & set(solved) == {pivot} for pivot, row in solved.items())


def test_what_a_row_says_beyond_the_rest() -> None:
    one = Fraction(1)
    span = Span([{"a": one, "b": one}], min)
    assert span.rest({"a": 2 * one, "c": one}) == {"b": -2, "c": 1}
