"""Preferred values against the figures printed in IEC 60063."""

from __future__ import annotations

from fractions import Fraction

import pytest

from problems.templates.eseries import SERIES, preferred

# IEC 60063:2015, tables 1 and 2, first figures of each series.
PRINTED = [
    pytest.param("E3", [10, 22, 47], id="E3"),
    pytest.param("E6", [10, 15, 22, 33, 47, 68], id="E6"),
    pytest.param("E12", [10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82], id="E12"),
    pytest.param("E24", [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30], id="E24"),
    pytest.param("E48", [100, 105, 110, 115, 121, 127, 133, 140, 147, 154], id="E48"),
    pytest.param("E96", [100, 102, 105, 107, 110, 113, 115, 118, 121, 124], id="E96"),
    pytest.param("E192", [100, 101, 102, 104, 105, 106, 107, 109, 110, 111], id="E192"),
]


@pytest.mark.parametrize(("series", "figures"), PRINTED)
def test_a_series_begins_as_printed(series: str, figures: list[int]) -> None:
    assert list(SERIES[series][: len(figures)]) == figures


@pytest.mark.parametrize("series", SERIES)
def test_a_series_has_as_many_steps_as_its_name_says_and_rises(series: str) -> None:
    assert len(SERIES[series]) == int(series[1:])
    assert list(SERIES[series]) == sorted(set(SERIES[series]))


def test_the_one_exception_of_the_standard_is_kept() -> None:
    assert 920 in SERIES["E192"]
    assert 919 not in SERIES["E192"]


@pytest.mark.parametrize(
    ("finer", "coarser"), [("E24", "E12"), ("E12", "E6"), ("E6", "E3"), ("E192", "E96"), ("E96", "E48")]
)
def test_a_coarser_series_is_part_of_the_finer_one(finer: str, coarser: str) -> None:
    assert set(SERIES[coarser]) <= set(SERIES[finer])


@pytest.mark.parametrize(
    ("low", "high", "wanted"),
    [
        pytest.param(4700, 10000, [4700, 5600, 6800, 8200, 10000], id="limits included"),
        pytest.param(4701, 9999, [5600, 6800, 8200], id="limits between values"),
        pytest.param(82, 120, [82, 100, 120], id="across a decade"),
        pytest.param(4700, 4700, [4700], id="one value"),
        pytest.param(4800, 5500, [], id="none"),
    ],
)
def test_values_from_one_limit_to_the_other(low: int, high: int, wanted: list[int]) -> None:
    assert list(preferred("E12", Fraction(low), Fraction(high))) == wanted


def test_small_values_are_exact() -> None:
    assert preferred("E3", Fraction(1, 10**9), Fraction(1, 10**8)) == (
        Fraction(1, 10**9),
        Fraction(22, 10**10),
        Fraction(47, 10**10),
        Fraction(1, 10**8),
    )
