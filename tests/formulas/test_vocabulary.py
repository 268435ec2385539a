"""Which names are suggested for a word that is none."""

from __future__ import annotations

import pytest

from problems.answers.vocabulary import vocabulary
from problems.problem import Circuit
from problems.quantities import UnknownQuantity
from problems.templates.library import family

IN_ORDER = ("I_Ra", "I_Rb", "I_Rf", "I_Rc")
"""As the drawing has them, row by row."""


@pytest.fixture
def circuit() -> Circuit:
    return family("inverting-summing").problem(seed=1).circuit


@pytest.mark.parametrize("word", ["xyzzy", "foo", "U"])
def test_a_word_like_nothing_here_is_told_some_names_of_each_kind(word: str, circuit: Circuit) -> None:
    near = vocabulary(circuit).near(word)
    assert {name[:2] for name in near} >= {"V_", "I_"}
    assert set(near) & set(circuit.units)
    assert "V_0" not in near
    assert len(near) == 8


def test_names_equally_near_come_in_the_order_of_the_circuit(circuit: Circuit) -> None:
    assert vocabulary(circuit).near("I_R")[:4] == IN_ORDER


def test_a_quantity_that_is_not_there_is_told_near_ones_in_order(circuit: Circuit) -> None:
    with pytest.raises(UnknownQuantity) as caught:
        circuit.names.read("I_R")
    assert caught.value.known[:4] == IN_ORDER
    with pytest.raises(UnknownQuantity) as caught:
        circuit.names.read("zzz")
    assert {name[:2] for name in caught.value.known} == {"V_", "I_"}
    assert "V_0" not in caught.value.known
