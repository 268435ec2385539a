"""Version codes bring the same seed back, and only they and whole numbers are read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tutor.seeds import BadSeed, code_of, fresh_seed, read_seed


@given(st.integers(0, 32**6 - 1))
def test_a_code_brings_its_seed_back(seed: int) -> None:
    assert read_seed(code_of(seed)) == seed


@pytest.mark.parametrize(("text", "seed"), [("7", 7), ("0", 0), ("000-007", 7), ("ooo-oo7", 7), ("00i-000", 32**3)])
def test_a_seed_is_read_as_number_or_code(text: str, seed: int) -> None:
    assert read_seed(text) == seed


@pytest.mark.parametrize("text", ["", "-1", "1.5", "abc", "3F7K2Q", "3F7-K2U", "٣", "9" * 5000, "3F7-K2Q-1"])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(BadSeed):
        read_seed(text)


def test_a_seed_too_large_for_a_code_is_shown_as_it_is() -> None:
    assert read_seed(code_of(32**6)) == 32**6


def test_fresh_seeds_fit_a_code_and_differ() -> None:
    seeds = {fresh_seed() for _ in range(20)}
    assert len(seeds) > 10
    assert all(len(code_of(seed)) == 7 for seed in seeds)
